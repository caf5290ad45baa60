package heat

import (
	"strings"
	"testing"

	"slabwright/internal/engines/calc"
)

func TestCheckRows(t *testing.T) {
	rows, err := calc.ReadCSV(strings.NewReader(Checks()))
	if err != nil {
		t.Fatal(err)
	}
	index := map[string]calc.Calculation{}
	for _, c := range Calculations() {
		index[c.Name] = c
	}
	passed := 0
	for _, row := range rows {
		o := calc.Run(row, index)
		if !o.Pass {
			t.Errorf("%s: %s (got %s)", o.ID, o.Failed, o.Got)
			continue
		}
		passed++
	}
	t.Logf("ran %d of %d, %d passed", len(rows), len(rows), passed)
}
