package record

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working/workingtest"
)

// done is an apron poured and written down: 11 yd³ came for 10 drawn, a quarter went back, two tasks took longer than priced.
func done() Input {
	in := Defaults()
	in.LeftOver = known.Say(quantity.CubicYards(0.25))
	in.Hours = []Worked{
		{known.Say("forms"), known.Say[quantity.Number](2), known.Say(quantity.Hours(4))},
		{known.Say("forms"), known.Say[quantity.Number](1), known.Say(quantity.Hours(1))},
		{known.Say("place"), known.Say[quantity.Number](4), known.Say(quantity.Hours(1))},
	}
	for _, d := range []float64{6.2, 6.1, 6.4, 6.0, 6.3, 6.2} {
		in.BaseDepths = append(in.BaseDepths, known.Say(quantity.Inches(d)))
	}
	in.Thickness = []known.Length{known.Say(quantity.Inches(6.1)), known.Say(quantity.Inches(5.9))}
	p := &in.Planned
	p.Neat, p.Ordered, p.Came = known.Say(quantity.CubicYards(10)), known.Say(quantity.CubicYards(11)), known.Say(quantity.CubicYards(11))
	p.Thickness, p.Loads, p.Tickets = known.Say(quantity.Inches(6)), known.Say[quantity.Number](2), known.Say[quantity.Number](2)
	p.Tasks = []Task{{"forms", "set forms", quantity.Hours(6)}, {"place", "place and strike off", quantity.Hours(5)}, {"saw", "saw", quantity.Hours(1)}}
	return in
}

func made(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	workingtest.RestsOnSomething(t, r.Report())
	return r
}

func ExampleDesign() {
	r, err := Design(done())
	hours := func(t quantity.Time) string { return quantity.Show(t, quantity.AsHours).String(quantity.US) }
	fmt.Println(quantity.Show(r.Used, quantity.AsVolume).String(quantity.US), "used,", hours(r.Worked), "worked,", hours(r.Priced), "priced", err)
	// Output: 10.75 yd³ used, 13.0 h worked, 11.0 h priced <nil>
}

func level(t *testing.T, r Result, id check.ID) check.Level {
	t.Helper()
	for _, c := range r.Checks {
		if c.ID == id {
			return c.Level
		}
	}
	t.Fatalf("no check %s", id)
	return check.NotComputed
}

func TestTheDayHeldAgainstThePlan(t *testing.T) {
	r := made(t, done())
	if got := float64(r.Waste); math.Abs(got-0.075) > 1e-9 {
		t.Errorf("waste %v", got)
	}
	if got := r.BaseLow.Inches(); math.Abs(got-0.2) > 1e-9 {
		t.Errorf("base low by %v in", got)
	}
	if level(t, r, "record.thin") != check.Good || level(t, r, "record.hours") != check.Care || level(t, r, "record.over-order") != check.Good {
		t.Errorf("checks %+v", r.Checks)
	}
	if len(r.Gaps) == 0 || !slices.Contains(r.Gaps, "the weather as it was") || slices.ContainsFunc(r.Gaps, func(g string) bool { return strings.Contains(g, "ticket") }) {
		t.Errorf("gaps %v", r.Gaps)
	}
}

func TestAThinPlaceStops(t *testing.T) {
	in := done()
	in.Thickness = append(in.Thickness, known.Say(quantity.Inches(5)))
	if level(t, made(t, in), "record.thin") != check.Stop {
		t.Error("an inch less passes")
	}
}

func TestAChangeNeedsAName(t *testing.T) {
	in := done()
	in.Changes = []Change{{Says: known.Say("two feet wider"), Money: known.Say[quantity.Money](480)}, {Says: known.Say("no broom"), Money: known.Say[quantity.Money](-60), Agreed: known.Say("the owner")}}
	r := made(t, in)
	if r.Extra != 420 || level(t, r, "record.agreed") != check.Care {
		t.Errorf("extra %v, %v", r.Extra, level(t, r, "record.agreed"))
	}
}

func TestNothingWrittenDownIsNotJudged(t *testing.T) {
	r := made(t, Defaults())
	if r.Begun || len(r.Checks) > 0 || len(r.Gaps) > 0 {
		t.Errorf("%+v", r)
	}
}

func TestAWholeRecordHasNoGaps(t *testing.T) {
	in := done()
	in.Planned.Taps = known.Say[quantity.Number](9)
	in.Photos = []Photo{{File: known.Say("1.jpg"), Of: known.Say("steel")}, {File: known.Say("2.jpg"), Of: known.Say("base")}}
	in.Weather = []Seen{{Air: known.Say[quantity.Temp](20)}}
	in.Signed = []Signature{{Who: known.Say("the owner"), What: known.Say("hand-over")}}
	if r := made(t, in); len(r.Gaps) > 0 || level(t, r, "record.gaps") != check.Good {
		t.Errorf("gaps %v", r.Gaps)
	}
}

func TestFaultsNameTheLine(t *testing.T) {
	in := done()
	in.Hours[1].Task = known.Say("dancing")
	in.Hours[2].Time = known.Say(quantity.Hours(30))
	in.LeftOver = known.Say(quantity.CubicYards(12))
	in.Weather = []Seen{{Humidity: known.Say[quantity.Percent](1.4)}}
	faults := in.Validate()
	if len(faults) != 4 {
		t.Fatalf("%v", faults)
	}
	for i, field := range []string{"hours[2].task", "hours[3].time", "left_over", "weather[1].humidity"} {
		if faults[i].Field != field {
			t.Errorf("fault %d is of %s, want %s", i, faults[i].Field, field)
		}
	}
}

// TestWhateverIsWrittenIsANumber: any record is refused or gives finite numbers.
func TestWhateverIsWrittenIsANumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string) float64 {
			return rapid.OneOf(rapid.Float64Range(-5, 30), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0})).Draw(t, name)
		}
		in := done()
		in.LeftOver = known.Say(quantity.CubicYards(number("left")))
		in.Hours[0].Time = known.Say(quantity.Hours(number("time")))
		in.Thickness[0] = known.Say(quantity.Inches(number("thickness")))
		r, err := Design(in)
		if err != nil {
			return
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
	})
}
