package pack

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/price"
)

// The words a home owner reads are no harder than grade 8 by the Flesch-Kincaid formula (Kincaid and others 1975):
// 0.39·words/sentences + 11.8·syllables/words − 15.59. Syllables are counted as groups of vowels, silent e left out, which
// is within a few in a hundred of a count by ear on such text.
func TestOwnerReadsItAtGradeEight(t *testing.T) {
	for name, text := range map[string][]string{
		"quote":      slices.Concat(notIncluded, yourPart, []string{willItCrack}),
		"care sheet": slices.Concat(careDo, careDont, []string{datesMove, callUs, burnsSkin}),
	} {
		if grade := readingGrade(text); grade > 8 {
			t.Errorf("the %s reads at grade %.1f, more than 8", name, grade)
		}
	}
}

// The formula on a text counted by hand: "The slab is flat. We cut the joints today." has 2 sentences, 9 words and
// 10 syllables.
func TestReadingGrade(t *testing.T) {
	want := 0.39*9/2 + 11.8*10/9.0 - 15.59
	if got := readingGrade([]string{"The slab is flat. We cut the joints today."}); math.Abs(got-want) > 1e-9 {
		t.Errorf("grade %.3f, counted by hand %.3f", got, want)
	}
}

func readingGrade(text []string) float64 {
	sentences, words, syllables := 0, 0, 0
	for _, says := range text {
		sentences += len(strings.FieldsFunc(says, func(r rune) bool { return strings.ContainsRune(".!?", r) }))
		for _, word := range strings.FieldsFunc(says, func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' }) {
			words++
			syllables += syllablesOf(strings.ToLower(word))
		}
	}
	return 0.39*float64(words)/float64(sentences) + 11.8*float64(syllables)/float64(words) - 15.59
}

func syllablesOf(word string) int {
	count, before := 0, false
	for _, r := range word {
		vowel := strings.ContainsRune("aeiouy", r)
		if vowel && !before {
			count++
		}
		before = vowel
	}
	if strings.HasSuffix(word, "e") && !strings.HasSuffix(word, "le") && count > 1 {
		count--
	}
	return max(1, count)
}

// Whatever the bill holds, the lines the owner sees are whole, none is negative, and they add up to the price.
func TestOwnerLinesAddUp(t *testing.T) {
	names := []string{"stone", "concrete", "bars", "labour", "curing", "digging", "something new"}
	rapid.Check(t, func(t *rapid.T) {
		var p price.Result
		for _, name := range rapid.SliceOfDistinct(rapid.SampledFrom(names), rapid.ID[string]).Draw(t, "lines") {
			p.Lines = append(p.Lines, price.Line{Name: name, Total: quantity.Money(rapid.Float64Range(0.01, 1e5).Draw(t, name))})
		}
		p.Price = quantity.Money(rapid.IntRange(10, 1e6).Draw(t, "price"))
		sum := quantity.Money(0)
		for _, o := range priceParts(p) {
			if o.amount < 0 || float64(o.amount) != math.Round(float64(o.amount)) {
				t.Fatalf("%s costs %v", o.says, o.amount)
			}
			sum += o.amount
		}
		if len(p.Lines) > 0 && sum != p.Price {
			t.Fatalf("lines add up to %v, the price is %v", sum, p.Price)
		}
	})
}
