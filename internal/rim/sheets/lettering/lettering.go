// Package lettering knows the one face every sheet is lettered in: how wide a text runs at a cap height, where it breaks,
// which characters the face holds and what its glyphs look like. Sizes are cap heights in millimetres on paper.
package lettering

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Family is the face's name, for renderers that name it instead of carrying it.
const Family = "Go"

// The face in its own units, read from its tables; a test holds them.
const (
	unitsPerEm = 2048
	capUnits   = 1480
	downUnits  = 432
)

// PointsPerMM is how many printer's points make a millimetre.
const PointsPerMM = 72 / 25.4

// missing stands for every character the face lacks.
const missing = '□'

// EmOf is the size of the em square, millimetres, at which capitals stand capHeight tall.
func EmOf(capHeight float64) float64 { return capHeight * unitsPerEm / capUnits }

// CapOf is the cap height, millimetres, of lettering set at a size in printer's points.
func CapOf(points float64) float64 { return points / PointsPerMM * capUnits / unitsPerEm }

// DropOf is how far tails hang below the baseline, millimetres.
func DropOf(capHeight float64) float64 { return capHeight * downUnits / capUnits }

type face struct {
	font     *sfnt.Font
	advances map[rune]float64 // in units of the em square
}

var (
	regular = sync.OnceValue(func() face { return load(goregular.TTF) })
	bold    = sync.OnceValue(func() face { return load(gobold.TTF) })
)

func load(ttf []byte) face {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("lettering: the built-in face does not parse: " + err.Error())
	}
	advances, buffer := map[rune]float64{}, sfnt.Buffer{}
	for r := rune(' '); r <= 0xFFFF; r++ {
		glyph, err := f.GlyphIndex(&buffer, r)
		if err != nil || glyph == 0 {
			continue
		}
		if a, err := f.GlyphAdvance(&buffer, glyph, fixed.I(unitsPerEm), font.HintingNone); err == nil {
			advances[r] = float64(a) / 64 / unitsPerEm
		}
	}
	return face{f, advances}
}

func faceOf(heavy bool) face {
	if heavy {
		return bold()
	}
	return regular()
}

// File is the face as a TrueType file.
func File(heavy bool) []byte {
	if heavy {
		return gobold.TTF
	}
	return goregular.TTF
}

// Readable is says with every character the face lacks replaced by an open box, white space of any kind by a space, and
// without characters that print nothing. lost lists what was replaced, each once, in order. Every text that is printed in
// the face passes through here.
func Readable(says string) (text string, lost []rune) {
	var b strings.Builder
	advances := regular().advances
	for _, r := range says {
		switch _, held := advances[r]; {
		case held && r != utf8.RuneError:
			b.WriteRune(r)
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Mn):
		default:
			b.WriteRune(missing)
			lost = addOnce(lost, r)
		}
	}
	return b.String(), lost
}

func addOnce(list []rune, r rune) []rune {
	for _, have := range list {
		if have == r {
			return list
		}
	}
	return append(list, r)
}

// Width is how far says runs at a cap height, millimetres.
func Width(says string, capHeight float64, heavy bool) float64 {
	text, _ := Readable(says)
	advances, sum := faceOf(heavy).advances, 0.0
	for _, r := range text {
		sum += advances[r]
	}
	return sum * EmOf(capHeight)
}

// Wrap breaks says at spaces into lines no wider than width millimetres; written line breaks stay. A word wider than a line
// is broken inside. There is at least one line, perhaps empty.
func Wrap(says string, capHeight float64, heavy bool, width float64) []string {
	var lines []string
	for _, written := range strings.Split(says, "\n") {
		line := ""
		for _, word := range strings.Fields(written) {
			for _, piece := range pieces(word, capHeight, heavy, width) {
				switch {
				case line == "":
					line = piece
				case Width(line+" "+piece, capHeight, heavy) <= width:
					line += " " + piece
				default:
					lines, line = append(lines, line), piece
				}
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// pieces cuts a word into parts that fit the width each; mostly there is one.
func pieces(word string, capHeight float64, heavy bool, width float64) []string {
	if Width(word, capHeight, heavy) <= width {
		return []string{word}
	}
	var out []string
	part := ""
	for _, r := range word {
		if part != "" && Width(part+string(r), capHeight, heavy) > width {
			out, part = append(out, part), ""
		}
		part += string(r)
	}
	return append(out, part)
}

// Cut shortens says to width millimetres, ending in an ellipsis when something is left out.
func Cut(says string, capHeight float64, heavy bool, width float64) string {
	if Width(says, capHeight, heavy) <= width {
		return says
	}
	runes := []rune(says)
	for n := len(runes) - 1; n > 0; n-- {
		if short := strings.TrimRight(string(runes[:n]), " ") + "…"; Width(short, capHeight, heavy) <= width {
			return short
		}
	}
	return ""
}
