package grade

import (
	_ "embed"

	"slabwright/internal/engines/calc"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the stage's table of check rows.
func Checks() string { return checksCSV }

// Calculations offers the stage's formulas by name.
func Calculations() []calc.Calculation {
	return nil
}
