using Bellwire.Workshop;

namespace Core.Tests.Workshop;

/// <summary>What acts gained is absent unless it is used: older lines read and write as they always did.</summary>
public class GateFieldTests
{
    [Fact]
    public void An_act_without_reasons_is_written_without_the_field_and_one_with_reasons_comes_back()
    {
        const string Old = """{"job":"j","piece":"p","system":"s","position":"x"}""";
        Assert.Equal(Old, ActKinds.Write(ActKinds.Read("pulled", Old)));
        var act = new Pulled("j", "p", "s", "x", null) { Overrides = [new("discharged", "why")] };
        var back = ActKinds.Read("pulled", ActKinds.Write(act));
        Assert.Equal(new GateOverride("discharged", "why"), Assert.Single(back.Overrides!.Value));
    }

    [Fact]
    public void The_shops_own_is_not_laid_into_a_house()
    {
        var no = Assert.IsType<Verdict.Refused>(Law.Try(ShopState.Empty, new PieceRecorded("p", "k", "P", "shop", null, Places.House, null, null)));
        Assert.False(no.Overridable);
    }
}
