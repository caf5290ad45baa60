package order

import (
	"math"
	"slices"
	"strings"
	"testing"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// twoPours is a slab of 1800 and 1200 ft²: each pour is its own order, and the day's trucks are those of one.
func twoPours(which float64) Input {
	in := Defaults()
	in.Units = quantity.US
	in.Net = known.From(quantity.CubicYards(50), "grade.net_volume")
	in.Edges = known.From(quantity.CubicYards(10), "forms.edge_concrete")
	in.Area, in.Thickness = known.Say(quantity.Of[quantity.Area](3000, "ft2")), known.Say(quantity.Inches(6))
	for _, area := range []float64{1800, 1200} {
		in.Pours = append(in.Pours, Part{Area: known.Say(quantity.Of[quantity.Area](area, "ft2"))})
	}
	if which > 0 {
		in.Which = known.Say(quantity.Number(which))
	}
	return in
}

func TestEveryPourIsItsOwnOrder(t *testing.T) {
	for _, which := range []float64{0, 1, 2} {
		r, err := Design(twoPours(which))
		if err != nil {
			t.Fatal(err)
		}
		if got := r.Neat.CubicYards(); math.Abs(got-60) > 1e-9 {
			t.Errorf("neat %.3f yd³, want net and edges, 60", got)
		}
		if len(r.Pours) != 2 || r.Pours[0].Neat.CubicYards() < 35.9 || r.Pours[0].Neat.CubicYards() > 36.1 || r.Yards != r.Pours[0].Yards+r.Pours[1].Yards {
			t.Fatalf("pours %+v, in all %.3f yd³", r.Pours, r.Yards.CubicYards())
		}
		day := r.Pours[max(int(which), 1)-1]
		sum := quantity.Volume(0)
		for _, l := range r.Loads {
			sum += l.Volume
		}
		if math.Abs(float64(sum-day.Yards)) > 1e-9 || len(r.Loads) != day.Loads || r.Today() != day.Yards {
			t.Errorf("order for pour %g: %d loads of %.2f yd³ together, want %d of %.2f", which, len(r.Loads), sum.CubicYards(), day.Loads, day.Yards.CubicYards())
		}
		if amount := r.Call[4].Written; !strings.Contains(amount, WriteAmount(day.Yards, quantity.US)) || !strings.Contains(amount, "of 2") {
			t.Errorf("the call says %q", amount)
		}
	}
	if _, err := Design(twoPours(3)); err == nil || !strings.Contains(err.Error(), "1 to 2") {
		t.Errorf("pour 3 of 2: %v", err)
	}
	said := twoPours(0)
	said.Net.Origin = known.Said
	if r, err := Design(said); err != nil || math.Abs(r.Neat.CubicYards()-50) > 1e-9 {
		t.Errorf("a net volume said by a person holds the edges: %v, %v", r.Neat.CubicYards(), err)
	}
}

// TestAnOrderBeyondAnyPlantIsRefused: a least order of so many steps that one more is lost in rounding was searched for ever.
func TestAnOrderBeyondAnyPlantIsRefused(t *testing.T) {
	i := slices.IndexFunc(Calculations(), func(c calc.Calculation) bool { return c.Name == "order.best_quantity" })
	_, err := Calculations()[i].Run(calc.Values{"mean": 6.5, "sd": 8.0, "over": 6.0, "under": 60.0, "least": 8e16})
	if err == nil {
		t.Error("an order of 8e16 m³ was worked out")
	}
}
