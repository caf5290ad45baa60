package quantity

import (
	"fmt"
	"math"
	"strings"
)

// measure gives the words for too much, too little and "more than" of what a box holds.
type measure struct{ much, little, more string }

var measures = map[string]measure{
	"thickness": {"thick", "thin", "thicker"}, "thick": {"thick", "thin", "thicker"},
	"side": {"long", "short", "longer"}, "length": {"long", "short", "longer"}, "diagonal": {"long", "short", "longer"},
	"distance": {"far", "near", "longer"}, "edge": {"long", "short", "longer"}, "radius": {"long", "short", "longer"},
	"width": {"wide", "narrow", "wider"}, "depth": {"deep", "shallow", "deeper"}, "height": {"high", "low", "higher"},
	"spacing": {"wide", "close", "wider"}, "slope": {"steep", "flat", "steeper"}, "fall": {"steep", "flat", "steeper"},
	"weight": {"heavy", "light", "heavier"}, "load": {"heavy", "light", "heavier"}, "temperature": {"hot", "cold", "hotter"},
	"wind": {"strong", "light", "stronger"}, "strength": {"strong", "weak", "stronger"},
}

// wordsFor splits a box's name into the thing and its measure: "slab thickness", "thickness of the slab" is a slab that is
// thick.
func wordsFor(box Box) (m measure, thing string, ok bool) {
	if head, of, found := strings.Cut(box.Name, " of "); found {
		m, ok = measures[strings.ToLower(head)]
		for _, article := range []string{"the ", "a ", "an "} {
			of = strings.TrimPrefix(of, article)
		}
		return m, of, ok
	}
	fields := strings.Fields(box.Name)
	if len(fields) == 0 {
		return m, "", false
	}
	last := len(fields) - 1
	m, ok = measures[strings.ToLower(fields[last])]
	return m, strings.Join(fields[:last], " "), ok
}

func article(noun string) string {
	if noun != "" && strings.ContainsRune("aeiouAEIOU", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

func lessThanZero(box Box) string {
	if box.Name == "" {
		return "this is more than zero"
	}
	m, thing, ok := wordsFor(box)
	switch {
	case !ok:
		return box.Name + " is more than zero"
	case thing == "":
		return fmt.Sprintf("%s is %s than zero", article(box.Name), m.more)
	}
	return fmt.Sprintf("%s is %s than zero", article(thing), m.more)
}

// verdict is "6 ft is thick for a slab".
func verdict(shown string, much bool, box Box) string {
	m, thing, ok := wordsFor(box)
	word := m.little
	if much {
		word = m.much
	}
	switch {
	case ok && thing != "":
		return fmt.Sprintf("%s is %s for %s", shown, word, article(thing))
	case ok:
		return fmt.Sprintf("%s is %s", shown, word)
	case much:
		return fmt.Sprintf("%s is a lot for %s", shown, named(box))
	}
	return fmt.Sprintf("%s is little for %s", shown, named(box))
}

// usual says whether si lies in the box's usual range; much, which side of it.
func (box Box) usual(si float64, home Unit) (inside, much bool) {
	if box.High == 0 {
		return true, false
	}
	value := home.From(si)
	slack := 1e-9 * math.Max(math.Abs(box.Low), math.Abs(box.High))
	return value >= box.Low-slack && value <= box.High+slack, value > box.High
}

// askRange asks about a value outside the usual range, offering the first other reading that lies inside it.
func askRange(a amount, home Unit, box Box) *Question {
	inside, much := box.usual(a.si(), home)
	if inside {
		return nil
	}
	kept := a.shown()
	offer, shown := otherReading(a, home, box)
	choices := []string{typable(offer, box), typable(kept, box)}
	switch {
	case offer == "":
		return &Question{Says: fmt.Sprintf("%s; usual is %s to %s. Keep it?", verdict(kept, much, box),
			trimmed(box.Low), withUnit(trimmed(box.High), home.Symbol)), Choices: choices[1:]}
	case a.bare:
		return &Question{Says: fmt.Sprintf("%s? Use %s?", kept, shown), Choices: choices}
	}
	return &Question{Says: fmt.Sprintf("%s. Use %s?", verdict(kept, much, box), shown), Choices: choices}
}

// typable writes an offer so that the box reads it back as meant: without thousands marks, with the locale's decimal mark.
func typable(offer string, box Box) string {
	if !decimalComma(box.Locale) {
		return offer
	}
	return strings.ReplaceAll(strings.ReplaceAll(offer, ",", ""), ".", ",")
}

// shown is the amount as typed, written well.
func (a amount) shown() string {
	if a.unit.Dim == LengthDim && a.unit.Symbol == "ft" && !a.whole {
		return Tape(12*a.value(), 64, true)
	}
	return inUnit(a.value(), a.unit)
}

// inUnit writes a value in its unit without idle digits: inches as a tape where a tape has them, money in whole cents.
func inUnit(value float64, u Unit) string {
	switch {
	case u.Dim == LengthDim && u.Symbol == "in" && value*64 == math.Trunc(value*64):
		return Tape(value, 64, false)
	case strings.HasPrefix(u.Symbol, "$") && value != math.Trunc(value):
		return withUnit(Decimal(value, 2, 0), u.Symbol)
	}
	return withUnit(trimmed(value), u.Symbol)
}

// otherReading is the other reading of a comma, or the same number in another unit, that lies in the usual range; shown
// adds what that is in the box's unit.
func otherReading(a amount, home Unit, box Box) (offer, shown string) {
	if a.number.other != nil && !a.minus {
		if inside, _ := box.usual(a.unit.SI(float(a.number.other)), home); inside {
			offer = inUnit(float(a.number.other), a.unit)
			return offer, offer
		}
	}
	if !a.whole {
		return "", ""
	}
	for _, u := range otherUnits(a.unit.Dim, box.System) {
		si := u.SI(a.value())
		if inside, _ := box.usual(si, home); !inside || u.Symbol == a.unit.Symbol {
			continue
		}
		if u.Symbol == "1" || u.Symbol == home.Symbol {
			offer = inUnit(home.From(si), home)
			return offer, offer
		}
		offer = inUnit(a.value(), u)
		return offer, fmt.Sprintf("%s (%s)", offer, inHome(si, home))
	}
	return "", ""
}

// inHome is a value in the box's unit, as people read it there.
func inHome(si float64, home Unit) string {
	switch home.Symbol {
	case "in":
		return Tape(home.From(si), 8, false)
	case "ft":
		if home.Dim == LengthDim {
			return Tape(12*home.From(si), 8, true)
		}
	}
	return withUnit(significant(home.From(si), 4), home.Symbol)
}

// otherUnits are the units a person may have meant, likeliest first.
func otherUnits(dim Dimension, system System) []Unit {
	if dim == LengthDim {
		order := []string{"in", "mm", "ft", "cm", "m"}
		if system == Metric {
			order = []string{"mm", "cm", "m", "in", "ft"}
		}
		out := make([]Unit, len(order))
		for i, symbol := range order {
			out[i] = MustUnit(dim, symbol)
		}
		return out
	}
	var out []Unit
	for _, u := range units {
		if u.Dim == dim {
			out = append(out, u)
		}
	}
	return out
}

// trimmed writes v with up to six significant digits and no idle zeros: 1,250 or 0.02.
func trimmed(v float64) string { return significant(v, 6) }

// significant writes v to n significant digits (all digits before the point), without idle zeros.
func significant(v float64, n int) string {
	if v == 0 || !Finite(v) {
		return Decimal(v, 0, 0)
	}
	decimals := n - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	text := Decimal(v, min(max(decimals, 0), 12), 0)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
