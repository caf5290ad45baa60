package slab

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// anyJob draws a job that can be designed.
func anyJob(t *rapid.T) Input {
	in := Defaults()
	in.Vehicle = known.Say(rapid.SampledFrom(VehicleNames()).Draw(t, "vehicle"))
	in.SubgradeModulus = known.Say(quantity.Of[quantity.SubgradeModulus](rapid.Float64Range(30, 500).Draw(t, "k"), "pci"))
	in.Strength = known.Say(quantity.PSI(rapid.Float64Range(2500, 7000).Draw(t, "strength")))
	in.PanelLength = known.Say(quantity.Feet(rapid.Float64Range(4, 40).Draw(t, "long")))
	in.PanelWidth = known.Say(quantity.Feet(rapid.Float64Range(4, 40).Draw(t, "short")))
	in.Base = known.Say(rapid.SampledFrom([]string{baseStone, baseCement, baseNone}).Draw(t, "base"))
	in.Joint = known.Say(rapid.SampledFrom([]string{jointPlain, jointInterlock, jointDowels, jointFree}).Draw(t, "joint"))
	in.EdgeClearance = known.Say(quantity.Inches(rapid.Float64Range(0, 36).Draw(t, "clearance")))
	in.Passes = known.Say(weekly(rapid.Float64Range(0.1, 300).Draw(t, "passes")))
	in.Thickness = known.Say(quantity.Inches(rapid.Float64Range(3.5, 16).Draw(t, "thickness")))
	return in
}

// judged is the job at one thickness, without the search for others.
func judged(in Input, h quantity.Length) Candidate {
	in = in.Filled()
	return newModel(in, findGround(in)).judge(h.Metres())
}

func TestUtilisationFallsWithThickness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyJob(t)
		thin := judged(in, in.Thickness.Value)
		thick := judged(in, in.Thickness.Value*quantity.Length(rapid.Float64Range(1, 1.5).Draw(t, "thicker")))
		if thick.Utilisation > thin.Utilisation*(1+1e-9) {
			t.Fatalf("%g m uses %g (%s), %g m uses %g (%s)", thin.Thickness, thin.Utilisation, thin.Worst().Name, thick.Thickness, thick.Utilisation, thick.Worst().Name)
		}
	})
}

// Since use falls with thickness, more use at every thickness is never a thinner slab.
func TestMoreLoadIsNotThinner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyJob(t)
		gross := rapid.Float64Range(10, 200).Draw(t, "gross")
		in.Weight = known.Say(quantity.Force(1e3 * gross))
		light := judged(in, in.Thickness.Value)
		in.Weight = known.Say(quantity.Force(1e3 * gross * rapid.Float64Range(1, 2).Draw(t, "more")))
		if heavy := judged(in, in.Thickness.Value); heavy.Utilisation < light.Utilisation*(1-1e-9) {
			t.Fatalf("more weight, less use: %g then %g", light.Utilisation, heavy.Utilisation)
		}
		in.Axles = []Axle{{Load: known.Say(quantity.Pounds(5000)), At: known.Say(quantity.Feet(rapid.Float64Range(0, 20).Draw(t, "at")))}}
		heavy := in
		heavy.Axles = nil
		if with, without := judged(in, in.Thickness.Value), judged(heavy, in.Thickness.Value); with.Cases[0].Wheel < without.Cases[0].Wheel {
			t.Fatalf("one more axle, less stress: %g then %g", without.Cases[0].Wheel, with.Cases[0].Wheel)
		}
	})
}

func TestHarderUseIsNotThinner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyJob(t)
		in.SafetyWheels = known.Ratio{}
		mild := judged(in, in.Thickness.Value)
		hard := in
		switch rapid.IntRange(0, 2).Draw(t, "harder by") {
		case 0:
			hard.Passes.Value *= quantity.Frequency(rapid.Float64Range(1, 20).Draw(t, "more passes"))
		case 1:
			hard.EdgeShare.Value *= 2
		case 2:
			hard.Life.Value *= 2
		}
		if use := judged(hard, in.Thickness.Value).Utilisation; use < mild.Utilisation*(1-1e-9) {
			t.Fatalf("mild use %g, hard use %g", mild.Utilisation, use)
		}
	})
}

func TestSafetyRisesWithUse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Float64Range(0, 1000).Draw(t, "passes")
		a, b := useSafety(n), useSafety(n*rapid.Float64Range(1, 3).Draw(t, "more"))
		if a > b || a < rareSafety || b > frequentSafety {
			t.Fatalf("%g then %g", a, b)
		}
	})
}

func TestStifferGroundIsNotMoreWheelStress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyJob(t)
		in.Joint = known.Say(jointPlain) // a dowelled joint carries less of what the bed carries more of
		soft := judged(in, in.Thickness.Value)
		in.SubgradeModulus.Value *= quantity.SubgradeModulus(rapid.Float64Range(1, 2).Draw(t, "stiffer"))
		for i, c := range judged(in, in.Thickness.Value).Cases {
			if c.Where == "corner" {
				continue // a shorter section counts fewer wheels: see TestStifferGroundAtACorner
			}
			// The Fourier integral is cut where 3e-4 of it is left: that much may come and go.
			if c.Wheel > soft.Cases[i].Wheel*(1+3e-4) {
				t.Fatalf("%s: %g Pa on the soft bed, %g Pa on the stiff one", c.Name, soft.Cases[i].Wheel, c.Wheel)
			}
		}
	})
}

func TestStifferGroundAtACorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyJob(t)
		soft := newModel(in, found{k: 20e6, bare: 20e6})
		stiff := newModel(in, found{k: 20e6 * rapid.Float64Range(1, 4).Draw(t, "stiffer"), bare: 20e6})
		h := in.Thickness.Value.Metres()
		one := []Contact{tyreContact("tyre", 20e3, 0.6e6, 0, 0)}
		a := corner(soft.plate(h), one, in.EdgeClearance.Value.Metres())
		b := corner(stiff.plate(h), one, in.EdgeClearance.Value.Metres())
		if b.stress > a.stress*(1+1e-9) {
			t.Fatalf("%g then %g", a.stress, b.stress)
		}
	})
}

func TestUnitsDoNotChangeTheSlab(t *testing.T) {
	for _, name := range VehicleNames() {
		in := Defaults()
		in.Vehicle, in.Thickness = known.Say(name), known.Say(quantity.Millimetres(170))
		us, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		in.Units = quantity.Metric
		metric, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(us.Chosen, metric.Chosen) || us.Thickness != metric.Thickness || us.OpeningStrength != metric.OpeningStrength {
			t.Errorf("%s: %v and %v", name, us.Chosen, metric.Chosen)
		}
		again, err := Design(in)
		if err != nil || !reflect.DeepEqual(again, metric) {
			t.Errorf("%s: two answers to one question", name)
		}
	}
}

// Whatever stands in the numbers, the design answers with numbers or says what is wrong: it never panics, and its result can
// be written as JSON, which knows no infinity.
func TestAnyNumbersAreAnsweredOrRefused(t *testing.T) {
	wild := rapid.SampledFrom([]float64{0, -1, 1e-9, 0.01, 0.15, 1, 3, 100, 1e5, 3e7, 1e9, 1e300, math.Inf(1), math.NaN()})
	rapid.Check(t, func(t *rapid.T) {
		in := anyJob(t)
		fields := known.Entries(&in)
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			known.Set(&in, rapid.SampledFrom(fields).Draw(t, "field").Field, wild.Draw(t, "value"))
		}
		r, err := Design(in)
		if err != nil {
			return
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		if !quantity.Finite(r.Utilisation) || r.Thickness <= 0 {
			t.Fatalf("use %g at %g m", r.Utilisation, r.Thickness)
		}
		Picture(in, r)
	})
}

// The special case of one wheel on a joint that carries nothing must be the free edge.
func TestAJointThatCarriesNothingIsAnEdge(t *testing.T) {
	in := Defaults()
	in.Vehicle, in.Joint = known.Say("moving truck"), known.Say(jointFree)
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	var edge, joint quantity.Stress
	for _, c := range r.Chosen.Cases {
		switch c.Name {
		case "astray", "entrance":
			edge = max(edge, c.Wheel)
		case "joint":
			joint = c.Wheel
		}
	}
	if edge != joint || edge == 0 {
		t.Errorf("edge %g, joint %g", edge, joint)
	}
}
