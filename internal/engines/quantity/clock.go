package quantity

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Clock is a time of day in minutes since midnight, 0 to 1439.
type Clock int

// String writes the clock as 07:00.
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }

// Hours since midnight.
func (c Clock) Hours() float64 { return float64(c) / 60 }

// Since is the time from midnight to the clock.
func (c Clock) Since() Time { return Time(60 * float64(c)) }

// Spoken writes the clock as people of locale read it: 7:00 am where a 12-hour clock is usual, else 07:00.
func (c Clock) Spoken(locale string) string {
	if !twelveHour(locale) {
		return c.String()
	}
	half := "am"
	switch {
	case c == 720:
		half = "noon"
	case c == 0:
		half = "midnight"
	case c > 720:
		half = "pm"
	}
	return fmt.Sprintf("%d:%02d %s", (int(c)/60+11)%12+1, int(c)%60, half)
}

// MarshalText writes the clock as 07:00.
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what MarshalText writes, and whatever ReadText knows.
func (c *Clock) UnmarshalText(text []byte) error {
	_, err := c.ReadText(string(text), Box{})
	return err
}

// twelveHour: the 12-hour clock is usual in these places (Unicode CLDR, recalled); empty is en-US.
func twelveHour(locale string) bool {
	switch strings.ToLower(strings.ReplaceAll(locale, "_", "-")) {
	case "", "en", "en-us", "en-ca", "en-au", "en-nz", "en-ph", "en-in", "es-us", "es-mx", "fil":
		return true
	}
	return false
}

var clockForm = regexp.MustCompile(`^(\d{1,2})(?:[:.h]?([0-5]\d))?(?: ?h(?:rs?|ours?)?| ?o'clock)? ?(a\.?m?\.?|p\.?m?\.?)?$`)

var clockWords = map[string]Clock{"noon": 720, "12 noon": 720, "12:00 noon": 720, "midday": 720,
	"midnight": 0, "12 midnight": 0, "12:00 midnight": 0}

// ReadText reads a time of day: 7, 7a, 0700, 7:00 am, noon. A bare 7 is the morning; the afternoon is typed 7 pm or 19.
// The usual range of a clock box is in hours of the day.
func (c *Clock) ReadText(text string, box Box) (Heard, error) {
	const example = "7, 7:30 am, 1 pm or 13:00"
	if err := CheckTyped(text, box, example); err != nil {
		return Heard{}, err
	}
	p := plain(text)
	at, ok := clockWords[p]
	var notes []string
	if !ok {
		m := clockForm.FindStringSubmatch(p)
		if m == nil {
			return Heard{}, CannotRead(text, "this is not a time of day", example)
		}
		minutes, err := clockMinutes(m[1], m[2], m[3])
		if err != nil {
			return Heard{}, CannotRead(text, err.Error(), example)
		}
		at = Clock(minutes)
		if m[3] == "" && len(m[1]) == 1 && at >= 60 && at < 5*60 {
			notes = []string{fmt.Sprintf("Read as the morning. For the afternoon type %s pm.", m[1])}
		}
	}
	heard := Heard{ReadBack: at.Spoken(box.Locale), Notes: notes}
	if outside := (box.High > 0) && (at.Hours() < box.Low || at.Hours() > box.High); outside {
		heard.Ask = askClock(at, box)
	}
	*c = at
	return heard, nil
}

// askClock offers the other half of the day where that is usual.
func askClock(at Clock, box Box) *Question {
	kept := at.Spoken(box.Locale)
	other := (at + 720) % 1440
	if other.Hours() >= box.Low && other.Hours() <= box.High {
		offer := other.Spoken(box.Locale)
		return &Question{Says: fmt.Sprintf("%s is unusual for %s. Use %s?", kept, named(box), offer), Choices: []string{offer, kept}}
	}
	low, high := Clock(60*box.Low), Clock(60*box.High)
	return &Question{Says: fmt.Sprintf("%s is unusual for %s; usual is %s to %s. Keep it?", kept, named(box),
		low.Spoken(box.Locale), high.Spoken(box.Locale)), Choices: []string{kept}}
}

func clockMinutes(hourText, minuteText, half string) (int, error) {
	hour, _ := strconv.Atoi(hourText)
	minute, _ := strconv.Atoi(minuteText)
	switch {
	case half != "" && (hour < 1 || hour > 12):
		return 0, fmt.Errorf("am and pm go with 1 to 12")
	case strings.HasPrefix(half, "a"):
		hour %= 12
	case strings.HasPrefix(half, "p"):
		hour = hour%12 + 12
	}
	if hour > 23 {
		return 0, fmt.Errorf("a day has 24 hours")
	}
	return 60*hour + minute, nil
}
