package mix

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/spoken"
	"slabwright/internal/trade/working/workingtest"
)

func level(r Result, id check.ID) check.Level {
	for _, c := range r.Checks {
		if c.ID == id {
			return c.Level
		}
	}
	return check.NotComputed
}

func designed(t *testing.T, change func(*Input)) Result {
	t.Helper()
	in := Defaults()
	change(&in)
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestDefaultsAreAVehicleSlabWhereItFreezes(t *testing.T) {
	r := designed(t, func(*Input) {})
	if want := "4,500 psi, 3/4 in stone, 4 in slump, 6 % air, w/cm 0.45 max, 55 °F or warmer"; r.OrderLine != want {
		t.Errorf("order line %q, not %q", r.OrderLine, want)
	}
	if got := quantity.In(r.Recipe.Cementitious, "lb/yd3"); math.Abs(got-677.8) > 0.05 { // 305 / 0.45
		t.Errorf("binder %.1f lb/yd³", got)
	}
	if level(r, "mix.strength-record") != check.Care {
		t.Error("an average above the table must be left to the plant's record")
	}
}

func TestMetricJobsUseTheSITables(t *testing.T) {
	r := designed(t, func(in *Input) {
		in.Units = quantity.Metric
		in.Stone, in.Slump = known.Say(spoken.Stone{Size: quantity.Millimetres(20), Name: "20 mm"}), known.Say(spoken.Slump(quantity.Millimetres(100)))
		in.Coarse.Rodded = known.Say(quantity.Density(1600))
	})
	// Worked example C: water 184, binder 408.9, stone 1008, sand 660.2 kg/m³.
	got := []float64{float64(r.Recipe.Water), float64(r.Recipe.Cementitious), float64(r.Recipe.Coarse), float64(r.Recipe.Sand)}
	for i, want := range []float64{184, 408.9, 1008, 660.2} {
		if math.Abs(got[i]-want) > 0.2 {
			t.Errorf("part %d is %.1f, not %.1f kg/m³", i, got[i], want)
		}
	}
	if r.Strength != quantity.MPa(31) {
		t.Errorf("strength %v", r.Strength.MPa())
	}
}

func TestASackOrderIsReadAsCement(t *testing.T) {
	r := designed(t, func(in *Input) { in.Cement = known.Say(SackContent(6)) })
	if r.Sacks == nil || math.Abs(r.Sacks.SacksNeeded-7.21) > 0.005 || r.Sacks.WaterCement < 0.54 {
		t.Fatalf("reading %+v", r.Sacks)
	}
	for _, c := range r.Checks {
		if c.ID == "mix.sacks" {
			if !strings.Contains(c.Says, "7.2 sacks") || !strings.Contains(c.Then[0], "4,500 psi") {
				t.Errorf("says %q, then %q", c.Says, c.Then)
			}
			return
		}
	}
	t.Error("no check about sacks")
}

func TestWhatAForemanWouldStop(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Input)
		id     check.ID
		want   check.Level
	}{
		"no air where it freezes":   {func(in *Input) { in.Air = known.Say(quantity.Percent(0)) }, "mix.air", check.Stop},
		"too little air":            {func(in *Input) { in.Air = known.Say(quantity.Percent(0.04)) }, "mix.air", check.Stop},
		"air in tolerance":          {func(in *Input) { in.Air = known.Say(quantity.Percent(0.05)) }, "mix.air", check.Good},
		"more air than needed":      {func(in *Input) { in.Air = known.Say(quantity.Percent(0.09)) }, "mix.air", check.Care},
		"4,000 psi said":            {func(in *Input) { in.Strength = known.Say(quantity.PSI(4000)) }, "mix.strength", check.Care},
		"3,000 psi said":            {func(in *Input) { in.Strength = known.Say(quantity.PSI(3000)) }, "mix.strength", check.Stop},
		"big stone in a thin slab":  {func(in *Input) { in.Thickness = known.Say(quantity.Inches(2)) }, "mix.stone-depth", check.Stop},
		"stone wider than the bars": {func(in *Input) { in.Clear = known.Say(quantity.Inches(0.8)) }, "mix.stone-bars", check.Stop},
		"fly ash and slag over the sum": {func(in *Input) {
			in.FlyAsh, in.Slag = known.Say(quantity.Percent(0.2)), known.Say(quantity.Percent(0.35))
		}, "mix.binder-limits", check.Stop},
		"seven inches of slump": {func(in *Input) { in.Slump = known.Say(spoken.Slump(quantity.Inches(7))) }, "mix.slump", check.Care},
		"sulfate soil":          {func(in *Input) { in.Sulphate = known.Say("S2") }, "mix.sulphate", check.Care},
	} {
		if got := level(designed(t, c.change), c.id); got != c.want {
			t.Errorf("%s: %s is %q, not %q", name, c.id, got, c.want)
		}
	}
}

func TestDeviationOfThePlantLowersTheAim(t *testing.T) {
	r := designed(t, func(in *Input) {
		in.Freezing, in.Strength = known.Say(false), known.Say(quantity.PSI(4000))
		in.Deviation, in.Tests = known.Say(quantity.PSI(420)), known.Say(quantity.Number(18))
	})
	if got := r.Average.PSI(); math.Abs(got-4626) > 1 { // CON-24
		t.Errorf("average %.0f psi", got)
	}
	if r.Entrained || r.Limit != 0 || !r.TableAnswers {
		t.Errorf("no frost, no limit: %+v", r)
	}
}

func TestFaultsComeAllAtOnce(t *testing.T) {
	in := Defaults()
	in.Slump, in.Stone = known.Say(spoken.Slump(math.NaN())), known.Say(spoken.Stone{Size: -1})
	in.Sand.Fineness, in.Code = known.Say[quantity.Ratio](4), known.Say("my own code")
	in.Freezing = known.Truth{}
	if got := len(in.Validate()); got != 5 {
		t.Errorf("%d faults: %v", got, in.Validate())
	}
	if _, err := Design(in); err == nil {
		t.Error("designed all the same")
	}
}

func TestEverySourceAndOriginOfTheWorkingIsKnown(t *testing.T) {
	r := designed(t, func(in *Input) { in.Cement, in.FlyAsh = known.Say(SackContent(6)), known.Say(quantity.Percent(0.2)) })
	workingtest.RestsOnSomething(t, r.Report())
}

// anyInput draws inputs a person could give, right or wrong.
func anyInput(t *rapid.T) Input {
	in := Defaults()
	number := func(name string, low, high float64) float64 {
		return rapid.OneOf(rapid.Float64Range(low, high), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), -1, 0, 1e300})).Draw(t, name)
	}
	in.Units = rapid.SampledFrom([]quantity.System{quantity.US, quantity.Metric}).Draw(t, "units")
	in.Slump = known.Say(spoken.Slump(number("slump", 0.02, 0.3)))
	in.Stone = known.Say(spoken.Stone{Size: quantity.Length(number("stone", 0.008, 0.09))})
	in.Strength = known.Say(quantity.Stress(number("strength", 7e6, 8e7)))
	in.Cement = known.Say(quantity.Density(number("cement", 120, 700)))
	in.Air = known.Say(quantity.Percent(number("air", 0, 0.12)))
	in.FlyAsh = known.Say(quantity.Percent(number("fly ash", 0, 0.6)))
	in.Code = known.Say(rapid.SampledFrom(editions).Draw(t, "code"))
	in.Sulphate = known.Say(rapid.SampledFrom([]string{"S0", "S1", "S2", "S3"}).Draw(t, "sulphate"))
	in.Freezing = known.Say(rapid.Bool().Draw(t, "freezing"))
	in.Structural = known.Say(rapid.Bool().Draw(t, "structural"))
	in.Reinforced = known.Say(rapid.Bool().Draw(t, "reinforced"))
	return in
}

// TestAnyInput: whatever is given, the answer is a refusal or a finite recipe whose parts fill the volume and add up.
func TestAnyInput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyInput(t)
		r, err := Design(in)
		if err != nil {
			return
		}
		text, err := json.Marshal(r)
		if err != nil {
			t.Fatalf("%v", err)
		}
		s := r.Recipe.Shares
		if sum := s.Water + s.Binder + s.Coarse + s.Air + s.Sand; math.Abs(sum-1) > 1e-12 {
			t.Fatalf("shares add to %v in %s", sum, text)
		}
		if r.Limit > 0 && r.WaterCement > r.Limit+1e-12 {
			t.Fatalf("w/cm %v over the limit %v", r.WaterCement, r.Limit)
		}
		again, _ := Design(in)
		if b, _ := json.Marshal(again); string(b) != string(text) {
			t.Fatal("same input, other output")
		}
	})
}

// TestMoistureNeverMakesOrLosesMass: the drum holds the recipe plus the water inside the aggregates (dry basis), or just the
// recipe (SSD basis).
func TestMoistureNeverMakesOrLosesMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, high float64) float64 { return rapid.Float64Range(0, high).Draw(t, name) }
		coarse := Aggregate{quantity.Density(draw("stone", 1200)), draw("stone wet", 0.05), draw("stone absorbs", 0.05)}
		sand := Aggregate{quantity.Density(draw("sand", 1000)), draw("sand wet", 0.05), draw("sand absorbs", 0.05)}
		for basis, extra := range map[Basis]float64{Dry: 1, SSD: 0} {
			b, err := BatchMasses(basis, 200, coarse, sand)
			if err != nil {
				t.Fatal(err)
			}
			want := 200 + float64(coarse.Mass+sand.Mass) + extra*float64(b.Absorbed)
			if got := float64(b.Coarse + b.Sand + b.Water); math.Abs(got-want) > 1e-9*want {
				t.Fatalf("%s: %v in the drum, not %v", basis, got, want)
			}
		}
	})
}

func TestMoreWaterIsNotStronger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tables := rapid.SampledFrom([]Tables{usTables, siTables}).Draw(t, "edition")
		entrained := rapid.Bool().Draw(t, "air")
		a, b := rapid.Float64Range(0.42, 0.69).Draw(t, "a"), rapid.Float64Range(0.42, 0.69).Draw(t, "b")
		fa, err := tables.AverageStrength(min(a, b), entrained)
		if err != nil {
			t.Fatal(err)
		}
		fb, err := tables.AverageStrength(max(a, b), entrained)
		if err != nil || fb > fa+1e-6 {
			t.Fatalf("w/cm %v gives %v, %v gives %v (%v)", a, fa, b, fb, err)
		}
		back, err := tables.WaterCement(fa, entrained)
		if err != nil || math.Abs(back-min(a, b)) > 1e-9 {
			t.Fatalf("there and back: %v, %v", min(a, b), back)
		}
	})
}

func TestWaterRisesWithSlumpAndNeverJumps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slump := rapid.Float64Range(0, 9).Draw(t, "slump")
		a, _, err1 := usTables.Water(quantity.Inches(0.75), quantity.Inches(slump), true)
		b, _, err2 := usTables.Water(quantity.Inches(0.75), quantity.Inches(slump+1e-6), true)
		if err1 != nil || err2 != nil || b < a || b-a > 1e-3 {
			t.Fatalf("at %v in: %v then %v", slump, a, b)
		}
	})
}

func TestThePromiseOfAnAverageNeedsNoMoreThanTheAverage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tables := rapid.SampledFrom([]Tables{usTables, siTables}).Draw(t, "edition")
		average := quantity.MPa(rapid.Float64Range(8, 60).Draw(t, "average"))
		if p := tables.promised(average); p <= 0 || tables.UnprovenAverage(p) > average*(1+1e-9) {
			t.Fatalf("promised %v of %v", p.MPa(), average.MPa())
		}
	})
}

func TestEveryExposureOfEveryEditionIsAnswered(t *testing.T) {
	for _, code := range editions {
		for bits := range 32 {
			e := Exposure{Code: code, Freezing: bits&1 > 0, Deicers: bits&2 > 0, Vehicles: bits&4 > 0, Structural: bits&8 > 0, Reinforced: bits&16 > 0}
			classes, err := e.Applying()
			if err != nil || len(classes) == 0 {
				t.Fatalf("%+v: %v", e, err)
			}
			if r := Govern(classes, quantity.US); e.Freezing != (r.Frost != NoFrost) || r.Strength < quantity.PSI(2500) {
				t.Errorf("%+v: %+v", e, r)
			}
		}
	}
}

func Example() {
	in := Defaults()
	if _, err := in.Asked.Read("6 sack", quantity.Box{}); err != nil {
		fmt.Println(err)
	}
	r, err := Design(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("Ask for:", r.OrderLine)
	for _, c := range r.Checks {
		if c.ID == "mix.sacks" || c.ID == "mix.added-water" {
			fmt.Println(c.Says)
		}
	}
	// Output:
	// Ask for: 4,500 psi, 3/4 in stone, 4 in slump, 6 % air, w/cm 0.45 max, 55 °F or warmer
	// 1 gal/yd³ of added water takes w/cm 0.450 to 0.462 and costs about 154 psi of strength: over the limit of 0.45.
	// Sacks tell cement, not strength: 6 sacks at this slump, stone and air make w/cm 0.54, about 3,450 psi on average and 2,450 psi to promise; 0.45 needs 7.2 sacks, or a water reducer.
}
