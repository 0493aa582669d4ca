var builder = WebApplication.CreateBuilder(new WebApplicationOptions { Args = args });
var app = builder.Build();
app.Run();
