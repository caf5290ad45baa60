// Package calctest runs a package's own check rows in its tests: the same rows that verify runs.
package calctest

import (
	"slices"
	"strings"
	"testing"

	"slabwright/internal/engines/calc"
)

// Rows runs every row of the table against the calculations and says how many ran. A failure is a row that misses its
// tolerance, a row that does not say why, after what source and of which class, a row marked disputed that is not among the
// ids the test names as disputed (and a named id that is not disputed), a calculation that no row checks, and an empty table.
func Rows(t *testing.T, calculations []calc.Calculation, table string, disputed ...string) {
	t.Helper()
	rows, err := calc.ReadCSV(strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) == 0 {
		t.Fatal("the table has no rows")
	}
	index, checked := map[string]calc.Calculation{}, map[string]bool{}
	for _, c := range calculations {
		index[c.Name] = c
	}
	var open []string
	for _, r := range rows {
		checked[r.Calculation] = true
		if err := r.Complete(); err != nil {
			t.Error(err)
		}
		o := calc.Run(r, index)
		if o.Disputed != "" {
			open = append(open, o.ID)
		} else if !o.Pass {
			t.Errorf("%s: expected %s, got %s: %s", o.ID, o.Expect, o.Got, o.Failed)
		}
	}
	for _, c := range calculations {
		if !checked[c.Name] {
			t.Errorf("no row checks %s", c.Name)
		}
	}
	if !slices.Equal(open, disputed) {
		t.Errorf("disputed are %v; the test names %v", open, disputed)
	}
	t.Logf("ran %d of %d, %d disputed", len(rows), len(rows), len(open))
}
