package quantity

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longestText is how much a person can type into one box; more is a paste gone wrong.
const longestText = 80

// plainer turns the many ways of writing one mark into one: curly quotes and primes, dashes, one-glyph fractions,
// no-break and thin spaces, raised digits.
var plainer = strings.NewReplacer(
	"’", "'", "‘", "'", "‛", "'", "′", "'", "ʹ", "'", "ʼ", "'", "´", "'", "`", "'", "＇", "'",
	"“", `"`, "”", `"`, "„", `"`, "‟", `"`, "″", `"`, "ʺ", `"`, "〃", `"`, "＂", `"`,
	"−", "-", "–", "-", "—", "-", "‐", "-", "‑", "-",
	"⁄", "/", "∕", "/", "∶", ":",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⅓", " 1/3", "⅔", " 2/3",
	"²", "2", "³", "3", "·", "*", "⋅", "*", "×", "x", "µ", "u", "μ", "u", "℃", "°c", "℉", "°f",
)

// OneSpelling is text as the parsers read it: one spelling of every mark, lower case, single spaces.
func OneSpelling(text string) string { return plain(text) }

func plain(text string) string {
	text = strings.ToLower(plainer.Replace(text))
	text = strings.ReplaceAll(text, "''", `"`)
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r), r == '\u2007', r == '\u200b', r == '\ufeff':
			return ' '
		}
		return r
	}, text)
	return strings.Join(strings.Fields(text), " ")
}

// Unreadable is an error about typed text in its three parts. Faces may set them apart: beside the box, in a list, as JSON.
type Unreadable struct {
	Typed    string // what was typed, at most 40 characters of it
	Why      string // why it cannot be, in lower case, no full stop
	TypeThis string // what to type instead
}

// Error is the three parts as one line: `12 1/3`: a tape has no thirds. Type 12'-4".
func (u *Unreadable) Error() string {
	return fmt.Sprintf("`%s`: %s. Type %s.", u.Typed, u.Why, u.TypeThis)
}

// CannotRead makes the error about typed text: what was typed, why it cannot be, what to type instead.
func CannotRead(text, why, typeThis string) error {
	text = strings.ToValidUTF8(strings.TrimSpace(text), "?")
	if utf8.RuneCountInString(text) > 40 {
		text = string([]rune(text)[:40]) + "…"
	}
	return &Unreadable{Typed: text, Why: why, TypeThis: typeThis}
}

// CheckTyped refuses empty and endless text before any grammar looks at it; example is what to type instead.
func CheckTyped(text string, box Box, example string) error {
	if len(text) > 4*longestText || utf8.RuneCountInString(text) > longestText {
		return CannotRead(text, fmt.Sprintf("more than %d characters do not fit this box", longestText), example)
	}
	if plain(text) == "" {
		return CannotRead(text, named(box)+" is empty", example+", or leave it out")
	}
	return nil
}

func named(box Box) string {
	if box.Name == "" {
		return "this box"
	}
	return box.Name
}

// commaLanguages write a decimal comma (Unicode CLDR, recalled); commaExceptions are places of those languages that write
// a point, and the other way round.
var commaLanguages = map[string]bool{"af": true, "be": true, "bg": true, "bs": true, "ca": true, "cs": true, "da": true, "de": true,
	"el": true, "es": true, "et": true, "eu": true, "fi": true, "fr": true, "gl": true, "hr": true, "hu": true, "hy": true, "id": true,
	"is": true, "it": true, "ka": true, "kk": true, "lt": true, "lv": true, "mk": true, "nb": true, "nl": true, "nn": true, "no": true,
	"pl": true, "pt": true, "ro": true, "ru": true, "sk": true, "sl": true, "sq": true, "sr": true, "sv": true, "tr": true, "uk": true,
	"vi": true}

var commaExceptions = map[string]bool{"de-ch": false, "de-li": false, "it-ch": false, "es-mx": false, "es-us": false, "es-gt": false,
	"es-hn": false, "es-ni": false, "es-pa": false, "es-pe": false, "es-pr": false, "es-sv": false, "es-do": false, "en-za": true}

// decimalComma says whether locale (BCP 47; empty is en-US) writes the decimal mark as a comma.
func decimalComma(locale string) bool {
	tag := strings.ToLower(strings.ReplaceAll(locale, "_", "-"))
	if comma, ok := commaExceptions[tag]; ok {
		return comma
	}
	language, _, _ := strings.Cut(tag, "-")
	return commaLanguages[language]
}
