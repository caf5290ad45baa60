package quantity

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Date is a day of the civil calendar, without a clock or a zone. The zero Date is no date.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf is the day of t in t's own zone.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// Time is the start of the day, UTC.
func (d Date) Time() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// Weekday of the date.
func (d Date) Weekday() time.Weekday { return d.Time().Weekday() }

// Add is the date n days later.
func (d Date) Add(n int) Date { return DateOf(d.Time().AddDate(0, 0, n)) }

// DaysSince is how many days d lies after earlier.
func (d Date) DaysSince(earlier Date) int {
	return int(d.Time().Sub(earlier.Time()).Hours() / 24)
}

// Before says whether d is an earlier day than other.
func (d Date) Before(other Date) bool { return d.Time().Before(other.Time()) }

// IsZero says whether there is no date.
func (d Date) IsZero() bool { return d == Date{} }

// ISO writes the date as 2026-06-11.
func (d Date) ISO() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day) }

// String writes the date with its weekday, the same in every locale: Thu 11 Jun 2026.
func (d Date) String() string {
	if d.IsZero() {
		return "no date"
	}
	return d.Time().Format("Mon 2 Jan 2006")
}

// Long writes the date in full in the order of the locale: Thursday, June 11, 2026, or Thursday 11 June 2026.
func (d Date) Long(locale string) string {
	if monthFirst(locale) {
		return d.Time().Format("Monday, January 2, 2006")
	}
	return d.Time().Format("Monday 2 January 2006")
}

// MarshalText writes the date as 2026-06-11; no date is empty.
func (d Date) MarshalText() ([]byte, error) {
	if d.IsZero() {
		return nil, nil
	}
	return []byte(d.ISO()), nil
}

// UnmarshalText reads what MarshalText writes, and every date that names its year.
func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = Date{}
		return nil
	}
	_, err := d.ReadText(string(text), Box{})
	return err
}

const dateExample = "thu, 11 june or 2026-06-11"

// ReadText reads a day: thu, tomorrow, 6/11, 11 june, 2026-06-11. A day without a year is the next such day counted from
// box.Today; a weekday is never today. 6/11 is month and day, or day and month, as the locale writes it.
func (d *Date) ReadText(text string, box Box) (Heard, error) {
	if err := CheckTyped(text, box, dateExample); err != nil {
		return Heard{}, err
	}
	date, notes, err := readDate(strings.ReplaceAll(plain(text), ",", " "), box)
	if err != nil {
		return Heard{}, CannotRead(text, err.Error(), dateExample)
	}
	*d = date
	return Heard{ReadBack: date.String(), Notes: notes}, nil
}

var (
	isoDate     = regexp.MustCompile(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$`)
	slashDate   = regexp.MustCompile(`^(\d{1,2}) ?[/-] ?(\d{1,2})(?: ?[/-] ?(\d{4}|\d{2}))?$`)
	pointDate   = regexp.MustCompile(`^(\d{1,2})\. ?(\d{1,2})\.? ?(\d{4}|\d{2})?$`)
	dayMonth    = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|\.)?[ -]?(?:of )?([a-z]{3,9})\.?[ -]?(\d{4})?$`)
	monthDay    = regexp.MustCompile(`^([a-z]{3,9})\.?[ -]?(\d{1,2})(?:st|nd|rd|th)?(?:[ -](\d{4}))?$`)
	weekdayForm = regexp.MustCompile(`^(?:on |next |this )?([a-z]{2,9})\.?$`)
	leadingDay  = regexp.MustCompile(`^([a-z]{3,9})\.? (.*\d.*)$`)
)

func readDate(p string, box Box) (Date, []string, error) {
	p = strings.Join(strings.Fields(p), " ")
	if date, notes, ok, err := dayFromToday(p, box); ok {
		return date, notes, err
	}
	if m := leadingDay.FindStringSubmatch(p); m != nil {
		if day, ok := weekdayNamed(m[1]); ok {
			return dateOnWeekday(day, m[2], box)
		}
	}
	if m := isoDate.FindStringSubmatch(p); m != nil {
		return civil(number(m[1]), number(m[2]), number(m[3]), box, nil)
	}
	if m := pointDate.FindStringSubmatch(p); m != nil {
		return civil(yearOf(m[3]), number(m[2]), number(m[1]), box, nil)
	}
	if m := slashDate.FindStringSubmatch(p); m != nil {
		return slashed(number(m[1]), number(m[2]), yearOf(m[3]), box)
	}
	if m := dayMonth.FindStringSubmatch(p); m != nil {
		if month, ok := monthNamed(m[2]); ok {
			return civil(yearOf(m[3]), month, number(m[1]), box, nil)
		}
	}
	if m := monthDay.FindStringSubmatch(p); m != nil {
		if month, ok := monthNamed(m[1]); ok {
			return civil(yearOf(m[3]), month, number(m[2]), box, nil)
		}
	}
	return Date{}, nil, fmt.Errorf("this is not a day")
}

// dateOnWeekday reads "thu 11 june" and refuses it if that is no Thursday.
func dateOnWeekday(day time.Weekday, rest string, box Box) (Date, []string, error) {
	date, notes, err := readDate(rest, box)
	if err == nil && date.Weekday() != day {
		return date, nil, fmt.Errorf("%s is a %s, not a %s", date, date.Weekday(), day)
	}
	return date, notes, err
}

// dayFromToday reads today, tomorrow and weekdays.
func dayFromToday(p string, box Box) (Date, []string, bool, error) {
	ahead, near := map[string]int{"today": 0, "tomorrow": 1, "tmrw": 1, "day after tomorrow": 2, "yesterday": -1}[p]
	day, named := time.Weekday(0), false
	if m := weekdayForm.FindStringSubmatch(p); m != nil && !near {
		day, named = weekdayNamed(m[1])
	}
	if !near && !named {
		return Date{}, nil, false, nil
	}
	if box.Today.IsZero() {
		return Date{}, nil, true, fmt.Errorf("no day can be counted from today here")
	}
	today := DateOf(box.Today)
	if near {
		return today.Add(ahead), nil, true, nil
	}
	ahead = (int(day)-int(today.Weekday())+6)%7 + 1
	if ahead == 7 {
		return today.Add(7), []string{fmt.Sprintf("Today is %s too. For today, type today.", day)}, true, nil
	}
	return today.Add(ahead), nil, true, nil
}

// slashed reads 6/11 in the order of the locale, or in the only order that is a day.
func slashed(first, second, year int, box Box) (Date, []string, error) {
	month, day, order := first, second, "month/day"
	if !monthFirst(box.Locale) {
		month, day, order = second, first, "day/month"
	}
	var notes []string
	switch {
	case month > 12 && day <= 12:
		month, day = day, month
		notes = []string{fmt.Sprintf("There is no month %d: read the other way round.", day)}
	case month != day && day <= 12:
		notes = []string{"Read as " + order + "."}
	}
	return civil(year, month, day, box, notes)
}

// monthFirst: these write 6/11 for the 11th of June (Unicode CLDR, recalled); empty is en-US.
func monthFirst(locale string) bool {
	switch strings.ToLower(strings.ReplaceAll(locale, "_", "-")) {
	case "", "en", "en-us", "en-ph", "es-us", "es-pr", "es-pa", "fil":
		return true
	}
	return false
}

// civil checks that the day exists; year zero is the next such day.
func civil(year, month, day int, box Box, notes []string) (Date, []string, error) {
	if month < 1 || month > 12 {
		return Date{}, nil, fmt.Errorf("there is no month %d", month)
	}
	if day < 1 || day > 31 {
		return Date{}, nil, fmt.Errorf("there is no day %d", day)
	}
	if year != 0 {
		date := Date{year, time.Month(month), day}
		if year < 1900 || year > 2200 || DateOf(date.Time()) != date {
			return Date{}, nil, fmt.Errorf("%s %d has no day %d", time.Month(month), year, day)
		}
		return date, notes, nil
	}
	if box.Today.IsZero() {
		return Date{}, nil, fmt.Errorf("the year is missing")
	}
	today := DateOf(box.Today)
	for y := today.Year; y <= today.Year+8; y++ {
		date := Date{y, time.Month(month), day}
		if DateOf(date.Time()) == date && !date.Before(today) {
			return date, notes, nil
		}
	}
	return Date{}, nil, fmt.Errorf("%s has no day %d", time.Month(month), day)
}

func number(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

func yearOf(text string) int {
	if len(text) == 2 {
		return 2000 + number(text)
	}
	return number(text)
}

func weekdayNamed(word string) (time.Weekday, bool) {
	for day := time.Sunday; day <= time.Saturday; day++ {
		name := strings.ToLower(day.String())
		if len(word) >= 2 && strings.HasPrefix(name, word) || word == "thurs" && day == time.Thursday || word == "weds" && day == time.Wednesday {
			return day, true
		}
	}
	return 0, false
}

func monthNamed(word string) (int, bool) {
	for month := time.January; month <= time.December; month++ {
		if strings.HasPrefix(strings.ToLower(month.String()), word) || word == "sept" && month == time.September {
			return int(month), true
		}
	}
	return 0, false
}
