package order

import (
	"testing"

	"slabwright/internal/trade/proof"
)

func TestEveryRowOfTheCheckTable(t *testing.T) {
	report, err := proof.Own([]proof.Room{{Name: "order", Calculations: Calculations(), Table: Checks()}})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range report.Groups[0].Outcomes {
		if !o.Pass && o.Disputed == "" {
			t.Errorf("line %d, %s: %s (got %s)", o.Line, o.ID, o.Failed, o.Got)
		}
	}
	t.Logf("ran %d of %d", report.Ran, report.Passed+report.Failed+report.Disputed)
}
