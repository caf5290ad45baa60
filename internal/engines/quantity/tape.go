package quantity

// This file is the grammar of typed lengths:
//
//	length   = metric | feetinch | inches | yards | bare        tried in this order; the whole text must match
//	metric   = num (mm|cm|m|km)                                 a comma is a decimal mark
//	feetinch = part FT [ [sep] part [IN] ] | int (SP|"-") whole [IN]
//	inches   = part IN | part-with-a-fraction
//	whole    = int (SP|"-"|and|&) frac | num                    never starts with a bare fraction
//	part     = whole | frac                                     frac = int "/" (2|4|8|16|32|64)
//	bare     = num                                              in the unit of the box

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strings"
)

const (
	numForm  = `(\d[\d.,]*|[.,]\d+)`
	joinForm = `(?: ?- ?| ?& ?| and | )`
	fracForm = `(\d+) ?/ ?(\d+)`
	partForm = `(?:(?:(\d+)` + joinForm + `)?` + fracForm + `|` + numForm + `)`
	feetForm = ` ?(?:'|ft\.?|feet|foot)`
	inchForm = ` ?(?:"|inches|inch|in\.?)`
)

var (
	metricLength = regexp.MustCompile(`^([\d., ]*\d[.,]?) ?(mm|cm|m|km|(?:milli|centi|kilo)?met(?:re|er)s?)\.?$`)
	markedFeet   = regexp.MustCompile(`^` + partForm + feetForm + `(?:(?: ?[-,] ?| |)` + partForm + `(?:` + inchForm + `)?)?$`)
	bareFeet     = regexp.MustCompile(`^(\d+)(?: ?- ?| )(?:(\d+)` + joinForm + fracForm + `|` + numForm + `)(` + inchForm + `)?$`)
	markedInches = regexp.MustCompile(`^` + partForm + inchForm + `$`)
	bareFraction = regexp.MustCompile(`^(?:(\d+)` + joinForm + `)?` + fracForm + `$`)
	longUnits    = regexp.MustCompile(`^` + partForm + ` ?(yards?|yds?|miles?|mi)\.?$`)
	bareNumber   = regexp.MustCompile(`^` + numForm + `$`)
	tenthsOfFoot = regexp.MustCompile(`^(\d+)[.,]([1-9]|1[01])$`)
)

// tapeLength is a length as typed.
type tapeLength struct {
	metres   *big.Rat
	amount   amount // the number and unit; of several, feet
	asInches bool   // a fraction without a mark, in a box of another unit
	notes    []string
}

// errNotTape is a fraction no tape has; a reader that knows what was meant turns it into a fault.
var errNotTape = errors.New("not a fraction of a tape")

func readTape(text string, box Box, home Unit) (tapeLength, error) {
	s := plain(text)
	t, err := tapeForms(s, box, home)
	if errors.Is(err, errNotTape) {
		return t, CannotRead(text, "a tape has halves, quarters, eighths, sixteenths", nearestTape(s, home))
	}
	if err != nil {
		return t, CannotRead(text, err.Error(), lengthExample(box, home))
	}
	return t, nil
}

func tapeForms(s string, box Box, home Unit) (tapeLength, error) {
	comma := decimalComma(box.Locale)
	if m := metricLength.FindStringSubmatch(s); m != nil {
		return metricTape(m[1], unitWords(m[2]), comma)
	}
	if m := markedFeet.FindStringSubmatch(s); m != nil {
		return feetTape(m[1:5], m[5:9], comma)
	}
	if m := bareFeet.FindStringSubmatch(s); m != nil {
		if tenths(box) && m[6] == "" {
			return tapeLength{}, errors.New("an elevation is in decimals here, inches only with their marks")
		}
		return feetTape([]string{"", "", "", m[1]}, m[2:6], comma)
	}
	if m := markedInches.FindStringSubmatch(s); m != nil {
		return oneUnit(m[1:5], "in", comma)
	}
	if m := bareFraction.FindStringSubmatch(s); m != nil {
		if tenths(box) {
			return tapeLength{}, errors.New("an elevation is in decimals here, inches only with their marks")
		}
		t, err := oneUnit(append(m[1:4], ""), "in", comma)
		if home.Symbol != "in" {
			t.asInches, t.notes = true, append(t.notes, "Read as inches.")
		}
		return t, err
	}
	if m := longUnits.FindStringSubmatch(s); m != nil {
		return oneUnit(m[1:5], unitWords(m[5]), comma)
	}
	if m := bareNumber.FindStringSubmatch(s); m != nil {
		return bareTape(s, box, home, comma)
	}
	return tapeLength{}, errors.New("this is not a length")
}

// metricTape reads metric lengths. Their comma is a decimal mark everywhere, but no one types thousandths of a
// millimetre: 1,250 mm has a thousands comma where the locale allows it.
func metricTape(number, symbol string, comma bool) (tapeLength, error) {
	number = strings.TrimSpace(number)
	thousands := !comma && symbol == "mm" && commaGroups.MatchString(number)
	d, ok := readDigits(number, !thousands && (comma || !strings.Contains(number, ".")))
	if !ok {
		return tapeLength{}, errors.New("this is not a length")
	}
	if d.other == nil {
		d.mark = ""
	}
	return fromDigits(d, symbol, false), nil
}

func bareTape(s string, box Box, home Unit, comma bool) (tapeLength, error) {
	d, ok := readDigits(s, comma)
	if !ok {
		return tapeLength{}, errors.New("this is not a length")
	}
	t := fromDigits(d, home.Symbol, true)
	if m := tenthsOfFoot.FindStringSubmatch(s); m != nil && home.Symbol == "ft" && !tenths(box) {
		t.notes = append(t.notes, fmt.Sprintf("If you meant %s ft %s in, type %s %s.", m[1], m[2], m[1], m[2]))
	}
	return t, nil
}

func fromDigits(d digits, symbol string, bare bool) tapeLength {
	u := MustUnit(LengthDim, symbol)
	return tapeLength{
		metres: new(big.Rat).Mul(d.value, ratOf(u.Factor)),
		amount: amount{number: d, unit: u, bare: bare, whole: true},
		notes:  d.notes(u),
	}
}

// oneUnit reads a part in one unit.
func oneUnit(part []string, symbol string, comma bool) (tapeLength, error) {
	d, err := partOf(part, comma)
	if err != nil {
		return tapeLength{}, err
	}
	return fromDigits(d, symbol, false), nil
}

// feetTape reads feet and, if any, inches.
func feetTape(feet, inches []string, comma bool) (tapeLength, error) {
	t, err := oneUnit(feet, "ft", comma)
	if err != nil || strings.Join(inches, "") == "" {
		return t, err
	}
	d, err := partOf(inches, comma)
	if err != nil {
		return t, err
	}
	more := fromDigits(d, "in", false)
	t.metres.Add(t.metres, more.metres)
	t.amount = amount{number: digits{value: new(big.Rat).Quo(t.metres, ratOf(foot))}, unit: MustUnit(LengthDim, "ft")}
	t.notes = append(t.notes, more.notes...)
	if float(d.value) >= 12 {
		t.notes = append(t.notes, fmt.Sprintf("%s in is a foot or more: read as %s.", trimmed(float(d.value)), tapeText(t.metres)))
	}
	return t, nil
}

// partOf reads the four groups of partForm: int, over, under, num.
func partOf(part []string, comma bool) (digits, error) {
	if part[3] != "" {
		d, ok := readDigits(part[3], comma)
		if !ok {
			return d, errors.New("this is not a length")
		}
		return d, nil
	}
	switch part[2] {
	case "2", "4", "8", "16", "32", "64":
	default:
		return digits{}, errNotTape
	}
	value, _ := fraction(part[1], part[2])
	if part[0] != "" {
		value.Add(value, decimalOf(part[0]))
	}
	return digits{value: value}, nil
}

// tenths says whether the box is read from a rod: decimal feet, no inches without their marks.
func tenths(box Box) bool {
	return box.Kind == AsElevation || strings.Contains(strings.ToLower(box.Name), "elevation")
}
