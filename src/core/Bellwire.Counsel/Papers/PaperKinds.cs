using System.Collections.Immutable;
using System.Reflection;

namespace Bellwire.Counsel.Papers;

/// <summary>A kind of paper. One file in <c>Kinds/</c>; nothing is registered elsewhere.</summary>
/// <param name="Order">Place in the list of papers: the order in which a set's way asks for them.</param>
public abstract record PaperKind(string Id, string Title, string Words, int Order)
{
    public abstract Paper Compose(PaperFacts facts);
}

/// <summary>Every kind there is.</summary>
public static class PaperKinds
{
    public static ImmutableArray<PaperKind> All { get; } =
        [.. typeof(PaperKinds).Assembly.GetTypes().Where(t => t.IsSubclassOf(typeof(PaperKind)) && !t.IsAbstract)
            .Select(t => (PaperKind)Activator.CreateInstance(t, BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic, null, null, null)!)
            .OrderBy(k => k.Order)];

    public static PaperKind? Find(string id) => All.FirstOrDefault(k => k.Id == id);
}
