package site

import (
	"math"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func day(d int) known.Known[quantity.Date] {
	return known.Say(quantity.DateOf(time.Date(2027, 6, d, 0, 0, 0, 0, time.UTC)))
}

func TestSeveralStemsMakeOneRootZone(t *testing.T) {
	in := sized(40, 14)
	in.Obstacles = []Obstacle{{Kind: Tree, Name: "birch", X: feet(20), Y: feet(30), Stems: []quantity.Length{quantity.Inches(6), quantity.Inches(8)}}}
	r := mustDesign(t, in)
	// 12·√(6² + 8²) = 120 in.
	if got := r.Things[0].Zone; math.Abs(got-quantity.Inches(120).Metres()) > 1e-9 {
		t.Errorf("root zone %v m", got)
	}
	Picture(in, r)
	in.Obstacles[0].Stems[0] = 0
	if _, err := Design(in); err == nil {
		t.Error("a stem of nothing was taken")
	}
}

func TestHandDigZoneIsTheLineWithItsTolerance(t *testing.T) {
	in := sized(40, 14)
	in.Obstacles = []Obstacle{{Kind: Gas, Name: "gas", Across: known.Say(quantity.Inches(6)), Line: corners([2]float64{20, -40}, [2]float64{20, 60})}}
	zone, err := mustDesign(t, in).Things[0].HandDig()
	if err != nil || len(zone) != 1 {
		t.Fatalf("zone %v, %v", zone, err)
	}
	// 24 in and half the pipe each side: a strip 54 in wide, 100 ft long, with round ends.
	wide := quantity.Inches(54).Metres()
	if want := wide*quantity.Feet(100).Metres() + math.Pi*wide*wide/4; math.Abs(zone[0].Area()/want-1) > 1e-3 { // chords of the ends
		t.Errorf("%v m², not %v", zone[0].Area(), want)
	}
	in.Obstacles[0].Kind = Fence
	if zone, err := mustDesign(t, in).Things[0].HandDig(); err != nil || zone != nil {
		t.Errorf("a fence has a hand-dig zone: %v, %v", zone, err)
	}
}

func TestMarksAndDatesStopTheDig(t *testing.T) {
	in := sized(40, 14)
	in.Locate = Locate{Ticket: "77", LegalStart: day(10), Expires: day(24), Private: known.Say(true)}
	for dig, want := range map[int]check.Level{9: check.Stop, 10: check.Good, 24: check.Good, 25: check.Stop} {
		in.DigDate = day(dig)
		if c := find(mustDesign(t, in).Checks, "site.locate"); c.Level != want || !c.Safety {
			t.Errorf("dig on the %d: %+v", dig, c)
		}
	}
	in.DigDate, in.Locate.Expires = day(12), known.Known[quantity.Date]{}
	if c := find(mustDesign(t, in).Checks, "site.locate"); c.Level != check.Care {
		t.Errorf("without an end of the marks: %+v", c)
	}
}

func TestTheTownIsAskedAndItsAnswerHeld(t *testing.T) {
	in := sized(40, 14)
	for _, id := range []check.ID{"site.impervious", "site.setback", "site.permit"} {
		if c := find(mustDesign(t, in).Checks, id); c.Level != check.Care || !strings.Contains(c.Says, "?") || c.Source != "town-rules" {
			t.Errorf("%s: %+v", id, c)
		}
	}
	in.Obstacles = []Obstacle{{Kind: Lot, Name: "west line", Line: corners([2]float64{-4, -50}, [2]float64{-4, 50})}}
	in.Town = Town{Area: known.Say(quantity.Of[quantity.Area](5000, "ft2")), Hard: known.Say(quantity.Of[quantity.Area](2000, "ft2")), Most: known.Say(quantity.Percent(0.5)), Setback: feet(5), Permit: known.Say(true)}
	r := mustDesign(t, in)
	if c := find(r.Checks, "site.impervious"); c.Level != check.Stop { // 2,560 of 5,000 ft²
		t.Errorf("51 %% of 50: %+v", c)
	}
	if c := find(r.Checks, "site.setback"); c.Level != check.Stop || c.Where != "west line" {
		t.Errorf("4 ft of 5: %+v", c)
	}
	in.Town.Setback, in.Town.Most = feet(4), known.Say(quantity.Percent(0.6))
	r = mustDesign(t, in)
	if find(r.Checks, "site.setback").Level != check.Good || find(r.Checks, "site.impervious").Level != check.Good || find(r.Checks, "site.permit").Level != check.NotComputed {
		t.Error("what the town allows is told off")
	}
}
