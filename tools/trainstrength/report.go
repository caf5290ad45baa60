package main

import (
	"fmt"
	"strings"

	"slabwright/internal/trade/strength"
)

// report is the page docs/validation/strength.md.
func report(m strength.Model, plain []scored, s strength.Settings) string {
	var b strings.Builder
	line := func(format string, values ...any) { fmt.Fprintf(&b, format+"\n", values...) }
	line("# Strength from mix data: what the model reaches")
	line("")
	line("Written by `go run ./tools/trainstrength -nested -write` (seed %d); do not edit. Data: 880 tests of 390 mixes, Yeh 1998 (see", s.Seed)
	line("`internal/trade/strength/testdata/concrete-strength.md`). Score: %d folds grouped by mix, so that no test of a mix helps to predict", s.Folds)
	line("another of the same mix; mean of %d deals of the mixes unless said. Coverage and width are of the 90 %% interval, its band taken from the", s.Repeats)
	line("other folds.")
	line("")
	line("| model | RMSE MPa | MAE MPa | R² | coverage | width MPa |")
	line("| --- | --- | --- | --- | --- | --- |")
	row := func(name string, v strength.Scores) {
		line("| %s | %.2f | %.2f | %.3f | %.3f | %.1f |", name, v.RMSE, v.MAE, v.R2, v.Coverage, v.Width)
	}
	for _, p := range plain {
		row(p.name, p.Scores)
	}
	row("**this program, kernel as shipped**", mean(m.Fixed))
	if len(m.Nested) > 0 {
		row(fmt.Sprintf("this program, kernel tuned anew inside every fold (%d deal)", len(m.Nested)), mean(m.Nested))
	}
	line("")
	line("How to read the last two lines. \"As shipped\" keeps the numbers of the kernel, tuned once on all rows (%d rounds, logarithms held", s.Rounds)
	line("within a deviation of %.3g of hand-set starts), and learns the strengths of the other folds only, as the plain process with its fixed", s.Pull)
	line("numbers does. Those numbers have seen every mix, so that score is a little kind. \"Tuned anew\" has seen nothing of the fold it")
	line("predicts: it is what to expect of a mix from a laboratory unlike those of the data.")
	line("")
	line("| deal of the mixes | RMSE | MAE | coverage | width |")
	line("| --- | --- | --- | --- | --- |")
	for i, v := range m.Fixed {
		line("| %d | %.2f | %.2f | %.3f | %.1f |", int(s.Seed)+i, v.RMSE, v.MAE, v.Coverage, v.Width)
	}
	line("")
	line("Held by construction, and tested: the estimate never falls with age and never rises with water. The shipped model is the file")
	line("`internal/trade/strength/model.json`; a reduced run of this score is part of the ordinary tests.")
	return b.String()
}

func mean(list []strength.Scores) strength.Scores {
	var total strength.Scores
	for _, one := range list {
		add(&total, one, float64(len(list)))
	}
	return total
}
