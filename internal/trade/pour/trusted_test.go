package pour_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

func TestAShortForecastJudgesNothing(t *testing.T) {
	r := design(t, at(apron(fineDays(june11, 9)), 7))
	if r.Verdict != check.NotComputed {
		t.Errorf("verdict %v from a forecast that ends before the set", r.Verdict)
	}
	hours := fineDays(june11, 48)
	if r := design(t, at(apron(append(hours[:8:8], hours[13:]...)), 7)); r.Verdict != check.NotComputed {
		t.Errorf("verdict %v across a hole of six hours", r.Verdict)
	}
}

func TestAHoleAndASlipOfTheForecastAreNamed(t *testing.T) {
	hours := fineDays(june11, 48)
	hours[30].Air += 14
	in := at(apron(append(hours[:20:20], hours[26:]...)), 7)
	r := design(t, in)
	if c := find(t, r, "pour.forecast-odd"); c.Level != check.Care || !strings.Contains(c.Says, "air") {
		t.Errorf("%v: %s", c.Level, c.Says)
	}
	if c := find(t, r, "pour.forecast-gap"); c.Level != check.Care {
		t.Errorf("%v: %s", c.Level, c.Says)
	}
}

func TestTheSiteIsHeldAgainstTheForecastAndMovesIt(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	in.Now = in.Start.Add(-2 * time.Hour)
	usual := design(t, in)
	in.Reading.Air, in.Reading.Wind = known.Say(in.Forecast[5].Air+8), known.Say(3*in.Forecast[5].Wind)
	r := design(t, in)
	if c := find(t, r, "pour.forecast-agrees"); c.Level != check.Care || !strings.Contains(c.Says, "air") || !strings.Contains(c.Says, "moved") {
		t.Errorf("%v: %s", c.Level, c.Says)
	}
	if r.Chosen.Peak <= usual.Chosen.Peak || !r.Chosen.FloatFrom.Before(usual.Chosen.FloatFrom) {
		t.Errorf("a warmer, windier dawn: peak %v and %v, floating from %v and %v", usual.Chosen.Peak, r.Chosen.Peak, usual.Chosen.FloatFrom, r.Chosen.FloatFrom)
	}
	for _, name := range []string{"air_shift", "wind_shift"} {
		step := stepNamed(t, r, name)
		if step.Source != sources.OwnRule || !strings.Contains(step.Formula, "fading") {
			t.Errorf("%+v", step)
		}
	}
	if i := slices.IndexFunc(r.Days, func(d pour.DayPlan) bool { return d.Date.Day() == in.Start.Day()+1 }); i >= 0 {
		for k, s := range r.Days[i].Starts {
			if s.Peak != usual.Days[i].Starts[k].Peak {
				t.Errorf("the next day moved: %v and %v at %v", usual.Days[i].Starts[k].Peak, s.Peak, s.At)
			}
		}
	}
}

func TestAReadingOfAnotherPlaceOrHourMovesNothing(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	in.Now = in.Start.Add(-2 * time.Hour)
	usual := design(t, in)
	in.Reading.Air = known.Say(in.Forecast[5].Air + 25)
	if r := design(t, in); r.Chosen.Peak != usual.Chosen.Peak || find(t, r, "pour.forecast-agrees").Level != check.Care {
		t.Errorf("25 K off was believed")
	}
	in.Reading.Air, in.Reading.At = known.Say(in.Forecast[5].Air+5), in.Forecast[0].Time.Add(-30*24*time.Hour)
	r := design(t, in)
	if c := find(t, r, "pour.forecast-agrees"); r.Chosen.Peak != usual.Chosen.Peak || !strings.Contains(c.Says, "not used") {
		t.Errorf("a reading of last month: %s", c.Says)
	}
}

func TestThreeSetsSeenSayHowFarADayLiesOff(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	in.Rehearse = known.Say(true)
	for _, h := range []float64{5, 6, 7} {
		in.SetsSeen = append(in.SetsSeen, pour.SetSeen{Concrete: 21.1, Initial: quantity.Hours(h)})
	}
	two := in
	two.SetsSeen = in.SetsSeen[:2]
	if step := stepNamed(t, design(t, two), "window_scatter"); step.Origin != known.Assumed {
		t.Errorf("from two sets: %+v", step)
	}
	step := stepNamed(t, design(t, in), "window_scatter")
	if step.Origin != known.Computed || math.Abs(step.Value.SI-1.0/6) > 1e-9 { // 1 h about 6 h; sums of three numbers
		t.Errorf("from three sets: %v, %+v", step.Value, step)
	}
	in.Team.WindowScatter = known.Say(quantity.Percent(0.3))
	if step := stepNamed(t, design(t, in), "window_scatter"); step.Origin != known.Said {
		t.Errorf("over what a person said: %+v", step)
	}
}

func TestSetsSeenOnSiteMoveTheClock(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	usual := design(t, in).Chosen
	in.SetsSeen = []pour.SetSeen{{Concrete: 21.1, Initial: quantity.Hours(8), Final: quantity.Hours(11)}, {Concrete: 21.1, Initial: quantity.Hours(8)}}
	if slow := design(t, in).Chosen; !slow.FloatFrom.After(usual.FloatFrom.Add(2 * time.Hour)) {
		t.Errorf("floating from %v with a slow mix, from %v with the usual", slow.FloatFrom, usual.FloatFrom)
	}
	in.SetsSeen[0].Final = quantity.Hours(7)
	if _, err := pour.Design(in); err == nil {
		t.Error("a final set before the initial passed")
	}
}

func TestASlowerBlendSetsLaterByTheUsualDelay(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	usual := design(t, in).Chosen
	in.FlyAsh, in.FlyAshLime = known.Say(quantity.Percent(0.2)), known.Say(quantity.Percent(0.08))
	with := design(t, in).Chosen
	if by := with.FloatFrom.Sub(usual.FloatFrom).Hours(); by < 0.5 || by > 3 {
		t.Errorf("a fifth of ash delays the initial set by %.2f h", by)
	}
}

func stepNamed(t *testing.T, r pour.Result, name string) working.Step {
	t.Helper()
	i := slices.IndexFunc(r.Working.Steps, func(s working.Step) bool { return s.Name == name })
	if i < 0 {
		t.Fatalf("no step %s", name)
	}
	return r.Working.Steps[i]
}
