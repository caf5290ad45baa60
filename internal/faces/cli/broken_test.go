package cli

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

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
