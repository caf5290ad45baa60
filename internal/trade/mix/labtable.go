package mix

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// ReadLab reads a laboratory's table: a header row with the columns name, job, age_days and any number of columns cylinder_1,
// cylinder_2 … in psi or MPa (the word in unit). Unknown columns, and cells that are not numbers, are refused with their line.
func ReadLab(r io.Reader, unit string) ([]LabResult, error) {
	in := csv.NewReader(r)
	in.TrimLeadingSpace = true
	rows, err := in.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("laboratory table: %w", err)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("laboratory table: it is empty; its first row names the columns")
	}
	write, ok := map[string]func(float64) quantity.Stress{"psi": quantity.PSI, "MPa": quantity.MPa}[unit]
	if !ok {
		return nil, fmt.Errorf("laboratory table: no unit %q; name psi or MPa", unit)
	}
	var out []LabResult
	for n, row := range rows[1:] {
		result, err := readSample(rows[0], row, write)
		if err != nil {
			return nil, fmt.Errorf("laboratory table, line %d: %w", n+2, err)
		}
		out = append(out, result)
	}
	return out, nil
}

func readSample(header, row []string, write func(float64) quantity.Stress) (LabResult, error) {
	var r LabResult
	for i, cell := range row {
		column, cell := strings.TrimSpace(header[i]), strings.TrimSpace(cell)
		if cell == "" {
			continue
		}
		switch column {
		case "name":
			r.Name = known.Say(cell)
			continue
		case "job":
			r.Job = known.Say(cell)
			continue
		}
		v, err := strconv.ParseFloat(cell, 64)
		if err != nil || !quantity.Finite(v) || v <= 0 {
			return r, fmt.Errorf("%s %q is not a number above zero", column, cell)
		}
		switch {
		case column == "age_days":
			r.Age = known.Say(quantity.Days(v))
		case strings.HasPrefix(column, "cylinder"):
			r.Cylinders = append(r.Cylinders, known.Say(write(v)))
		default:
			return r, fmt.Errorf("no column %q; the columns are name, job, age_days, cylinder_1, cylinder_2", column)
		}
	}
	if len(r.Cylinders) == 0 {
		return r, fmt.Errorf("no cylinder has a strength")
	}
	return r, nil
}
