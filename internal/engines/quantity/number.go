package quantity

import (
	"math/big"
	"regexp"
	"strings"
)

// digits is a number as it was typed. A comma or point before three digits has two readings; the locale decides, and the
// other reading is kept to be offered.
type digits struct {
	value *big.Rat
	other *big.Rat // the other reading of the mark; nil: there is only one
	mark  string   // "comma" or "point" when how it was read needs saying
	as    string   // "thousands" or "a decimal mark"
}

var (
	commaGroups = regexp.MustCompile(`^[1-9]\d{0,2}(?:,\d{3})+(?:\.\d*)?$`)
	pointGroups = regexp.MustCompile(`^[1-9]\d{0,2}(?:\.\d{3})+(?:,\d*)?$`)
	spaceGroups = regexp.MustCompile(`^[1-9]\d{0,2}(?: \d{3})+(?:[.,]\d*)?$`)
	oneGroup    = regexp.MustCompile(`^[1-9]\d{0,2}[.,]\d{3}$`)
	pointNumber = regexp.MustCompile(`^(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d{1,2})?$`)
	commaNumber = regexp.MustCompile(`^(?:\d+,\d*|,\d+)$`)
)

// readDigits reads one number without sign or fraction: 1250, 1,250.5, 9,7, 1 250, 2.5e3.
func readDigits(s string, comma bool) (digits, bool) {
	groups, mark := commaGroups, ","
	if comma {
		groups, mark = pointGroups, "."
	}
	switch {
	case groups.MatchString(s):
		d := digits{value: decimalOf(strings.ReplaceAll(s, mark, ""))}
		if oneGroup.MatchString(s) {
			d.other, d.mark, d.as = decimalOf(s), markName(mark), "thousands"
		}
		return d, true
	case commaNumber.MatchString(s):
		d := digits{value: decimalOf(s)}
		if oneGroup.MatchString(s) {
			d.other = decimalOf(strings.ReplaceAll(s, ",", ""))
		}
		if !comma || d.other != nil {
			d.mark, d.as = "comma", "a decimal mark"
		}
		return d, true
	case pointNumber.MatchString(s):
		return digits{value: decimalOf(s)}, true
	case spaceGroups.MatchString(s):
		return digits{value: decimalOf(strings.ReplaceAll(s, " ", ""))}, true
	}
	return digits{}, false
}

func markName(mark string) string {
	if mark == "," {
		return "comma"
	}
	return "point"
}

// decimalOf reads digits with at most one mark, comma or point; the caller has matched them.
func decimalOf(s string) *big.Rat {
	s = strings.TrimSuffix(strings.ReplaceAll(s, ",", "."), ".")
	if strings.HasPrefix(s, ".") {
		s = "0" + s
	}
	value, ok := new(big.Rat).SetString(strings.Replace(s, ".e", "e", 1))
	if !ok {
		return new(big.Rat)
	}
	return value
}

var (
	leadNumber   = regexp.MustCompile(`^(?:[1-9]\d{0,2}(?: \d{3})+(?:[.,]\d+)?\b|\d[\d.,]*(?:e[+-]?\d{1,2}\b)?|[.,]\d+)`)
	leadFraction = regexp.MustCompile(`^(\d+) ?/ ?(\d+)`)
	tailFraction = regexp.MustCompile(`^(?: ?- ?| and | ?& ?| )(\d+) ?/ ?(\d+)`)
	tailWord     = regexp.MustCompile(`^ and (?:(a|one|three) )?(half|quarters?)\b`)
	leadWord     = regexp.MustCompile(`^(?:(a|one|three) )?(half|quarters?)\b`)
)

// leadingNumber reads the number text starts with (3, 1,250, 3/4, 11 1/4, 11 and a quarter, half) and gives what follows.
func leadingNumber(s string, comma bool) (d digits, rest string, ok bool) {
	if m := leadFraction.FindStringSubmatch(s); m != nil {
		value, ok := fraction(m[1], m[2])
		return digits{value: value}, strings.TrimSpace(s[len(m[0]):]), ok
	}
	if m := leadWord.FindStringSubmatch(s); m != nil {
		return digits{value: wordFraction(m[1], m[2])}, strings.TrimSpace(s[len(m[0]):]), true
	}
	head := leadNumber.FindString(s)
	if d, ok = readDigits(head, comma); !ok {
		head = strings.TrimRight(head, ".,")
		if d, ok = readDigits(head, comma); !ok {
			return d, s, false
		}
	}
	rest = s[len(head):]
	if m := tailFraction.FindStringSubmatch(rest); m != nil {
		part, fine := fraction(m[1], m[2])
		if !fine {
			return d, rest, false
		}
		d = digits{value: new(big.Rat).Add(d.value, part)}
		rest = rest[len(m[0]):]
	} else if m := tailWord.FindStringSubmatch(rest); m != nil {
		d = digits{value: new(big.Rat).Add(d.value, wordFraction(m[1], m[2]))}
		rest = rest[len(m[0]):]
	}
	return d, strings.TrimSpace(rest), true
}

func fraction(over, under string) (*big.Rat, bool) {
	den := decimalOf(under)
	if den.Sign() == 0 {
		return nil, false
	}
	return new(big.Rat).Quo(decimalOf(over), den), true
}

func wordFraction(many, part string) *big.Rat {
	value := big.NewRat(1, 4)
	if part == "half" {
		value = big.NewRat(1, 2)
	}
	if many == "three" {
		value.Mul(value, big.NewRat(3, 1))
	}
	return value
}

// float is the float64 nearest to r.
func float(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}
