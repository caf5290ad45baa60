package almanac

import (
	"fmt"
	"time"
	_ "time/tzdata" // a laptop without zone files must read the same clock

	"slabwright/internal/engines/quantity"
)

// Zone finds a time zone by its public name, "America/Chicago". An empty name is no zone: nil, and times keep the clock
// they were written with.
func Zone(name string) (*time.Location, error) {
	if name == "" {
		return nil, nil
	}
	zone, err := time.LoadLocation(name)
	if err != nil || name == "Local" {
		return nil, fmt.Errorf("%q is not a time zone; type one like America/Chicago", name)
	}
	return zone, nil
}

// ZoneOf is Zone, but a name that is only what one of the given times calls its own clock ("Local", an offset with a name) is that
// clock; "Local" without such a time is no zone.
func ZoneOf(name string, times ...time.Time) (*time.Location, error) {
	for _, t := range times {
		if name != "" && !t.IsZero() && t.Location().String() == name {
			return t.Location(), nil
		}
	}
	if name == "Local" {
		return nil, nil
	}
	return Zone(name)
}

// On reads an instant on the clock of a zone; a nil zone leaves it as written.
func On(at time.Time, zone *time.Location) time.Time {
	if zone == nil || at.IsZero() {
		return at
	}
	return at.In(zone)
}

// Meridian guesses the longitude of a place, radians east, from its clock: 15° for every hour of standard time from UTC.
// Summer time is taken off where the zone knows it; of a clock with nothing but an offset it is assumed from April to October,
// so the guess may be 15° off.
func Meridian(at time.Time) float64 {
	_, offset := at.Zone()
	_, january := time.Date(at.Year(), 1, 1, 12, 0, 0, 0, at.Location()).Zone()
	_, july := time.Date(at.Year(), 7, 1, 12, 0, 0, 0, at.Location()).Zone()
	standard := min(offset, january, july)
	if bare := at.Location().String() == ""; bare && at.Month() >= time.April && at.Month() <= time.October {
		standard -= 3600
	}
	return float64(standard) / 3600 * 15 * rad
}

// Midnight is the first instant of the calendar day of `at`, days later: 23 or 25 hours after the one before where the
// clocks change.
func Midnight(at time.Time, days int) time.Time {
	year, month, day := at.Date()
	return time.Date(year, month, day+days, 0, 0, 0, 0, at.Location())
}

// OnClock is when the clocks of a day show so many minutes after midnight; of an hour that comes twice the first, of one that is left
// out the hour after.
func OnClock(day time.Time, minutes int) time.Time {
	year, month, date := day.Date()
	return time.Date(year, month, date, 0, minutes, 0, 0, day.Location())
}

// NextMidnight is `at` itself when it is the first instant of a day, otherwise the first instant of the next day: a date
// rounded later.
func NextMidnight(at time.Time) time.Time {
	if start := Midnight(at, 0); start.Equal(at) {
		return at
	}
	return Midnight(at, 1)
}

// Later rounds an instant up to the next multiple of step on its own clock, step a divisor of an hour.
func Later(at time.Time, step time.Duration) time.Time {
	_, offset := at.Zone()
	shift := time.Duration(offset) * time.Second
	down := at.Add(shift).Truncate(step).Add(-shift)
	if down.Equal(at) {
		return at
	}
	return down.Add(step)
}

// Clock writes the time of day to five minutes: "7:05 am" in a US job, "07:05" in a metric one.
func Clock(at time.Time, system quantity.System) string {
	at = at.Add(150 * time.Second)
	at = at.Add(-time.Duration(at.Minute()%5)*time.Minute - time.Duration(at.Second())*time.Second)
	if system == quantity.Metric {
		return at.Format("15:04")
	}
	return at.Format("3:04 pm")
}

// Date writes a day with its weekday: "Tue Aug 4, 2026" or "Tue 4 Aug 2026".
func Date(at time.Time, system quantity.System) string {
	if system == quantity.Metric {
		return at.Format("Mon 2 Jan 2006")
	}
	return at.Format("Mon Jan 2, 2006")
}

// Stamp writes day and time: "Tue Aug 4, 7:05 am" or "Tue 4 Aug 07:05".
func Stamp(at time.Time, system quantity.System) string {
	if system == quantity.Metric {
		return at.Format("Mon 2 Jan") + " " + Clock(at, system)
	}
	return at.Format("Mon Jan 2") + ", " + Clock(at, system)
}
