package cli

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
)

func TestValuesAreSaidAsTheTradeSaysThem(t *testing.T) {
	us, euro := tongue{quantity.US, "$"}, tongue{quantity.Metric, "€"}
	yard := 0.764554857984
	for _, c := range []struct {
		t     tongue
		value quantity.Any
		want  string
	}{
		{us, quantity.Plain(11.5*yard, quantity.AsVolume), "11 1/2 yd³"},
		{us, quantity.Plain(10.56*yard, quantity.AsVolume), "10.56 yd³"},
		{us, quantity.Plain(0, quantity.AsVolume), "0 yd³"},
		{euro, quantity.Plain(11.5, quantity.AsVolume), "11.50 m³"},
		{us, quantity.Plain(20*907.18474, quantity.AsTons), "20.0 tons"},
		{us, quantity.Plain(0.07, quantity.AsPercent), "7 %"},
		{us, quantity.Plain(7.21, quantity.AsRatio), "7.21"},
		{us, quantity.Plain(8865, quantity.AsMoney), "$8,865"},
		{euro, quantity.Plain(173.18, quantity.AsMoney), "€173.18"},
		{euro, quantity.Plain(161.28, quantity.AsMoneyArea), "€161.28/m²"},
		{us, quantity.Words("Pour with care"), "Pour with care"},
	} {
		if got := c.t.value(c.value); got != c.want {
			t.Errorf("%v: %q, not %q", c.value, got, c.want)
		}
	}
	if got := euro.headline(quantity.Plain(8864.61, quantity.AsMoney)); got != "€8,865" {
		t.Errorf("headline %q", got)
	}
	if got := us.span(quantity.Plain(0.05, quantity.AsPercent), quantity.Plain(0.2, quantity.AsPercent)); got != "5 to 20 %" {
		t.Errorf("span %q", got)
	}
}

func TestBrokenLinesKeepEveryWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-zé³ ]{0,200}`).Draw(t, "text")
		indent, width := rapid.IntRange(0, 20).Draw(t, "indent"), rapid.IntRange(0, 100).Draw(t, "width")
		got := broken(text, indent, width)
		if strings.Join(strings.Fields(got), " ") != strings.Join(strings.Fields(text), " ") {
			t.Fatalf("%q became %q", text, got)
		}
		for i, line := range strings.Split(got, "\n") {
			length := utf8.RuneCountInString(line)
			if i == 0 {
				length += indent
			}
			if width > indent+20 && length > width && strings.Contains(strings.TrimSpace(line), " ") {
				t.Fatalf("%d columns of %d: %q", length, width, line)
			}
		}
	})
}

func TestColourOnlyWhereItIsWanted(t *testing.T) {
	for _, c := range []struct {
		terminal       bool
		noColour, dumb string
		want           bool
	}{{true, "", "xterm", true}, {false, "", "xterm", false}, {true, "1", "xterm", false}, {true, "", "dumb", false}} {
		env := map[string]string{"NO_COLOR": c.noColour, "TERM": c.dumb}
		if got := coloured(c.terminal, func(name string) string { return env[name] }); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// TestTheMachinesZoneHasAName holds that the zone of a plan can be read again on another machine.
func TestTheMachinesZoneHasAName(t *testing.T) {
	for _, name := range []string{"", "America/Chicago", ":Europe/Rome", "Nowhere/Land", "Local"} {
		zone := here(func(string) string { return name }, time.Now())
		if _, err := time.LoadLocation(zone.String()); err != nil || zone.String() == "Local" {
			t.Errorf("TZ=%q gives %q", name, zone)
		}
	}
}
