package pour_test

import (
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
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

func TestTheSiteIsHeldAgainstTheForecast(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	in.Now = in.Start.Add(-2 * time.Hour)
	in.Reading.Air = known.Say(quantity.Celsius(33))
	r := design(t, in)
	if c := find(t, r, "pour.forecast-agrees"); c.Level != check.Care || !strings.Contains(c.Says, "air") {
		t.Errorf("%v: %s", c.Level, c.Says)
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
