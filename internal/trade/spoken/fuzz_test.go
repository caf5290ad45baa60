package spoken

import (
	"testing"

	"slabwright/internal/engines/quantity"
)

func fuzz[T any](f *testing.F, texts []string, check func(*testing.T, T)) {
	for _, text := range append(texts, "", "-1", "1/0", "9e99", "½", strings64) {
		f.Add(text, "en-US", false)
		f.Add(text, "de-DE", true)
	}
	f.Fuzz(func(t *testing.T, text, locale string, metric bool) {
		box := quantity.Box{Locale: locale}
		if metric {
			box.System = quantity.Metric
		}
		var v T
		heard, err := any(&v).(quantity.Typed).ReadText(text, box)
		switch {
		case err != nil && err.Error() == "":
			t.Errorf("%q: an error without words", text)
		case err == nil && heard.ReadBack == "":
			t.Errorf("%q has no read-back", text)
		case err == nil:
			check(t, v)
		}
	})
}

const strings64 = "4444444444444444444444444444444444444444444444444444444444444444"

func FuzzReadTextAsked(f *testing.F) {
	fuzz(f, []string{"4000", "4 ksi", "C25/30", "5 1/2 sack", "6 sack, 4000 psi"}, func(t *testing.T, a Asked) {
		if !quantity.Finite(float64(a.Strength), float64(a.Cement)) || a.Strength <= 0 && a.Cement <= 0 {
			t.Errorf("asked for %+v", a)
		}
	})
}

func FuzzReadTextBars(f *testing.F) {
	fuzz(f, []string{"#4 @ 18 ew", "1/2 in at 18", "12M @ 300", "#4 18x18", "no. 3 at 16 inches o.c."}, func(t *testing.T, g BarGrid) {
		if !quantity.Finite(float64(g.Spacing)) || g.Spacing <= g.Diameter || g.Area <= 0 {
			t.Errorf("bars %+v", g)
		}
	})
}

func FuzzReadTextStone(f *testing.F) {
	fuzz(f, []string{"3/4", "57 stone", "20 mm", "3/4 minus"}, func(t *testing.T, s Stone) {
		if !quantity.Finite(float64(s.Size)) || s.Size <= 0 || s.Name == "" {
			t.Errorf("stone %+v", s)
		}
	})
}

func FuzzReadTextSlump(f *testing.F) {
	fuzz(f, []string{"4", "100 mm", "8 in with admixture"}, func(t *testing.T, s Slump) {
		if !quantity.Finite(float64(s)) || s < 0 {
			t.Errorf("slump %v", float64(s))
		}
	})
}
