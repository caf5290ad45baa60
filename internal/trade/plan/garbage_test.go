package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"slabwright/internal/engines/calc"
)

// A table of rows may be written by anybody: whatever goes into a calculation, an answer is finite or an error, and it comes.
// Most inputs are drawn where a default or a plausible size would be, so that the draw gets past the first refusal.
func TestGarbageInGivesAnErrorOrANumber(t *testing.T) {
	for _, room := range Rooms() {
		for _, c := range room.Calculations {
			t.Run(c.Name, func(t *testing.T) {
				t.Parallel()
				rapid.Check(t, func(t *rapid.T) {
					given := calc.Values{}
					for _, p := range c.Inputs {
						if p.Default == "" || rapid.Bool().Draw(t, "give "+p.Name) {
							given[p.Name] = garbage(t, p)
						}
					}
					runGuarded(t, c, given)
				})
			})
		}
	}
}

// patience is when a calculation counts as hung.
const patience = 20 * time.Second

func runGuarded(t *rapid.T, c calc.Calculation, given calc.Values) {
	done := make(chan string, 1)
	go func() {
		defer func() {
			if r := recover(); r != nil {
				done <- fmt.Sprintf("panic: %v", r)
			}
		}()
		out, err := c.Run(given)
		switch {
		case err == nil && len(out) < len(c.Outputs):
			done <- "no error and no answer"
		case err != nil && strings.Contains(err.Error(), " came out as "):
			done <- err.Error()
		case err != nil && strings.TrimSpace(strings.TrimPrefix(err.Error(), c.Name+":")) == "":
			done <- "an error without words"
		default:
			done <- ""
		}
	}()
	select {
	case fault := <-done:
		if fault != "" {
			t.Fatalf("%v: %s", given, fault)
		}
	case <-time.After(patience):
		t.Fatalf("%v: hangs", given)
	}
}

var oddNumbers = []float64{0, math.Copysign(0, -1), -1, 1, 0.5, 2, 1e-300, -1e-300, 5e-324, 1e300, -1e300, math.MaxFloat64, 1e9, -1e9, 1e-9, 100, 1e4, 1e6}

func number(t *rapid.T, p calc.Port) float64 {
	switch rapid.IntRange(0, 3).Draw(t, "kind of "+p.Name) {
	case 0:
		return rapid.SampledFrom(oddNumbers).Draw(t, p.Name)
	case 1:
		return rapid.Float64().Draw(t, p.Name)
	case 2:
		return math.Exp(rapid.Float64Range(-12, 20).Draw(t, p.Name))
	}
	return rapid.Float64Range(0, 10).Draw(t, p.Name)
}

func numbers(t *rapid.T, p calc.Port, most int) []float64 {
	out := make([]float64, rapid.IntRange(0, most).Draw(t, "length of "+p.Name))
	for i := range out {
		out[i] = number(t, p)
	}
	return out
}

var oddWords = []string{"", "x", "us", "si", "I", "N", "#4", "2x4", "clay", "2026-06-11", "3/8 in", "none", "\x00", "–", "1e309"}

// word is nonsense, or a word that the port's own text mentions: its choices are said there.
func word(t *rapid.T, p calc.Port) string {
	said := strings.FieldsFunc(p.Says+","+p.Default, func(r rune) bool { return strings.ContainsRune(",;:–", r) })
	for i := range said {
		said[i] = strings.TrimPrefix(strings.TrimSpace(said[i]), "or ")
	}
	return rapid.SampledFrom(append(said, oddWords...)).Draw(t, p.Name)
}

func garbage(t *rapid.T, p calc.Port) any {
	switch p.Form {
	case calc.Text:
		return word(t, p)
	case calc.Truth:
		return rapid.Bool().Draw(t, p.Name)
	case calc.List:
		return numbers(t, p, 4)
	case calc.Names:
		out := make([]string, rapid.IntRange(0, 3).Draw(t, "length of "+p.Name))
		for i := range out {
			out[i] = word(t, p)
		}
		return out
	case calc.Points:
		out := make([][]float64, rapid.IntRange(0, 5).Draw(t, "length of "+p.Name))
		width := rapid.IntRange(0, 4).Draw(t, "width of "+p.Name)
		for i := range out {
			out[i] = make([]float64, width)
			for j := range out[i] {
				out[i][j] = number(t, p)
			}
		}
		return out
	}
	if p.Whole() {
		return math.Trunc(math.Min(math.Abs(number(t, p)), 1e9))
	}
	return number(t, p)
}
