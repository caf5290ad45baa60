package cli

import (
	"regexp"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/plan"
)

// tongue says values as one job's people do: in its units, with its sign for money, yards as the plant takes them.
type tongue struct {
	units quantity.System
	money string
}

func tongueOf(j job.Job) tongue { return tongue{j.Units, j.Currency} }

// noCents finds money in whole units: nobody says "and no cents".
var noCents = regexp.MustCompile(`(\$-?[\d,]+)\.00\b`)

// says is a sentence with its money in the job's currency.
func (t tongue) says(text string) string {
	return quantity.InCurrency(noCents.ReplaceAllString(text, "$1"), t.money)
}

// value says one value.
func (t tongue) value(a quantity.Any) string {
	text := a.String(t.units)
	switch a.Kind {
	case quantity.AsVolume:
		if t.units == quantity.US {
			text = plan.Quarters(a.In(t.units)) + " " + quantity.PrettyUnit(a.Unit(t.units))
		}
	case quantity.AsTons:
		if t.units == quantity.US {
			text += "s"
		}
	case quantity.AsRatio, quantity.AsPercent, quantity.AsHours, quantity.AsDays, quantity.AsTempDiff, quantity.AsFrequency:
		text = trimmed(text)
	}
	return t.says(text)
}

// headline says a value as a quotation does: money in whole units.
func (t tongue) headline(a quantity.Any) string {
	if a.Kind == quantity.AsMoney {
		return quantity.InCurrency("$"+quantity.Decimal(a.SI, 0, 0), t.money)
	}
	return t.value(a)
}

// span says a range, its unit once: "5 to 20 %".
func (t tongue) span(low, high quantity.Any) string {
	from, to := t.value(low), t.value(high)
	if number, unit, ok := strings.Cut(from, " "); ok && strings.HasSuffix(to, " "+unit) && !strings.ContainsAny(unit, "/'\"") {
		from = number
	}
	return from + " to " + to
}

// plain gives a value's number, unit and text for scripts; the number of a text is empty.
func (t tongue) plain(a quantity.Any) []string {
	number := ""
	if a.Kind != quantity.AsText {
		number = strconv.FormatFloat(a.In(t.units), 'g', 12, 64)
	}
	return []string{number, quantity.CurrencyUnit(a.Unit(t.units), t.money), t.value(a)}
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

// broken breaks text into lines that fit a terminal of the given width under an indent; one line where there is none.
func broken(text string, indent, width int) string {
	if width <= indent+20 {
		return text
	}
	var b strings.Builder
	column := indent
	for i, word := range strings.Fields(text) {
		letters := len([]rune(word))
		switch {
		case i == 0:
		case column+1+letters > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			column = indent
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += letters
	}
	return b.String()
}
