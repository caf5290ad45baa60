package forms

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
	passed, disputed := 0, 0
	for _, row := range rows {
		if row.Why == "" || row.Source == "" || row.Class == "" {
			t.Errorf("%s does not say why its tolerance, source and class", row.ID)
		}
		o := calc.Run(row, known)
		switch {
		case row.Disputed != "":
			disputed++
		case o.Pass:
			passed++
		default:
			t.Errorf("%s: %s; got %s", o.ID, o.Failed, o.Got)
		}
	}
	t.Logf("ran %d of %d: %d agree, %d disputed", len(rows), len(rows), passed, disputed)
}
