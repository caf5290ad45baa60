package pour_test

import (
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/sources"
)

func TestStampsThatContradictOneAnotherAreRefusedWithWords(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	in.Rehearse = known.Say(true)
	after := func(minutes int, what string, strip int) pour.Tap {
		return pour.Tap{At: in.Start.Add(time.Duration(minutes) * time.Minute), What: what, Strip: strip}
	}
	for want, taps := range map[string][]pour.Tap{
		"not stamped as struck off":  {after(0, "truck here", 0), after(200, "sheen gone", 1)},
		"before the first truck":     {after(-10, "struck off", 0), after(0, "truck here", 0)},
		"already stamped as floated": {after(0, "truck here", 0), after(10, "struck off", 1), after(240, "floated", 1), after(250, "edged", 1)},
		"another day":                {after(0, "truck here", 0), after(24*60, "struck off", 0)},
		"no strip 60":                {after(0, "struck off", 60)},
	} {
		in.Team.Taps = taps
		if _, err := pour.Design(in); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
	in.Team.Taps = []pour.Tap{after(0, "truck here", 0), after(10, "struck off", 1), after(120, "sheen gone", 1), after(240, "floated", 1), after(26*60, "sawn", 1)}
	if _, err := pour.Design(in); err != nil {
		t.Errorf("a day in its order, sawn on the next: %v", err)
	}
}

func TestACrewThatWasSaidCanMakeTheVerdict(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	in.Rehearse, in.Team.Placers, in.Finishers = known.Say(true), known.Guess[quantity.Number](1, "", sources.OwnRule), known.Guess[quantity.Number](1, "", sources.OwnRule)
	in.Team.Hands = known.Number{}
	if r := design(t, in); find(t, r, "pour.crew").Level != check.Care || r.Verdict == check.Stop {
		t.Errorf("a crew nobody told of: %v, verdict %v", find(t, r, "pour.crew").Level, r.Verdict)
	}
	in.Team.Hands = known.Say[quantity.Number](2)
	if r := design(t, in); find(t, r, "pour.crew").Level != check.Stop || r.Verdict != check.Stop {
		t.Errorf("two hands that were said: %v", r.Verdict)
	}
}
