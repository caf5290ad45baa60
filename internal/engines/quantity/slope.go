package quantity

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"strings"
)

var (
	slopeRatio  = regexp.MustCompile(`^([\d.,]+) ?(?::| in | to ) ?([\d.,]+)$`)
	slopeSplit  = regexp.MustCompile(`^(.+?) ?(/| per | in | to )(?: ?(?:an? )?)([\d.,]*) ?(ft|feet|foot|'|m|metre|meter|in|inch|yd|yard)\.?$`)
	slopeDegree = regexp.MustCompile(`^([\d.,]+) ?(?:deg|degs|degree|degrees|°)$`)
	slopeOfFoot = regexp.MustCompile(`^(?:(\d+)` + joinForm + `)?` + fracForm + `(?:` + inchForm + `)?$`)
	slopeShare  = regexp.MustCompile(`^(.+?) ?(%|pct\.?|per ?cent)?$`)
)

// Bounds of the notes and questions about slopes. A bare number below flattest is most likely a share typed where percent
// is meant; below nearlyFlat water hardly finds its way over a finished slab (common practice: 1 %).
const (
	flattest   = 0.1 / 100
	nearlyFlat = 1.0 / 100
)

// slopeRead is a slope as typed.
type slopeRead struct {
	fall    float64 // m/m
	amount  amount  // for offering another reading
	percent bool    // typed as percent, with or without the sign

	notes []string
}

// ReadText reads a slope: 2 %, 1/4 in/ft, 1:50, 1 in 50, 20 mm/m, 3 deg. A bare number is percent; a bare fraction is
// inches per foot. A slope has no sign: which way water runs is said elsewhere. Checked: EXP-30 to EXP-37.
func (s *Slope) ReadText(text string, box Box) (Heard, error) {
	if box.Unit == "" {
		box.Unit = "%"
	}
	home, err := unitOfBox(box, SlopeDim)
	if err != nil {
		return Heard{}, err
	}
	const example = "2 %, 1/4 in/ft or 1:50"
	if err := CheckTyped(text, box, example); err != nil {
		return Heard{}, err
	}
	p := plain(text)
	if strings.HasPrefix(p, "-") {
		return Heard{}, CannotRead(text, "a slope has no sign; its direction is picked apart from it",
			strings.TrimSpace(strings.TrimPrefix(p, "-"))+" and say which way the water runs")
	}
	r, ok := readSlope(p, box, home)
	if !ok || !Finite(r.fall) {
		return Heard{}, CannotRead(text, "this is not a slope", example)
	}
	*s = Slope(r.fall)
	heard := Heard{ReadBack: slopeBack(r.fall), Notes: r.notes}
	if r.fall > 0 && r.fall < nearlyFlat && !(r.percent && r.fall < flattest) {
		heard.Notes = append(heard.Notes, "Nearly flat, water may stand.")
	}
	heard.Ask = r.ask(box, home)
	return heard, nil
}

func readSlope(p string, box Box, home Unit) (slopeRead, bool) {
	comma := decimalComma(box.Locale)
	if m := slopeRatio.FindStringSubmatch(p); m != nil {
		return ratioSlope(m[1], m[2], strings.Contains(p, " in "), comma)
	}
	if m := slopeDegree.FindStringSubmatch(p); m != nil {
		d, ok := readDigits(m[1], comma)
		angle := float(d.value0()) * math.Pi / 180
		return slopeRead{fall: math.Tan(angle), notes: d.notes(MustUnit(AngleDim, "deg"))}, ok && angle < math.Pi/2
	}
	if m := slopeOfFoot.FindStringSubmatch(p); m != nil {
		part, err := partOf(append(m[1:4], ""), comma)
		return slopeRead{fall: float(part.value0()) / 12, notes: []string{"Read as inches per foot."}}, err == nil
	}
	if m := slopeSplit.FindStringSubmatch(p); m != nil {
		return fallOverRun(m[1], m[3], m[4], comma)
	}
	m := slopeShare.FindStringSubmatch(p)
	d, rest, ok := leadingNumber(m[1], comma)
	if !ok {
		return slopeRead{}, false
	}
	unit, bare, ok := unitTyped(strings.TrimSpace(rest+m[2]), home, SlopeDim)
	a := amount{number: d, unit: unit, bare: bare}
	return slopeRead{fall: a.si(), amount: a, percent: unit.Symbol == "%", notes: d.notes(unit)}, ok
}

// value0 is the number, or zero where there is none.
func (d digits) value0() *big.Rat {
	if d.value == nil {
		return new(big.Rat)
	}
	return d.value
}

// ratioSlope reads 1:50 and 1 in 50.
func ratioSlope(over, under string, words, comma bool) (slopeRead, bool) {
	a, okA := readDigits(over, comma)
	b, okB := readDigits(under, comma)
	if !okA || !okB || b.value.Sign() == 0 {
		return slopeRead{}, false
	}
	r := slopeRead{fall: float(a.value) / float(b.value)}
	if words && float(b.value) <= 20 {
		r.notes = append(r.notes, fmt.Sprintf("%s to %s. If you meant %s inch in %s feet, type %s in/%s ft.", over, under, over, under, over, under))
	}
	return r, true
}

// fallOverRun reads a length of fall over a length of run: 1/4"/ft, 1 in/12 ft, 20 mm/m. A fall without unit over a run
// in feet is inches; over metres, millimetres.
func fallOverRun(fall, run, runUnit string, comma bool) (slopeRead, bool) {
	run = strings.TrimSpace(run)
	if run == "" {
		run = "1"
	}
	far, okRun := readDigits(run, comma)
	d, rest, okFall := leadingNumber(strings.TrimSpace(fall), comma)
	if !okRun || !okFall || far.value.Sign() == 0 {
		return slopeRead{}, false
	}
	runIn, err := UnitOf(LengthDim, unitWords(runUnit))
	if err != nil {
		return slopeRead{}, false
	}
	fallIn, ok := typedUnits[unitKey{LengthDim, unitWords(rest)}]
	if rest == "" {
		fallIn, ok = MustUnit(LengthDim, "in"), true
		if runIn.Symbol == "m" {
			fallIn = MustUnit(LengthDim, "mm")
		}
	}
	return slopeRead{fall: fallIn.SI(float(d.value)) / runIn.SI(float(far.value))}, ok
}

// ask holds a bare share typed for a percentage, and whatever lies outside the usual range.
func (r slopeRead) ask(box Box, home Unit) *Question {
	if r.percent && r.fall > 0 && r.fall < flattest {
		kept := withUnit(trimmed(100*r.fall), "%")
		offer := withUnit(trimmed(1e4*r.fall), "%")
		return &Question{Says: fmt.Sprintf("%s is flat. Use %s?", kept, offer), Choices: []string{offer, kept}}
	}
	a := r.amount
	if a.number.value == nil {
		value, _ := new(big.Rat).SetString(fmt.Sprint(100 * r.fall))
		a = amount{number: digits{value: value}, unit: MustUnit(SlopeDim, "%")}
	}
	if box.Name == "" {
		box.Name = "slope"
	}
	return askRange(a, home, box)
}

// slopeBack reads a slope back the ways a crew sets it: 2.08 %  (1/4 in per ft, 1:48).
func slopeBack(fall float64) string {
	if fall == 0 {
		return "0 %  (level)"
	}
	perFoot := significant(12*fall, 2) + " in"
	if sixteenths := 12 * fall * 16; sixteenths > 0.5 && math.Abs(sixteenths-math.Round(sixteenths)) < 1e-6 {
		perFoot = Tape(12*fall, 16, false)
	}
	return fmt.Sprintf("%s %%  (%s per ft, 1:%s)", significant(100*fall, 3), perFoot, significant(1/fall, 3))
}
