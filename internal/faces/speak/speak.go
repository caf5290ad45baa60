// Package speak says values as one job's people do, the same in every face: on the terminal and on the page.
package speak

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/plan"
)

// Tongue is a job's manner: its units, its sign for money, yards as the plant takes them.
type Tongue struct {
	Units quantity.System
	Money string // sign before money
}

// Of is the manner of a job.
func Of(j job.Job) Tongue { return Tongue{j.Units, j.Currency} }

// noCents finds money in whole units: nobody says "and no cents".
var noCents = regexp.MustCompile(`(\$-?[\d,]+)\.00\b`)

// Says is a sentence with its money in the job's currency.
func (t Tongue) Says(text string) string {
	return quantity.InCurrency(noCents.ReplaceAllString(text, "$1"), t.Money)
}

// Value says one value.
func (t Tongue) Value(a quantity.Any) string {
	text := a.String(t.Units)
	switch a.Kind {
	case quantity.AsVolume:
		if t.Units == quantity.US {
			text = plan.Quarters(a.In(t.Units)) + " " + quantity.PrettyUnit(a.Unit(t.Units))
		}
	case quantity.AsTons:
		if t.Units == quantity.US {
			text += "s"
		}
	case quantity.AsRatio, quantity.AsPercent, quantity.AsHours, quantity.AsDays, quantity.AsTempDiff, quantity.AsFrequency:
		text = trimmed(text)
	}
	return t.Says(text)
}

// Headline says a value as a quotation does: money in whole units.
func (t Tongue) Headline(a quantity.Any) string {
	if a.Kind == quantity.AsMoney {
		return quantity.InCurrency("$"+quantity.Decimal(a.SI, 0, 0), t.Money)
	}
	return t.Value(a)
}

// Span says a range, its unit once: "5 to 20 %".
func (t Tongue) Span(low, high quantity.Any) string {
	from, to := t.Value(low), t.Value(high)
	if number, unit, ok := strings.Cut(from, " "); ok && strings.HasSuffix(to, " "+unit) && !strings.ContainsAny(unit, "/'\"") {
		from = number
	}
	return from + " to " + to
}

// Plain gives a value's number, unit and text for scripts; the number of a text is empty.
func (t Tongue) Plain(a quantity.Any) []string {
	number := ""
	if a.Kind != quantity.AsText {
		number = strconv.FormatFloat(a.In(t.Units), 'g', 12, 64)
	}
	return []string{number, quantity.CurrencyUnit(a.Unit(t.Units), t.Money), t.Value(a)}
}

// trimmed takes needless zeros after the point away.
func trimmed(text string) string {
	number, unit, spaced := strings.Cut(text, " ")
	if strings.Contains(number, ".") {
		number = strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
	}
	if !spaced {
		return number
	}
	return number + " " + unit
}

// Worth says what finding a guess out is worth.
func (t Tongue) Worth(m plan.Mover) string {
	switch {
	case len(m.Stops) > 0:
		return "it decides whether the job stands at all"
	case m.Worth > 0:
		return "worth " + t.Headline(quantity.Show(m.Worth, quantity.AsMoney))
	}
	return "hardly worth the time"
}

// More is what an alternative costs over the job as planned, with its sign before the money.
func (t Tongue) More(a plan.Alternative) string {
	sign := "+"
	if a.More < 0 {
		sign = "−"
	}
	if a.Chosen {
		return ""
	}
	return sign + t.Headline(quantity.Show(quantity.Money(math.Abs(float64(a.More))), quantity.AsMoney))
}
