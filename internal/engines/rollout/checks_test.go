package rollout

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
	known := map[string]calc.Calculation{}
	for _, c := range Calculations() {
		known[c.Name] = c
	}
	ran := 0
	for _, row := range rows {
		if o := calc.Run(row, known); !o.Pass {
			t.Errorf("%s: %s (got %s)", o.ID, o.Failed, o.Got)
		}
		ran++
	}
	t.Logf("ran %d of %d", ran, len(rows))
}
