package intake

import (
	"errors"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/mix"
)

// limits are what a cell's number may be in the unit of its column; beyond them it is asked about, and in a table that is a fault.
var limits = map[string][2]float64{"psi": {50, 25000}, "MPa": {0.35, 170}, "d": {0.25, 400}, "in": {2, 9}, "mm": {50, 230}, "°F": {23, 158}, "°C": {-5, 70}}

// sure reads a cell into a known value; what would be asked about is refused, since in a table nobody can be asked.
func sure[T any](into *known.Known[T], text string, box quantity.Box, name string, kind quantity.Kind) error {
	box.Name, box.Kind = name, kind
	if l, ok := limits[box.Unit]; ok {
		box.Low, box.High = l[0], l[1]
	}
	heard, err := into.Read(text, box)
	if err == nil && heard.Ask != nil {
		return errors.New(heard.Ask.Says)
	}
	return err
}

var labTable = tableKind[mix.LabResult]{
	field:   "lab",
	many:    true,
	among:   "a laboratory's table",
	example: "name,job,day,age_days,across,cured,cylinder_1,cylinder_2",
	blank:   func() mix.LabResult { return mix.LabResult{} },
	columns: []column[mix.LabResult]{
		{names: []string{"name"}, read: func(r *mix.LabResult, text string, box quantity.Box) error {
			return sure(&r.Name, text, box, "name", quantity.AsText)
		}},
		{names: []string{"job"}, read: func(r *mix.LabResult, text string, box quantity.Box) error {
			return sure(&r.Job, text, box, "job", quantity.AsText)
		}},
		{names: []string{"day"}, read: func(r *mix.LabResult, text string, box quantity.Box) error {
			return sure(&r.Day, text, box, "day", quantity.AsText)
		}},
		{names: []string{"age_days", "age"}, units: []string{"d"}, read: func(r *mix.LabResult, text string, box quantity.Box) error {
			return sure(&r.Age, text, box, "age", quantity.AsDays)
		}},
		{names: []string{"across"}, units: []string{"in", "mm"}, read: func(r *mix.LabResult, text string, box quantity.Box) error {
			return sure(&r.Across, text, box, "across", quantity.AsThickness)
		}},
		{names: []string{"cured"}, units: []string{"°F", "°C"}, read: func(r *mix.LabResult, text string, box quantity.Box) error {
			return sure(&r.Cured, text, box, "cured", quantity.AsTemp)
		}},
		{names: []string{"cylinder"}, units: []string{"psi", "MPa"}, read: func(r *mix.LabResult, text string, box quantity.Box) error {
			var f known.Stress
			err := sure(&f, text, box, "cylinder", quantity.AsStrength)
			if err == nil {
				r.Cylinders = append(r.Cylinders, f)
			}
			return err
		}},
	},
	judge: func(r mix.LabResult) []wrongs {
		if len(r.Cylinders) > 0 {
			return nil
		}
		return []wrongs{{"cylinder", "", "has no strength.", "Type the strength of each cylinder, or take the row out."}}
	},
}

// Lab reads a laboratory's table of cylinder breaks: a header of the columns name, job, day, age_days, across, cured and any number of
// cylinder_1, cylinder_2 …, then one sample a row, oldest first. Strengths are in psi or MPa by the job's units, or carry their
// unit; without an age a sample counts as 28 days. Every fault names line and column.
func Lab(file string, src []byte, reading Reading) ([]mix.LabResult, error) {
	return table(labTable, file, src, reading)
}
