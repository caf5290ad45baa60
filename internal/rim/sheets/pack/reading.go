package pack

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/site"
)

// reading looks things up in a plan and writes them as the job's people read them.
type reading struct {
	plan  plan.Plan
	units quantity.System
}

// of is the result of a stage that answered.
func of[T any](r reading, stage string) (result T, ok bool) {
	report, found := r.plan.Of(stage)
	if !found || !report.Answered() {
		return result, false
	}
	result, ok = report.Result.(T)
	return result, ok
}

// figure is a value of a stage's working as shown; empty when there is none.
func (r reading) figure(name string) string {
	step, ok := r.plan.Figure(name)
	if !ok {
		return ""
	}
	return r.show(step.Value)
}

// show writes a value in the job's units and currency.
func (r reading) show(v quantity.Any) string {
	text := r.grouped(v.String(r.units))
	if strings.HasPrefix(v.Unit(r.units), "$") {
		return strings.Replace(text, "$", r.plan.Job.Currency, 1)
	}
	return text
}

// grouped takes the commas between thousands out where a comma would be read as the decimal mark. The decimal mark stays a
// point on every sheet, as on the drawings and in the typed file: without commas there is one way to read it.
func (r reading) grouped(text string) string {
	if r.commaSplitsThousands() {
		return text
	}
	return thousands.ReplaceAllString(text, "$1$2")
}

// thousands is a comma between a digit and three more.
var thousands = regexp.MustCompile(`(\d),(\d{3}\b)`)

// commaSplitsThousands holds in English and where no language is said.
func (r reading) commaSplitsThousands() bool {
	locale := strings.ToLower(r.plan.Job.Locale)
	return locale == "" || strings.HasPrefix(locale, "en")
}

// unit is a value's unit in the job's units and currency.
func (r reading) unit(v quantity.Any) string {
	return strings.Replace(v.Unit(r.units), "$", r.plan.Job.Currency, 1)
}

// money writes whole units of the job's currency.
func (r reading) money(v quantity.Money) string {
	decimals := 0
	if v != quantity.Money(math.Trunc(float64(v))) {
		decimals = 2
	}
	return r.plan.Job.Currency + r.grouped(quantity.Decimal(float64(v), decimals, 0))
}

func (r reading) zone() *time.Location {
	zone, err := r.plan.Job.Location()
	if err != nil {
		return time.UTC
	}
	return zone
}

// american says whether the month stands before the day.
func (r reading) american() bool {
	locale := strings.ToLower(r.plan.Job.Locale)
	return locale == "" && r.units == quantity.US || strings.HasSuffix(locale, "-us")
}

// day writes a date short: "Thu Jun 11" or "Thu 11 Jun".
func (r reading) day(t time.Time) string {
	if r.american() {
		return t.In(r.zone()).Format("Mon Jan 2")
	}
	return t.In(r.zone()).Format("Mon 2 Jan")
}

// date writes a calendar day short.
func (r reading) date(d quantity.Date) string {
	return r.day(time.Date(d.Year, time.Month(d.Month), d.Day, 12, 0, 0, 0, r.zone()))
}

// longDay writes a date in full: "Thursday, June 11, 2026".
func (r reading) longDay(t time.Time) string {
	if r.american() {
		return t.In(r.zone()).Format("Monday, January 2, 2006")
	}
	return t.In(r.zone()).Format("Monday 2 January 2006")
}

// clock writes the hour by the job's locale; a metric job without one has 24 hours.
func (r reading) clock(t time.Time) string {
	t = t.In(r.zone())
	return r.clockOf(quantity.Clock(t.Hour()*60 + t.Minute()))
}

// clockOf writes a time of day as clock does.
func (r reading) clockOf(c quantity.Clock) string {
	if r.plan.Job.Locale == "" && r.units == quantity.Metric {
		return c.String()
	}
	return c.Spoken(r.plan.Job.Locale)
}

// size is the slab's sides where two say it all, else its area: "14'-0" × 40'-0"", "685 ft²".
func (r reading) size() string {
	in := r.plan.Job.Site
	s, ok := of[site.Result](r, "site")
	if ok && (len(s.Corners) != 4 || !in.Width.Given() || !in.Length.Given()) {
		return r.show(quantity.Show(s.Area, quantity.AsArea))
	}
	return r.show(quantity.Show(in.Width.Value, quantity.AsSide)) + " × " + r.show(quantity.Show(in.Length.Value, quantity.AsSide))
}

// join puts the parts that say something together.
func join(separator string, parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, separator)
}

// sentence starts with a capital.
func sentence(says string) string {
	first, size := utf8.DecodeRuneInString(says)
	return string(unicode.ToUpper(first)) + says[size:]
}

// counted is a number of things: "1 cut", "5 cuts".
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
