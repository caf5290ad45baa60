package order

import (
	"math"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
)

var small = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen")
var tens = strings.Fields("- - twenty thirty forty fifty sixty seventy eighty ninety")

// words says a whole number from 0 to 999,999.
func words(n int) string {
	switch {
	case n < 0 || n > 999999:
		return "a number too large to say"
	case n < 20:
		return small[n]
	case n < 100 && n%10 == 0:
		return tens[n/10]
	case n < 100:
		return tens[n/10] + "-" + small[n%10]
	case n < 1000:
		return rest(small[n/100]+" hundred", n%100)
	}
	return rest(words(n/1000)+" thousand", n%1000)
}

func rest(said string, n int) string {
	if n == 0 {
		return said
	}
	return said + " " + words(n)
}

// ordinalWords are those that are not the number's own word and "th".
var ordinalWords = map[string]string{"one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth", "nine": "ninth", "twelve": "twelfth",
	"twenty": "twentieth", "thirty": "thirtieth"}

// ordinal says the number of a day: first, seventeenth, twenty-third.
func ordinal(n int) string {
	said := words(n)
	head, last := "", said
	if i := strings.LastIndexByte(said, '-'); i >= 0 {
		head, last = said[:i+1], said[i+1:]
	}
	if changed, ok := ordinalWords[last]; ok {
		return head + changed
	}
	return head + last + "th"
}

// sayClock says a time of day so that morning and evening cannot be mixed up: seven in the morning, one thirty in the afternoon.
func sayClock(c quantity.Clock) string {
	hour, minute := int(c)/60, int(c)%60
	switch {
	case c == 720:
		return "noon"
	case c == 0:
		return "midnight"
	}
	part := "in the morning"
	switch {
	case hour >= 18:
		part = "in the evening"
	case hour >= 12:
		part = "in the afternoon"
	}
	said := words((hour+11)%12 + 1)
	switch {
	case minute == 0:
	case minute < 10:
		said += " oh " + words(minute)
	default:
		said += " " + words(minute)
	}
	return said + " " + part
}

// hundreds says a strength as it is said on the phone: 4,500 is forty-five hundred, 4,000 four thousand.
func hundreds(n int) string {
	if n%100 == 0 && n%1000 != 0 && n < 10000 {
		return words(n/100) + " hundred"
	}
	return words(n)
}

// digits says a written number figure by figure: 11.25 is one-one point two-five.
func digits(written string) string {
	var b strings.Builder
	for i, r := range written {
		if r == '.' {
			b.WriteString(" point ")
			continue
		}
		if i > 0 && written[i-1] != '.' {
			b.WriteByte('-')
		}
		b.WriteString(small[r-'0'])
	}
	return b.String()
}

var quarters = []string{"", " and a quarter", " and a half", " and three quarters"}

// inQuarters says a number of quarters in words: 11.25 is eleven and a quarter. false: it is not a number of quarters.
func inQuarters(v float64) (string, bool) {
	n := int(math.Round(4 * v))
	if v < 0 || v > 99999 || math.Abs(4*v-float64(n)) > 1e-6 {
		return "", false
	}
	whole := words(n / 4)
	if n < 4 && n > 0 {
		return []string{"", "a quarter", "a half", "three quarters"}[n], true
	}
	return whole + quarters[n%4], true
}

// SayAmount says an amount of concrete twice, in words and figure by figure, so that neither "eleven and a quarter" nor
// "eleven point two five" can be heard as something else.
func SayAmount(v quantity.Volume, s quantity.System) string {
	n := quantity.Show(v, quantity.AsVolume).In(s)
	written := trimZeros(strings.ReplaceAll(quantity.Decimal(n, 2, 0), ",", ""))
	said, ok := inQuarters(n)
	if !ok {
		return digits(written)
	}
	if !strings.Contains(written, ".") {
		return said + " even, " + digits(written) + " point zero"
	}
	return said + ", " + digits(written)
}

func trimZeros(text string) string {
	if !strings.Contains(text, ".") {
		return text
	}
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}

// WriteAmount writes an amount in quarters as the plant does: 11 1/4 yd³; metric 8.5 m³.
func WriteAmount(v quantity.Volume, s quantity.System) string {
	n := quantity.Show(v, quantity.AsVolume).In(s)
	if _, ok := inQuarters(n); !ok || s == quantity.Metric {
		return trimZeros(quantity.Decimal(n, 2, 0)) + " " + volumeUnit(s)
	}
	return strings.TrimSuffix(quantity.Tape(n, 4, false), " in") + " " + volumeUnit(s)
}

func volumeUnit(s quantity.System) string {
	return quantity.PrettyUnit(quantity.Any{Kind: quantity.AsVolume}.Unit(s))
}

// spokenUnit is the unit of volume as it is said.
func spokenUnit(s quantity.System) string {
	if s == quantity.Metric {
		return "cubic metres"
	}
	return "yards"
}

var eighths = map[int]string{1: "one-eighth", 2: "quarter", 3: "three-eighths", 4: "half", 5: "five-eighths", 6: "three-quarter", 7: "seven-eighths"}

// sayLength says a stone size or slump as it is written: three-quarter inch, four and a half inch, twenty millimetre.
func sayLength(l quantity.Length, kind quantity.Kind, s quantity.System) string {
	if s == quantity.Metric {
		number, _, _ := strings.Cut(quantity.Show(l, kind).String(s), " ")
		if n, err := strconv.Atoi(number); err == nil {
			return words(n) + " millimetre"
		}
	}
	n := int(math.Round(8 * l.Inches()))
	whole, part := n/8, n%8
	switch {
	case part == 0:
		return words(whole) + " inch"
	case whole == 0:
		return eighths[part] + " inch"
	case part == 4:
		return words(whole) + " and a half inch"
	}
	return words(whole) + " and " + eighths[part] + " inch"
}

// sayPercent says a share: six percent, five and a half percent.
func sayPercent(p quantity.Percent) string {
	n := 100 * float64(p)
	if said, ok := inQuarters(math.Round(10*n) / 10); ok {
		return said + " percent"
	}
	return digits(trimZeros(quantity.Decimal(n, 1, 0))) + " percent"
}

// sayStrength says a strength: forty-five hundred p s i.
func sayStrength(f quantity.Stress, s quantity.System) string {
	if s == quantity.Metric {
		n := math.Round(10*f.MPa()) / 10
		if n == math.Trunc(n) {
			return words(int(n)) + " megapascals"
		}
		return digits(trimZeros(quantity.Decimal(n, 1, 0))) + " megapascals"
	}
	return hundreds(int(10*math.Round(f.PSI()/10))) + " p s i"
}
