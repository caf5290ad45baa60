package quantity

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
)

// ReadText reads a length as people write one: 12'-7 3/8", 12 7 3/8, 40'6, 12.6, 9.7 m. A bare number is in the unit of
// the box. The value is held exactly in Heard.Exact, as a rational number of metres. Only elevations, and boxes whose usual
// range begins below zero, take less than zero. Checked: EXP-10 to EXP-22.
func (l *Length) ReadText(text string, box Box) (Heard, error) {
	home, err := unitOfBox(box, LengthDim)
	if err != nil {
		return Heard{}, err
	}
	if err := CheckTyped(text, box, lengthExample(box, home)); err != nil {
		return Heard{}, err
	}
	positive, minus := strings.CutPrefix(plain(text), "-")
	t, err := readTape(strings.TrimPrefix(positive, "+"), box, home)
	if err != nil {
		return Heard{}, requote(err, text)
	}
	if minus {
		t.metres.Neg(t.metres)
		t.amount.minus = true
	}
	if below := t.metres.Sign() < 0 && !mayBeNegative(box); below || t.metres.Sign() == 0 && box.Low > 0 {
		return Heard{}, CannotRead(text, lessThanZero(box), instead(positive, below, box, home))
	}
	*l = Length(float(t.metres))
	return Heard{
		ReadBack: lengthBack(t.metres, home, box), Exact: t.metres.String(),
		Notes: t.notes, Ask: t.ask(home, box),
	}, nil
}

// ask is about the usual range. A length read as inches though the box is not in inches has its note already.
func (t tapeLength) ask(home Unit, box Box) *Question {
	if t.asInches {
		return nil
	}
	return askRange(t.amount, home, box)
}

// requote puts what was really typed into a fault about its part without the sign.
func requote(err error, text string) error {
	if u := (*Unreadable)(nil); errors.As(err, &u) {
		return CannotRead(text, u.Why, u.TypeThis)
	}
	return err
}

func instead(positive string, below bool, box Box, home Unit) string {
	if below {
		return positive
	}
	return lengthExample(box, home)
}

// mayBeNegative: only elevations, and boxes whose usual range says so, lie below zero.
func mayBeNegative(box Box) bool { return tenths(box) || box.Low < 0 }

func lengthExample(box Box, home Unit) string {
	switch {
	case home.Symbol == "ft" && tenths(box):
		return "97.38 or 97'-4 1/2\""
	case home.Symbol == "ft":
		return "12'-7 3/8\", 12.6 ft or 3.84 m"
	case home.Symbol == "in":
		return "7 3/8, 7.4 in or 190 mm"
	}
	return fmt.Sprintf("12 %s or 12'-7 3/8\"", home.Symbol)
}

// nearestTape offers what a tape can show nearest to a fraction it does not have, and the decimal.
func nearestTape(s string, home Unit) string {
	d, rest, ok := leadingNumber(s, false)
	if !ok {
		return lengthExample(Box{}, home)
	}
	if home.Symbol == "ft" && rest == "" {
		value := float(d.value)
		return fmt.Sprintf("%s or %s ft", Tape(12*value, 8, true), Decimal(value, 2, 0))
	}
	if rest == "" || unitWords(rest) == "in" {
		value := float(d.value)
		return fmt.Sprintf("%s or %s in", Tape(value, 8, false), Decimal(value, 2, 0))
	}
	return lengthExample(Box{}, home)
}

// tapeText writes metres as feet and inches: exactly where a tape can, else to 1/8 in.
func tapeText(metres *big.Rat) string {
	inches, parts := inchParts(metres)
	return Tape(inches, parts, true)
}

func inchParts(metres *big.Rat) (float64, int) {
	inches := new(big.Rat).Quo(metres, ratOf(inch))
	if new(big.Rat).Mul(inches, big.NewRat(64, 1)).IsInt() {
		return float(inches), 64
	}
	return float(inches), 8
}

// lengthBack reads a length back: 12'-7 3/8"  (12.61 ft, 3.845 m) beside a box in feet.
func lengthBack(metres *big.Rat, home Unit, box Box) string {
	m := float(metres)
	inches, parts := inchParts(metres)
	switch {
	case home.Symbol == "ft" && tenths(box):
		return fmt.Sprintf("%s ft  (%s m)", Decimal(m/foot, 2, 0), Decimal(m, 3, 0))
	case home.Symbol == "ft":
		return fmt.Sprintf("%s  (%s ft, %s m)", Tape(inches, parts, true), Decimal(m/foot, 2, 0), Decimal(m, 3, 0))
	case home.Symbol == "in":
		return fmt.Sprintf("%s  (%s mm)", Tape(inches, parts, false), Decimal(1000*m, 0, 0))
	case home.Symbol == "mm" || home.Symbol == "cm":
		return fmt.Sprintf("%s %s  (%s)", trimmed(home.From(m)), home.Symbol, Tape(inches, parts, false))
	}
	return fmt.Sprintf("%s %s  (%s)", Decimal(home.From(m), 3, 0), home.Symbol, Tape(inches, parts, true))
}
