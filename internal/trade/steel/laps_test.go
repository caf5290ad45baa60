package steel

import (
	"math"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// 50 ft bars out of 20 ft sticks run through: every bar has two laps of the lap's length, drawn on it, and those of neighbours are
// a lap apart where the stagger check says so.
func TestLapsAreDrawnStaggered(t *testing.T) {
	in := Defaults()
	in.Units = quantity.US
	side := func(l float64) float64 { return quantity.Feet(l).Metres() }
	in.Outline = geometry.Polygon{Outer: []geometry.Point{{}, {X: side(50)}, {X: side(50), Y: side(12)}, {Y: side(12)}}}
	in.Thickness, in.Through = known.Say(quantity.Inches(6)), known.Say(true)
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	laps, want, long := r.laps(in), 0, []Bar{}
	for _, b := range r.Bars {
		want += b.Pieces - 1
		if b.Pieces > 1 {
			long = append(long, b)
		}
	}
	if want == 0 || len(laps) != want {
		t.Fatalf("%d laps drawn, want %d", len(laps), want)
	}
	each := len(laps) / len(long)
	for i, b := range long {
		for _, s := range laps[i*each : (i+1)*each] {
			if math.Abs(s.Length()-r.Lap.Metres()) > 1e-6 || b.Line.Distance(s.Midpoint()) > beside+1e-9 || b.Line.Distance(s.A) > beside+1e-9 || b.Line.Distance(s.B) > beside+1e-9 {
				t.Errorf("lap %v lies off its bar %v or is not %v long", s, b.Line, r.Lap)
			}
			for _, o := range laps {
				if next := math.Abs(o.Midpoint().Y - s.Midpoint().Y); next > 0.1 && next < 1.5*r.Grid.Spacing.Metres() && math.Abs(o.Midpoint().X-s.Midpoint().X) < r.Lap.Metres() {
					t.Errorf("laps %v and %v of neighbours stand side by side", s, o)
				}
			}
		}
	}
}

func TestOptionsCostWhatTheirWeightCosts(t *testing.T) {
	in := Defaults()
	in.Outline = geometry.Polygon{Outer: []geometry.Point{{}, {X: 5}, {X: 5, Y: 4}, {Y: 4}}}
	in.Thickness = known.Say(quantity.Inches(5))
	in.BarPrice, in.MeshPrice, in.FibrePrice = known.Say(quantity.MoneyMass(2)), known.Say(quantity.MoneyMass(3)), known.Say(quantity.MoneyMass(20))
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	for i, price := range []float64{0, 20, 20, 2, 2, 3, 2} {
		o := r.Options[i]
		if math.Abs(float64(o.Cost)-price*float64(o.Weight)) > 1e-9 || price > 0 && o.Cost <= 0 {
			t.Errorf("%s: %v for %v, want %g a kilogram", o.Name, o.Cost, o.Weight, price)
		}
	}
}
