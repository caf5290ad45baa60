package quantity

import (
	"math/big"
	"regexp"
	"strings"
)

var (
	clockLike   = regexp.MustCompile(`^(\d+):([0-5]\d)(?::([0-5]\d))?$`)
	hourAndRest = regexp.MustCompile(`^([\d.,]+) ?(days?|d|hours?|hrs?|h|minutes?|mins?|min|m)\.?,? ?(?:and )?(.+)$`)
	anHour      = regexp.MustCompile(`^(?:an?|one) (week|day|hour|minute|min|hr)$`)
	partOfHour  = regexp.MustCompile(`^(.*\b(?:half|quarters?)) (?:of )?(?:an? )?(hour|day|hr|minute|week|min)$`)
)

// ReadText reads a duration: 35 min, 1 h 20, 1:20, 2 days, half an hour. A bare number is in the unit of the box.
func (t *Time) ReadText(text string, box Box) (Heard, error) {
	home, err := unitOfBox(box, TimeDim)
	if err != nil {
		return Heard{}, err
	}
	if err := CheckTyped(text, box, exampleOf(box, home)); err != nil {
		return Heard{}, err
	}
	p := plain(text)
	seconds, ok := compound(p, decimalComma(box.Locale))
	if !ok {
		return readAs(t, minutesAndHours(p, text), box)
	}
	*t = Time(float(seconds))
	a := amount{number: digits{value: new(big.Rat).Quo(seconds, ratOf(home.Factor))}, unit: home}
	return heardAmount(a, box), nil
}

// minutesAndHours spells words of one unit so that the common reader knows them; other text it leaves alone.
func minutesAndHours(p, text string) string {
	if m := anHour.FindStringSubmatch(p); m != nil {
		return "1 " + m[1]
	}
	if m := partOfHour.FindStringSubmatch(p); m != nil {
		return m[1] + " " + m[2]
	}
	if head, ok := strings.CutSuffix(p, "m"); ok && strings.TrimRight(head, "0123456789., ") == "" {
		return head + " min"
	}
	return text
}

// compound reads durations of several units; ok is false where there is only one.
func compound(p string, comma bool) (seconds *big.Rat, ok bool) {
	if m := clockLike.FindStringSubmatch(p); m != nil {
		total := new(big.Rat).Mul(decimalOf(m[1]), big.NewRat(3600, 1))
		total.Add(total, new(big.Rat).Mul(decimalOf(m[2]), big.NewRat(60, 1)))
		if m[3] != "" {
			total.Add(total, decimalOf(m[3]))
		}
		return total, true
	}
	m := hourAndRest.FindStringSubmatch(p)
	if m == nil {
		return nil, false
	}
	d, ok := readDigits(m[1], comma)
	if !ok {
		return nil, false
	}
	unit, size := smaller(m[2])
	total := new(big.Rat).Mul(d.value, big.NewRat(size, 1))
	if rest, ok := compound(m[3], comma); ok {
		return total.Add(total, rest), true
	}
	d, rest, ok := leadingNumber(m[3], comma)
	if !ok {
		return nil, false
	}
	if rest != "" {
		if rest == "m" {
			rest = "min"
		}
		u, known := typedUnits[unitKey{TimeDim, unitWords(rest)}]
		if !known || u.Factor >= float64(size) {
			return nil, false
		}
		unit = int64(u.Factor)
	}
	return total.Add(total, new(big.Rat).Mul(d.value, big.NewRat(unit, 1))), true
}

// smaller gives a typed unit's size in seconds and that of the unit a bare number after it is in.
func smaller(word string) (next, size int64) {
	switch word[0] {
	case 'd':
		return 3600, 86400
	case 'h':
		return 60, 3600
	}
	return 1, 60
}
