package grade

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
		if o.Pass {
			passed++
		} else if row.Disputed == "" {
			t.Errorf("%s: expected %s, got %s: %s", o.ID, o.Expect, o.Got, o.Failed)
		}
	}
	t.Logf("ran %d of %d", passed, len(rows))
}
