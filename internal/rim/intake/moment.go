package intake

import (
	"errors"
	"strings"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
)

var (
	errNoMoment = errors.New("is not a time that can be placed.")
	errSkipped  = errors.New("is an hour that is not: the clocks go forward over it.")
)

// clockForms are how days with a clock are written without an offset; those with slashes by the units' habit, month first in US.
var clockForms = []string{"2006-01-02T15:04", "2006-01-02T15:04:05"}

var slashForms = map[quantity.System][]string{
	quantity.US:     {"1/2/2006T15:04", "1/2/2006T15:04:05", "1/2/2006T3:04PM", "1/2/2006T3:04:05PM"},
	quantity.Metric: {"2/1/2006T15:04", "2/1/2006T15:04:05", "2.1.2006T15:04", "2.1.2006T15:04:05"},
}

// readMoment reads a point in time: with its offset from UTC, or on the clock of a zone.
func readMoment(text string, zone *time.Location) (time.Time, error) {
	return inForms(text, zone, clockForms)
}

func inForms(text string, zone *time.Location, forms []string) (time.Time, error) {
	text = strings.Replace(strings.TrimSpace(text), " ", "T", 1)
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
		if t, err := time.Parse(form, text); err == nil {
			return t, nil
		}
	}
	if zone == nil {
		return time.Time{}, errNoMoment
	}
	text = strings.ToUpper(strings.ReplaceAll(text, " ", ""))
	for _, form := range forms {
		wall, err := time.Parse(form, text)
		if err != nil {
			continue
		}
		t, err := time.ParseInLocation(form, text, zone)
		if err != nil || t.Hour() != wall.Hour() || t.Minute() != wall.Minute() {
			return time.Time{}, errSkipped
		}
		return t, nil
	}
	return time.Time{}, errNoMoment
}

// moment reads the time of a row of a table: as readMoment does, with the forms of logs besides; a clock alone is on the day of the
// row before, or the day after where that is past, and for the first row on the day asked about.
func (r Reading) moment(text string, before time.Time) (time.Time, error) {
	t, err := inForms(text, r.Zone, append(clockForms, slashForms[r.Units]...))
	if err == nil || errors.Is(err, errSkipped) {
		return t, err
	}
	var clock quantity.Clock
	day := before
	if day.IsZero() {
		day = r.Day
	}
	if _, wrong := clock.ReadText(text, quantity.Box{Name: "time"}); wrong != nil || day.IsZero() || strings.ContainsAny(text, "-/") {
		return time.Time{}, err
	}
	if r.Zone != nil {
		day = day.In(r.Zone)
	}
	at := almanac.OnClock(day, int(clock))
	if again := at.Add(time.Hour); again.Format("15:04") == at.Format("15:04") && again.After(before) && !at.After(before) {
		at = again
	}
	if !before.IsZero() && !at.After(before) {
		at = almanac.OnClock(almanac.Midnight(day, 1), int(clock))
	}
	if at.Hour()*60+at.Minute() != int(clock)%(24*60) {
		return time.Time{}, errSkipped
	}
	return at, nil
}
