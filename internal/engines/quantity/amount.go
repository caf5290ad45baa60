package quantity

import (
	"fmt"
	"math/big"
	"strings"
)

// amount is a number with a unit, as typed.
type amount struct {
	number digits
	minus  bool
	unit   Unit
	bare   bool // no unit was typed: the box's own
	whole  bool // one number and one unit, so that another unit can be offered
}

// value is the amount in its own unit.
func (a amount) value() float64 {
	if a.minus {
		return -float(a.number.value)
	}
	return float(a.number.value)
}

func (a amount) si() float64 { return a.unit.SI(a.value()) }

// unitOfBox is the unit of a bare number: the box's own, or what the job's system shows this dimension in.
func unitOfBox(box Box, dim Dimension) (Unit, error) {
	if box.Unit != "" {
		u, err := UnitOf(dim, box.Unit)
		if err != nil {
			return u, fmt.Errorf("quantity: box %q: %w", box.Name, err)
		}
		return u, nil
	}
	row, ok := kindIndex[box.Kind]
	if !ok || row.dim != dim {
		row = kindIndex[UsualKind(dim)]
	}
	return UnitOf(dim, row.style(box.System).unit)
}

// signed are the dimensions in which less than zero means something.
var signed = map[Dimension]bool{TempDim: true, TempDiffDim: true, AngleDim: true, MomentDim: true, MoneyDim: true}

// readAmount reads a number with any unit of dim.
func readAmount(text string, box Box, dim Dimension) (amount, error) {
	home, err := unitOfBox(box, dim)
	if err != nil {
		return amount{}, err
	}
	example := exampleOf(box, home)
	if err := CheckTyped(text, box, example); err != nil {
		return amount{}, err
	}
	s, money := withoutCurrency(plain(text), home)
	a := amount{unit: home, whole: true}
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "+") {
		a.minus = s[0] == '-'
		s = strings.TrimSpace(s[1:])
		if !money {
			s, _ = withoutCurrency(s, home)
		}
	}
	number, rest, ok := leadingNumber(s, decimalComma(box.Locale))
	if !ok {
		return a, CannotRead(text, "this is not a number with a unit", example)
	}
	a.number = number
	if a.unit, a.bare, ok = unitTyped(rest, home, dim); !ok {
		return a, CannotRead(text, fmt.Sprintf("%q is not a unit of %s", rest, dim), example)
	}
	if a.minus && !signed[dim] && number.value.Sign() != 0 {
		return a, CannotRead(text, lessThanZero(box), inUnit(float(number.value), a.unit))
	}
	if !Finite(a.si()) {
		return a, CannotRead(text, "this is larger than any such number", example)
	}
	return a, nil
}

func exampleOf(box Box, home Unit) string {
	value := 12.0
	if box.High > 0 {
		value = (box.Low + box.High) / 2
		if value >= 10 {
			value = float64(int(value))
		}
	}
	return "a number such as " + withUnit(trimmed(value), home.Symbol)
}

var currencies = []string{"$", "€", "£", "usd", "cad", "eur", "gbp", "aud", "nzd", "chf"}

// withoutCurrency drops a currency written before the number when the box is about money.
func withoutCurrency(s string, home Unit) (string, bool) {
	if !strings.HasPrefix(home.Symbol, "$") {
		return s, false
	}
	for _, c := range currencies {
		if rest, ok := strings.CutPrefix(s, c); ok {
			return strings.TrimSpace(rest), true
		}
	}
	return s, false
}

// unitTyped finds the unit a person wrote after the number; nothing written is the box's own.
func unitTyped(rest string, home Unit, dim Dimension) (unit Unit, bare, ok bool) {
	if strings.HasPrefix(home.Symbol, "$") {
		rest = currencyUnit(rest)
	}
	if (dim == TempDim || dim == TempDiffDim) && (rest == "deg" || rest == "degrees" || rest == "°") {
		rest = ""
	}
	if rest == "" {
		return home, true, true
	}
	unit, ok = typedUnits[unitKey{dim, unitWords(rest)}]
	return unit, false, ok
}

// currencyUnit turns "/yd", "per yard", "a yard", "dollars" and "€/yd" into "$/yd" or "$".
func currencyUnit(rest string) string {
	for _, c := range append([]string{"dollars", "dollar", "bucks"}, currencies...) {
		if cut, ok := strings.CutPrefix(rest, c); ok {
			rest = strings.TrimSpace(cut)
			if rest == "" {
				return "$"
			}
			break
		}
	}
	if unit, ok := strings.CutPrefix(strings.TrimSpace(perWords.Replace(" "+rest)), "/"); ok {
		return "$/" + strings.TrimSpace(unit)
	}
	return rest
}

// unitWord gives the symbol for a unit written out.
var unitWord = map[string]string{
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm",
	"millimeters": "mm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "kilometre": "km",
	"kilometres": "km", "kilometer": "km", "kilometers": "km", "inch": "in", "inches": "in", `"`: "in", "foot": "ft", "feet": "ft",
	"'": "ft", "yard": "yd", "yards": "yd", "yds": "yd", "mile": "mi", "miles": "mi", "pound": "lb", "pounds": "lb", "lbs": "lb",
	"#": "lb", "kilogram": "kg", "kilograms": "kg", "kilogramme": "kg", "kilogrammes": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg",
	"tonne": "t", "tonnes": "t", "tons": "ton", "ounce": "oz", "ounces": "oz", "hour": "h", "hours": "h", "hr": "h", "hrs": "h",
	"minute": "min", "minutes": "min", "mins": "min", "second": "s", "seconds": "s", "sec": "s", "secs": "s", "day": "d", "days": "d",
	"week": "wk", "weeks": "wk", "wks": "wk", "year": "yr", "years": "yr", "yrs": "yr", "gallon": "gal", "gallons": "gal", "gals": "gal",
	"litre": "l", "litres": "l", "liter": "l", "liters": "l", "degree": "deg", "degrees": "deg", "degs": "deg", "percent": "%",
	"pct": "%", "celsius": "c", "centigrade": "c", "fahrenheit": "f", "kelvin": "k", "newton": "n", "newtons": "n", "cy": "yd3",
	"cyd": "yd3", "cf": "ft3", "cft": "ft3", "sf": "ft2", "sqft": "ft2", "sqm": "m2", "cum": "m3", "lf": "ft",
}

// perWords all mean a division: "3 a week", "lb per foot", "every day".
var perWords = strings.NewReplacer(" per ", "/", " a ", "/", " an ", "/", " every ", "/", " each ", "/")

// unitWords writes a unit as the index knows it: "lb per sq. ft per hour" is lb/ft2/h.
func unitWords(text string) string {
	text = perWords.Replace(" " + plain(text) + " ")
	parts := strings.Split(text, "/")
	for i, part := range parts {
		power, word := "", ""
		for _, w := range strings.Fields(part) {
			w = strings.Trim(w, ".")
			switch w {
			case "cubic", "cu":
				power = "3"
				continue
			case "square", "sq":
				power = "2"
				continue
			}
			if symbol, ok := unitWord[w]; ok {
				w = symbol
			}
			word += w
		}
		parts[i] = strings.ReplaceAll(word, "^", "") + power
	}
	return strings.Join(parts, "/")
}

var typedUnits = buildTypedUnits()

func buildTypedUnits() map[unitKey]Unit {
	index := make(map[unitKey]Unit, 3*len(units))
	for _, u := range units {
		for _, symbol := range append([]string{u.Symbol}, u.Aliases...) {
			key := unitKey{u.Dim, unitWords(symbol)}
			if _, taken := index[key]; !taken && key.symbol != "" {
				index[key] = u
			}
		}
	}
	return index
}

// readAs reads a number with a unit into any typed quantity.
func readAs[T interface {
	~float64
	Measured
}](into *T, text string, box Box) (Heard, error) {
	a, err := readAmount(text, box, (*into).Dimension())
	if err != nil {
		return Heard{}, err
	}
	*into = T(a.si())
	return heardAmount(a, box), nil
}

// heardAmount says how an amount was understood, and asks when it lies outside the box's usual range.
func heardAmount(a amount, box Box) Heard {
	home, _ := unitOfBox(box, a.unit.Dim)
	heard := Heard{ReadBack: readBack(a, home, box), Notes: weightNotes(a.unit, box)}
	if a.number.as != "thousands" {
		heard.Notes = append(heard.Notes, a.number.notes(a.unit)...)
	}
	heard.Ask = askRange(a, home, box)
	return heard
}

// weightNotes tells the two tons apart for whoever works in pounds.
func weightNotes(typed Unit, box Box) []string {
	switch {
	case typed.Dim != MassDim && typed.Dim != ForceDim || box.Unit == typed.Symbol:
		return nil
	case typed.Symbol == "ton":
		return []string{"A ton is 2,000 lb."}
	case typed.Symbol == "t" && box.System == US:
		return []string{"A t is a metric tonne, 2,205 lb."}
	}
	return nil
}

// notes says how a comma or point was read, when it could have been read otherwise.
func (d digits) notes(unit Unit) []string {
	if d.mark == "" {
		return nil
	}
	return []string{fmt.Sprintf("Read the %s as %s: %s.", d.mark, d.as, inUnit(float(d.value), unit))}
}

// ratOf is an exact factor of the unit table: the shortest decimal of the float is its definition for all lengths.
func ratOf(f float64) *big.Rat {
	r, _ := new(big.Rat).SetString(fmt.Sprint(f))
	return r
}
