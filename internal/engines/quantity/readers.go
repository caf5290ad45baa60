package quantity

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
)

// ReadText of the quantities that are a number and a unit. A bare number is in the unit of the box.
func (a *Area) ReadText(text string, box Box) (Heard, error)            { return readAs(a, text, box) }
func (v *Volume) ReadText(text string, box Box) (Heard, error)          { return readAs(v, text, box) }
func (a *Angle) ReadText(text string, box Box) (Heard, error)           { return readAs(a, text, box) }
func (m *Mass) ReadText(text string, box Box) (Heard, error)            { return readAs(m, text, box) }
func (f *Force) ReadText(text string, box Box) (Heard, error)           { return readAs(f, text, box) }
func (s *Stress) ReadText(text string, box Box) (Heard, error)          { return readAs(s, text, box) }
func (k *SubgradeModulus) ReadText(text string, box Box) (Heard, error) { return readAs(k, text, box) }
func (d *Density) ReadText(text string, box Box) (Heard, error)         { return readAs(d, text, box) }
func (m *LinearMass) ReadText(text string, box Box) (Heard, error)      { return readAs(m, text, box) }
func (l *LineLoad) ReadText(text string, box Box) (Heard, error)        { return readAs(l, text, box) }
func (s *SteelArea) ReadText(text string, box Box) (Heard, error)       { return readAs(s, text, box) }
func (m *Moment) ReadText(text string, box Box) (Heard, error)          { return readAs(m, text, box) }
func (t *Temp) ReadText(text string, box Box) (Heard, error)            { return readAs(t, text, box) }
func (t *TempDiff) ReadText(text string, box Box) (Heard, error)        { return readAs(t, text, box) }
func (s *Speed) ReadText(text string, box Box) (Heard, error)           { return readAs(s, text, box) }
func (e *Evaporation) ReadText(text string, box Box) (Heard, error)     { return readAs(e, text, box) }
func (e *Energy) ReadText(text string, box Box) (Heard, error)          { return readAs(e, text, box) }
func (f *Flow) ReadText(text string, box Box) (Heard, error)            { return readAs(f, text, box) }
func (r *LengthRate) ReadText(text string, box Box) (Heard, error)      { return readAs(r, text, box) }
func (r *AreaRate) ReadText(text string, box Box) (Heard, error)        { return readAs(r, text, box) }
func (r *VolumeRate) ReadText(text string, box Box) (Heard, error)      { return readAs(r, text, box) }
func (r *MassRate) ReadText(text string, box Box) (Heard, error)        { return readAs(r, text, box) }
func (f *Frequency) ReadText(text string, box Box) (Heard, error)       { return readAs(f, text, box) }
func (m *Money) ReadText(text string, box Box) (Heard, error)           { return readAs(m, text, box) }
func (m *MoneyRate) ReadText(text string, box Box) (Heard, error)       { return readAs(m, text, box) }
func (m *MoneyVolume) ReadText(text string, box Box) (Heard, error)     { return readAs(m, text, box) }
func (m *MoneyMass) ReadText(text string, box Box) (Heard, error)       { return readAs(m, text, box) }
func (m *MoneyLength) ReadText(text string, box Box) (Heard, error)     { return readAs(m, text, box) }
func (m *MoneyArea) ReadText(text string, box Box) (Heard, error)       { return readAs(m, text, box) }
func (c *Coverage) ReadText(text string, box Box) (Heard, error)        { return readAs(c, text, box) }

var resistance = regexp.MustCompile(`^r ?-? ?([\d.,].*)$`)

// ReadText reads thermal resistance: R-2, R2, 0.35 m2K/W.
func (i *Insulation) ReadText(text string, box Box) (Heard, error) {
	if m := resistance.FindStringSubmatch(plain(text)); m != nil {
		return readAs(i, m[1]+" R", box)
	}
	return readAs(i, text, box)
}

// ReadText reads a share: 7, 7 %. A bare number is percent unless the box says otherwise.
func (p *Percent) ReadText(text string, box Box) (Heard, error) {
	if box.Unit == "" {
		box.Unit = "%"
	}
	box.Kind = AsPercent
	return readAs(p, text, box)
}

var oneToTwo = regexp.MustCompile(`^([\d.,]+) ?: ?([\d.,]+)$`)

// ReadText reads a pure number: 0.45, 45 %, 1/2, or 1:2 as one over two.
func (r *Ratio) ReadText(text string, box Box) (Heard, error) {
	m := oneToTwo.FindStringSubmatch(plain(text))
	if m == nil {
		return readAs(r, text, box)
	}
	home, err := unitOfBox(box, Pure)
	if err != nil {
		return Heard{}, err
	}
	comma := decimalComma(box.Locale)
	over, okOver := readDigits(m[1], comma)
	under, okUnder := readDigits(m[2], comma)
	if !okOver || !okUnder || under.value.Sign() == 0 || len(text) > longestText {
		return Heard{}, CannotRead(text, "this is not a ratio", "0.45 or 1:2")
	}
	a := amount{number: digits{value: new(big.Rat).Quo(over.value, under.value)}, unit: MustUnit(Pure, "1")}
	*r = Ratio(a.si())
	heard := heardAmount(amount{number: a.number, unit: a.unit}, box)
	heard.Notes = append(heard.Notes, fmt.Sprintf("%s over %s is %s.", m[1], m[2], withUnit(significant(a.value(), 4), home.Symbol)))
	return heard, nil
}

// ReadText reads how many: 14, 14 pcs. Halves are refused.
func (n *Number) ReadText(text string, box Box) (Heard, error) {
	a, err := readAmount(text, box, Count)
	if err != nil {
		return Heard{}, err
	}
	value := float(a.number.value)
	if !a.number.value.IsInt() {
		return Heard{}, CannotRead(text, "there are only whole ones", fmt.Sprintf("%.0f or %.0f", value-0.5, value+0.5))
	}
	if value > 1e9 {
		return Heard{}, CannotRead(text, "that is more than can be counted here", "a number below a thousand million")
	}
	*n = Number(int(value))
	return heardAmount(a, box), nil
}

// ReadText reads the name of a system of units: us, imperial, feet; metric, si, metres.
func (s *System) ReadText(text string, _ Box) (Heard, error) {
	switch word := strings.TrimSuffix(plain(text), " units"); word {
	case "us", "u.s.", "usa", "imperial", "us customary", "customary", "english", "feet", "ft", "inch", "inches", "feet and inches":
		*s = US
	case "metric", "si", "m", "metre", "metres", "meter", "meters", "mm":
		*s = Metric
	default:
		return Heard{}, CannotRead(text, "this names no system of units", "us or metric")
	}
	return Heard{ReadBack: s.String()}, nil
}

// MarshalText writes the system as a job file does.
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes, and whatever ReadText knows.
func (s *System) UnmarshalText(text []byte) error {
	_, err := s.ReadText(string(text), Box{})
	return err
}
