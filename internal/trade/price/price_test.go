package price

import (
	"fmt"
	"math"
	"slices"
	"strings"
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

// TestPaymentsMakeTheTotal: whatever the shares and the tax, what is paid is the total to the cent.
func TestPaymentsMakeTheTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := pad()
		first := quantity.Percent(rapid.Float64Range(0, 1).Draw(t, "first share"))
		in.Business.Tax = known.Say(quantity.Percent(rapid.Float64Range(0, 0.2).Draw(t, "tax")))
		in.Business.Payments = []Payment{{known.Say("forms and base looked at"), known.Say(first)}, {known.Say("pour"), known.Say((1 - first) / 2)}, {known.Say("done"), known.Say((1 - first) / 2)}}
		r := mustDesign(t, in)
		sum := quantity.Money(0)
		for _, d := range r.Payments {
			sum += d.Money
		}
		if math.Abs(float64(sum-r.Total)) > 1e-6 || math.Abs(float64(r.Total-r.Price-r.Tax)) > 1e-6 || r.Tax < 0 {
			t.Fatalf("paid %v of %v, price %v, tax %v", sum, r.Total, r.Price, r.Tax)
		}
	})
}

func TestSharesThatDoNotMakeTheWholeAreRefused(t *testing.T) {
	in := pad()
	in.Business.Payments = []Payment{{known.Say("start"), known.Say[quantity.Percent](0.5)}, {known.Say("end"), known.Say[quantity.Percent](0.4)}}
	if _, err := Design(in); err == nil || !strings.Contains(err.Error(), "100 %") {
		t.Errorf("got %v", err)
	}
}

// TestWaitingIsWhatTheHandsDoNotDo: four people there for eight hours, half of what they do not work is paid.
func TestWaitingIsWhatTheHandsDoNotDo(t *testing.T) {
	in := pad()
	in.Work.PourDay = known.Say(quantity.Hours(8))
	with, busy := mustDesign(t, in), 0.0
	for _, task := range with.Tasks {
		if slices.Contains(onPourDay, task.Name) {
			busy += float64(task.Hours)
		}
	}
	in.Work.PourDay = known.Time{}
	without := mustDesign(t, in)
	if got, want := float64(with.Hours-without.Hours), (4*8*3600-busy)/2; math.Abs(got-want) > 1e-6 {
		t.Errorf("waiting %v s, want %v", got, want)
	}
}

func TestReinforcementIsPricedAsWhatItIs(t *testing.T) {
	for kind, name := range map[string]string{"bars": "bars", "mesh": "mesh", "fibre": "fibre"} {
		in := pad()
		in.Work.Kind = known.Say(kind)
		r := mustDesign(t, in)
		if !slices.ContainsFunc(r.Lines, func(l Line) bool { return l.Name == name }) {
			t.Errorf("%s: no line %s", kind, name)
		}
		if tied := slices.ContainsFunc(r.Tasks, func(t Task) bool { return t.Name == "steel" }); tied == (kind == "fibre") {
			t.Errorf("%s: hours for placing steel: %v", kind, tied)
		}
	}
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
