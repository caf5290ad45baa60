package price

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/calc/calctest"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }

func pad() Input {
	in := Defaults()
	in.Work.Area = known.Say(quantity.Of[quantity.Area](560, "ft2"))
	in.Work.Edge = known.Say(quantity.Feet(108))
	in.Work.Concrete = known.Say(quantity.CubicYards(11.25))
	in.Work.Stone = known.Say(quantity.Of[quantity.Mass](16, "ton"))
	in.Work.Steel = known.Say(quantity.Of[quantity.Mass](450, "lb"))
	in.Work.Boards = known.Say(quantity.Feet(112))
	in.Work.Saw = known.Say(quantity.Feet(28))
	return in
}

func ExampleDesign() {
	in := pad()
	in.Materials.Concrete = known.Say(quantity.Of[quantity.MoneyVolume](170, "$/yd3"))
	r, err := Design(in)
	fmt.Println(r.Lines[0].Says, r.Lines[0].Total, err)
	// Output: concrete, delivered 1912.5 <nil>
}

func mustDesign(t interface{ Fatal(...any) }, in Input) Result {
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestTheBillAddsUp: what is printed adds to the printed price to the cent, rounding line included.
func TestTheBillAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := pad()
		in.Work.Area.Value *= quantity.Area(rapid.Float64Range(0.1, 20).Draw(t, "area"))
		in.Business.Margin.Value = quantity.Percent(rapid.Float64Range(0, 0.6).Draw(t, "margin"))
		r := mustDesign(t, in)
		sum := quantity.Money(0)
		for _, l := range r.Lines {
			sum += l.Total
		}
		total := sum + r.Contingency + r.Overhead + r.Profit + r.Rounding
		// 1e-6: a dozen sums of amounts near 1e4 carry 1e-11 rounding.
		if math.Abs(float64(total-r.Price)) > 1e-6 || math.Abs(float64(sum-r.Direct)) > 1e-6 {
			t.Fatalf("lines and shares make %v, price %v", total, r.Price)
		}
		if r.Rounding < -1e-3 || r.Rounding >= 5 || math.Mod(float64(r.Price), 5) != 0 {
			t.Fatalf("price %v rounded by %v", r.Price, r.Rounding)
		}
		bars := 0.0
		for _, b := range r.steps(in) {
			bars += b.value
		}
		if math.Abs(bars-float64(r.Price)) > 1e-6 {
			t.Fatalf("bars add to %v, price %v", bars, r.Price)
		}
	})
}

func TestMoreConcreteNeverCostsLess(t *testing.T) {
	in := pad()
	less := mustDesign(t, in)
	in.Work.Concrete.Value *= 1.1
	if more := mustDesign(t, in); more.Price < less.Price {
		t.Errorf("%v for more, %v for less", more.Price, less.Price)
	}
}

func TestInventedPricesAreNeverGood(t *testing.T) {
	for _, c := range mustDesign(t, pad()).Checks {
		if c.ID == "price.own-prices" && c.Level != check.Care {
			t.Errorf("invented prices give %v", c.Level)
		}
	}
}

func TestFaultsNameTheField(t *testing.T) {
	in := pad()
	in.Business.Margin = known.Say(quantity.Percent(1.2))
	in.Rates.Place = known.Say(quantity.AreaRate(0))
	in.Materials.Stone = known.Say(quantity.MoneyMass(math.NaN()))
	_, err := Design(in)
	if faults, ok := err.(check.Faults); !ok || len(faults) != 3 {
		t.Errorf("got %v", err)
	}
}

func TestThePictureAddsUpInItsTable(t *testing.T) {
	in := pad()
	p := Picture(in, mustDesign(t, in))[0]
	if n := len(p.Table.Rows); n < 7 || p.Table.Rows[n-1][0] != "price" {
		t.Errorf("table %v", p.Table.Rows)
	}
}
