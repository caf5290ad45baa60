package hold

import (
	"fmt"
	"math"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// The search must find what a fine sweep finds: the axle across each edge every 15 cm, each place solved by itself.
func TestTheSearchMissesNothing(t *testing.T) {
	m := newModel(quick(trailer(rect(0, 0, 3.5, 3))))
	p, err := m.plates(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	f, err := m.search(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	cases, err := m.exact(t.Context(), p, f)
	if err != nil {
		t.Fatal(err)
	}
	got, _ := caseOf(Result{Cases: cases}, crossing)
	worst := 0.0
	for _, e := range m.free {
		for _, nose := range []geometry.Point{e.Direction().Left(), e.Direction().Left().Scale(-1)} {
			m.slideAlong(e, m.loads[0], nose, m.loads[0].axles[0], 0, 0.15, func(s spot) {
				if s.kind = m.kindOf(s, m.loads[0]); s.kind != crossing {
					return
				}
				on, _ := m.placed(s, m.vehicle(s))
				r, err := plate.Solve(t.Context(), m.slab, plate.Load{Patches: on}, plate.Mesh{})
				if err != nil {
					t.Fatal(err)
				}
				bottom, top := m.extremes(r)
				worst = math.Max(worst, math.Max(bottom.Value, top.Value))
			})
		}
	}
	// 1 % is what the mesh is meant for, at every place of the sweep.
	if worst == 0 || float64(got.Stress) < 0.99*worst {
		t.Errorf("the search found %g Pa, the sweep %g", float64(got.Stress), worst)
	}
	t.Logf("search %g, sweep %g", float64(got.Stress), worst)
}

// On a curled slab places are ranked by adding up the curl and the load. Solving every place with its own contact, by day and at
// dawn, must find none that is worse than what the ranking led to; 3 % is the error of the search mesh that both use.
func TestTheSearchMissesNothingOnACurledSlab(t *testing.T) {
	m := newModel(quick(trailer(rect(0, 0, 3.5, 3), rect(3.5, 0, 7, 3))))
	ctx := t.Context()
	p, err := m.plates(ctx)
	if err != nil {
		t.Fatal(err)
	}
	f, err := m.search(ctx, p)
	if err != nil {
		t.Fatal(err)
	}
	cases, err := m.exact(ctx, p, f)
	if err != nil {
		t.Fatal(err)
	}
	worst := map[string]float64{}
	for _, s := range m.spots() {
		by := map[string]float64{atDawn: -float64(m.in.DawnCold.Value)}
		if s.kind == lane || s.kind == crossing {
			by[s.kind+byDay] = float64(m.in.DayWarm.Value)
		}
		for name, difference := range by {
			r, tension, err := p.whole(ctx, Case{spot: s, Difference: difference})
			if err != nil {
				t.Fatal(err)
			}
			if name == atDawn {
				_, top := m.extremes(r)
				tension = top.Value
			}
			worst[name] = math.Max(worst[name], tension)
		}
	}
	for _, name := range []string{lane + byDay, crossing + byDay, atDawn} {
		got, ok := caseOf(Result{Cases: cases}, name)
		t.Logf("%s: %.4g Pa by ranking, %.4g Pa by every place", name, float64(got.Stress), worst[name])
		if !ok || float64(got.Stress) < 0.97*worst[name] {
			t.Errorf("%s: ranking led to %g Pa, a place has %g Pa", name, float64(got.Stress), worst[name])
		}
	}
}

// Every rung of the ladder must be what the slab of that thickness comes to when it is asked for by itself: within the 5 % that
// the search mesh and the places chosen on the other thickness leave.
func TestTheLadderIsWhatEachThicknessComesTo(t *testing.T) {
	in := quick(trailer(rect(0, 0, 3.5, 3)))
	in.ByClosedForm = []ClosedUse{{quantity.Inches(4), 0.9}, {quantity.Inches(8), 0.4}}
	base := designed(t, in)
	var tall []float64
	for i, rung := range base.Ladder {
		if i > 0 && (rung.Utilisation >= base.Ladder[i-1].Utilisation || rung.Thickness <= base.Ladder[i-1].Thickness) {
			t.Errorf("thicker uses more: %+v", base.Ladder)
		}
		tall = append(tall, math.Round(rung.Thickness.Inches()))
		alone := in
		alone.Thickness = known.Say(rung.Thickness)
		if r := designed(t, alone); math.Abs(rung.Utilisation/r.Utilisation-1) > 0.05 {
			t.Errorf("%g in uses %g on the ladder, %g by itself", rung.Thickness.Inches(), rung.Utilisation, r.Utilisation)
		}
	}
	if fmt.Sprint(tall) != "[4 5 6 7 8]" || base.Ladder[0].Closed != 0.9 {
		t.Errorf("rungs at %v in, closed form %g", tall, base.Ladder[0].Closed)
	}
	if got := thinnest([]Rung{{Thickness: 4, Utilisation: 0.9}, {Thickness: 5, Utilisation: 1.1}, {Thickness: 6, Utilisation: 1}}); got != 6 {
		t.Errorf("thinnest %v", got)
	}
	if thinnest([]Rung{{Thickness: 4, Utilisation: 1.2}}) != 0 {
		t.Error("one that does not hold was called thinnest")
	}
}

// A truck on the young slab is judged as that slab under that truck would be, flat, and leaves the rest of the answer alone.
func TestMixerOnTheYoungSlab(t *testing.T) {
	in := quick(trailer(rect(0, 0, 3.5, 3)))
	plain := designed(t, in)
	in.MixerAge = known.Say(quantity.Of[quantity.Time](7, "d"))
	in.MixerElasticity, in.MixerFlexural = known.Say(quantity.PSI(3.0e6)), known.Say(quantity.PSI(400))
	for _, p := range in.Prints {
		p.Force = 25e3
		in.Mixer = append(in.Mixer, p)
	}
	r := designed(t, in)
	alone := in
	alone.Prints, alone.Elasticity, alone.Flexural, alone.SafetyWheels, alone.Mixer = in.Mixer, in.MixerElasticity, in.MixerFlexural, in.SafetyRare, nil
	alone.DayWarm, alone.DawnCold = known.Say(quantity.TempDiff(0)), known.Say(quantity.TempDiff(0))
	if want := designed(t, alone).Utilisation; r.Mixer == nil || math.Abs(r.Mixer.Utilisation/want-1) > 1e-12 {
		t.Errorf("mixer %+v, by itself %g", r.Mixer, want)
	}
	if r.Utilisation != plain.Utilisation || r.Chance != plain.Chance {
		t.Error("the truck changed what the trailer does")
	}
	sound(t, in, r)
	in.MixerFlexural = known.Stress{}
	if faults := in.Validate(); len(faults) != 1 || faults[0].Field != "mixer_flexural_strength" {
		t.Errorf("a young slab without strength: %v", faults)
	}
}
