package mix

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// sampled makes laboratory results of pairs of cylinders at 28 days, in psi.
func sampled(psi ...float64) []LabResult {
	var out []LabResult
	for _, f := range psi {
		out = append(out, LabResult{Cylinders: []known.Stress{known.Say(quantity.PSI(f - 40)), known.Say(quantity.PSI(f + 40))}})
	}
	return out
}

// plainCard is the trial recipe of the default job as a plant would print it.
func plainCard(t *testing.T) Card {
	t.Helper()
	r := designed(t, func(*Input) {}).Recipe
	return Card{Name: known.Say("4545A"), Cement: known.Say(r.Cement), Water: known.Say(r.Water), Coarse: known.Say(r.Coarse), Sand: known.Say(r.Sand), Air: known.Say(r.Air), Strength: known.Say(quantity.PSI(4500))}
}

func TestACardIsReadAndJudged(t *testing.T) {
	card := plainCard(t)
	r := designed(t, func(in *Input) { in.Card = card })
	if math.Abs(r.Card.Yield-1) > 1e-9 || math.Abs(r.Card.WaterCement-0.45) > 1e-9 {
		t.Errorf("a recipe read back as a card: %+v", r.Card)
	}
	for _, id := range []check.ID{"mix.card-water", "mix.card-strength", "mix.card-air", "mix.card-yield"} {
		if level(r, id) != check.Good {
			t.Errorf("%s is %q", id, level(r, id))
		}
	}
	for name, c := range map[string]struct {
		change func(*Card)
		id     check.ID
		want   check.Level
	}{
		"a leaner card":         {func(c *Card) { c.Cement.Value *= 0.8 }, "mix.card-water", check.Stop},
		"3,000 psi promised":    {func(c *Card) { c.Strength = known.Say(quantity.PSI(3000)) }, "mix.card-strength", check.Stop},
		"no air":                {func(c *Card) { c.Air = known.Say(quantity.Percent(0.02)) }, "mix.card-air", check.Stop},
		"a hundred pounds over": {func(c *Card) { c.Sand.Value += quantity.Of[quantity.Density](120, "lb/yd3") }, "mix.card-yield", check.Care},
		"a wetter mix":          {func(c *Card) { c.Slump = known.Say(quantity.Inches(6)) }, "mix.card-slump", check.Care},
		"the slump ordered":     {func(c *Card) { c.Slump = known.Say(quantity.Inches(4)) }, "mix.card-slump", check.Good},
		"small stone":           {func(c *Card) { c.Stone = known.Say(quantity.Inches(0.375)) }, "mix.card-stone", check.Care},
		"the stone by its name": {func(c *Card) { c.Stone = known.Say(quantity.Millimetres(20)) }, "mix.card-stone", check.Good},
		"too much fly ash":      {func(c *Card) { c.FlyAsh = known.Say(c.Cement.Value / 2) }, "mix.card-binder", check.Stop},
	} {
		changed := card
		c.change(&changed)
		if got := level(designed(t, func(in *Input) { in.Card = changed }), c.id); got != c.want {
			t.Errorf("%s: %s is %q, not %q", name, c.id, got, c.want)
		}
	}
	in := Defaults()
	in.Card = card
	in.Card.Water = known.Say(in.Card.Cement.Value * 0.85)
	if err := in.Validate().Err(); err == nil || !strings.Contains(err.Error(), "0.85, outside 0.25 to 0.80") {
		t.Errorf("water for cement: %v", err)
	}
}

func TestEvidenceStandsBesideTheRulesAndMovesNone(t *testing.T) {
	r := designed(t, func(*Input) {})
	if r.Evidence == nil || len(r.Evidence.Ages) != 2 || len(r.Evidence.Nearest) != shownMixes {
		t.Fatalf("%+v", r.Evidence)
	}
	early, late := r.Evidence.Ages[0], r.Evidence.Ages[1]
	if early.Strength >= late.Strength || late.Low >= late.Strength || late.High <= late.Strength || level(r, "mix.evidence") == check.NotComputed {
		t.Errorf("7 days %+v, 28 days %+v", early, late)
	}
	if math.Abs(r.Strength.PSI()-4500) > 1e-6 || math.Abs(r.WaterCement-0.45) > 1e-12 {
		t.Error("evidence moved a rule")
	}
	fume := designed(t, func(in *Input) { in.SilicaFume = known.Say(quantity.Percent(0.05)) })
	if fume.Evidence.Refused == "" || len(fume.Evidence.Ages) != 0 {
		t.Errorf("silica fume: %+v", fume.Evidence)
	}
	big := designed(t, func(in *Input) { in.Stone.Value.Size = quantity.Inches(3); in.Freezing = known.Say(false) })
	if big.Evidence.Refused == "" || !strings.Contains(big.Evidence.Refused, "coarse") {
		t.Errorf("3 in stone: %+v", big.Evidence)
	}
}

func TestLaboratoryResultsAreJudgedByTheirClauses(t *testing.T) {
	for name, c := range map[string]struct {
		results        []LabResult
		singles, three check.Level
	}{
		"one test":             {sampled(4700), check.Good, check.NotComputed},
		"three good ones":      {sampled(4700, 4600, 4900), check.Good, check.Good},
		"a low average":        {sampled(4700, 4300, 4200), check.Good, check.Stop},
		"a low single":         {sampled(5200, 3900, 5200), check.Stop, check.Good},
		"exactly at the floor": {sampled(4000, 4750, 4750), check.Good, check.Good},
	} {
		r := designed(t, func(in *Input) { in.Lab = c.results })
		if got := level(r, "mix.lab-singles"); got != c.singles {
			t.Errorf("%s: singles %q", name, got)
		}
		if got := level(r, "mix.lab-threes"); got != c.three {
			t.Errorf("%s: threes %q", name, got)
		}
	}
	early := sampled(1500)
	early[0].Age = known.Say(quantity.Days(7))
	r := designed(t, func(in *Input) { in.Lab = early })
	if len(r.Lab.Strengths) != 0 || level(r, "mix.lab-early") != check.Care || level(r, "mix.lab-singles") != check.NotComputed {
		t.Errorf("a break at 7 days is a forecast, not a test: %+v", r.Lab)
	}
	small := sampled(4700)
	small[0].Across = known.Say(quantity.Inches(4))
	if r := designed(t, func(in *Input) { in.Lab = small }); r.Lab.Tests[0].Counts {
		t.Error("two 4 in cylinders are no strength test")
	}
}

func TestColdCuringLowersWhatABreakShows(t *testing.T) {
	warm, err1 := ForecastStrength("I", quantity.PSI(3000), quantity.Days(7), known.Temp{})
	cold, err2 := ForecastStrength("I", quantity.PSI(3000), quantity.Days(7), known.Say(quantity.Temp(5)))
	if err1 != nil || err2 != nil || cold <= warm {
		t.Errorf("7 days cold have ripened less, so the same break points higher: %v, %v", warm, cold)
	}
}

func TestControlChartOverJobs(t *testing.T) {
	in := Defaults()
	in.Lab = sampled(4700, 4600, 4900, 5100, 3800)
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	p := Picture(in, r)[0]
	if p.Title != "5 tests of this concrete: too low" || len(p.Table.Rows) != 5 || p.Table.Rows[4][5] != check.Stop.String() {
		t.Errorf("%q, %v", p.Title, p.Table.Rows)
	}
	for _, m := range p.Marks {
		if !slices.Contains(draft.Layers(), drawing.LayerOf(m)) {
			t.Errorf("a mark lies on %q", drawing.LayerOf(m).Name)
		}
	}
	if Picture(Defaults(), designed(t, func(*Input) {})) != nil {
		t.Error("no tests, no chart")
	}
}

func TestHowManySamples(t *testing.T) {
	r := designed(t, func(in *Input) {
		in.Volume, in.Area = known.Say(quantity.CubicYards(160)), known.Say(quantity.Of[quantity.Area](4000, "ft2"))
	})
	if r.Samples != 2 {
		t.Errorf("%d samples", r.Samples)
	}
}

func TestWhatALoadOtherThanOrderedDoes(t *testing.T) {
	r := designed(t, func(*Input) {})
	for i, want := range []struct {
		strength, slump float64 // signs
		lasting         bool
	}{{-1, 1, true}, {1, 0, true}, {-1, 0, false}, {0, -1, false}, {-1, 0, true}, {0, 1, true}} {
		c := r.Changes[i]
		if math.Copysign(1, float64(c.Strength)) != want.strength && want.strength != 0 || math.Copysign(1, float64(c.Slump)) != want.slump && want.slump != 0 || (c.Lasting != "") != want.lasting {
			t.Errorf("%+v", c)
		}
	}
}

// TestAnyCardAndLab: whatever is typed, the answer is a refusal or finite, and its sources are known.
func TestAnyCardAndLab(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := Defaults()
		density := func(name string) known.Density {
			if rapid.Bool().Draw(t, name+" left out") {
				return known.Density{}
			}
			return known.Say(quantity.Density(rapid.OneOf(rapid.Float64Range(0, 1500), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), -1, 0})).Draw(t, name)))
		}
		in.Card = Card{Cement: density("cement"), FlyAsh: density("ash"), Slag: density("slag"), Water: density("water"), Coarse: density("coarse"), Sand: density("sand"), Plasticizer: density("plasticizer")}
		for _, f := range rapid.SliceOfN(rapid.Float64Range(-1000, 9000), 0, 6).Draw(t, "tests") {
			in.Lab = append(in.Lab, LabResult{Age: known.Say(quantity.Days(rapid.Float64Range(-1, 60).Draw(t, "age"))), Cylinders: []known.Stress{known.Say(quantity.PSI(f)), known.Say(quantity.PSI(f + 100))}})
		}
		r, err := Design(in)
		if err != nil {
			return
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		for _, c := range r.Checks {
			if _, ok := sources.Find(c.Source); !ok {
				t.Fatalf("%s cites %q", c.ID, c.Source)
			}
		}
		Picture(in, r)
	})
}

func ExampleTables_JudgeLab() {
	pair := func(name string, a, b float64) LabResult {
		return LabResult{Name: known.Say(name), Cylinders: []known.Stress{known.Say(quantity.PSI(a)), known.Say(quantity.PSI(b))}}
	}
	results := []LabResult{pair("ticket 12", 4060, 4140), pair("ticket 31", 3880, 3920), pair("ticket 47", 4040, 4060), pair("ticket 55", 3470, 3490)}
	v, err := usTables.JudgeLab(quantity.US, results, quantity.PSI(4000), "I")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range v.Checks[:2] {
		fmt.Println(c.Level, "-", c.Says)
	}
	// Output:
	// don't - A test of 3,480 psi is below 3,500 psi (ACI 318-19, 26.12.3.1(b)).
	// don't - An average of three in a row is 3,810 psi, below 4,000 psi (ACI 318-19, 26.12.3.1(a)).
}

// BenchmarkDesign has a budget of 2 ms: what-if rankings design dozens of mixes.
func BenchmarkDesign(b *testing.B) {
	in := Defaults()
	for b.Loop() {
		if _, err := Design(in); err != nil {
			b.Fatal(err)
		}
	}
}
