package heat

import _ "embed"

//go:embed testdata/checks.csv
var checksCSV string

// Checks is this package's table of check rows.
func Checks() string { return checksCSV }
