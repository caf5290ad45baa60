// Package calctest runs a package's own check rows in its tests: the same rows that verify runs.
package calctest

import (
	"strings"
	"testing"

	"slabwright/internal/engines/calc"
)

// Rows runs every row of the table against the calculations and says how many ran. A row that names no calculation, a
// calculation that no row names, and a table without rows are failures.
func Rows(t *testing.T, calculations []calc.Calculation, table string) {
	t.Helper()
	rows, err := calc.ReadCSV(strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	index, named := map[string]calc.Calculation{}, map[string]bool{}
	for _, c := range calculations {
		index[c.Name] = c
	}
	passed, disputed := 0, 0
	for _, r := range rows {
		named[r.Calculation] = true
		switch o := calc.Run(r, index); {
		case o.Pass:
			passed++
		case o.Disputed != "":
			disputed++
		default:
			t.Errorf("%s: expected %s, got %s: %s", o.ID, o.Expect, o.Got, o.Failed)
		}
	}
	for _, c := range calculations {
		if !named[c.Name] {
			t.Errorf("no row checks %s", c.Name)
		}
	}
	if len(rows) == 0 {
		t.Error("the table has no rows")
	}
	t.Logf("ran %d of %d, %d passed, %d disputed", len(rows), len(rows), passed, disputed)
}
