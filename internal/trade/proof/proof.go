// Package proof gathers every registered calculation and every table of check rows, and runs them: what `slabwright verify`
// prints and what the tests of each package run are the same rows.
package proof

import (
	"fmt"
	"sort"
	"strings"

	"slabwright/internal/engines/calc"
	"slabwright/internal/trade/sources"
)

// Room is one package's share: its calculations and its table of rows as CSV (empty: it has none).
type Room struct {
	Name         string
	Calculations []calc.Calculation
	Table        string
}

// Report is the outcome of a run.
type Report struct {
	Ran      int
	Passed   int
	Failed   int
	Disputed int
	Groups   []Group
}

// Group is the outcomes of one room's rows, in the order of its table.
type Group struct {
	Name     string
	Outcomes []calc.Outcome
}

// Index maps every calculation of the rooms by name. Two calculations of one name are a mistake in the
// program, and so is a source that is not registered.
func Index(rooms []Room) (map[string]calc.Calculation, error) {
	index := map[string]calc.Calculation{}
	for _, room := range rooms {
		for _, c := range room.Calculations {
			if _, twice := index[c.Name]; twice {
				return nil, fmt.Errorf("proof: two calculations are named %s", c.Name)
			}
			if _, ok := sources.Find(sources.Key(c.Source)); !ok {
				return nil, fmt.Errorf("proof: %s cites %q, which is not in the registry", c.Name, c.Source)
			}
			index[c.Name] = c
		}
	}
	return index, nil
}

// Names lists the calculations by name.
func Names(index map[string]calc.Calculation) []string {
	names := make([]string, 0, len(index))
	for name := range index {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

// Own runs every room's own table.
func Own(rooms []Room) (Report, error) {
	index, err := Index(rooms)
	if err != nil {
		return Report{}, err
	}
	var report Report
	for _, room := range rooms {
		if room.Table == "" {
			continue
		}
		rows, err := calc.ReadCSV(strings.NewReader(room.Table))
		if err != nil {
			return Report{}, fmt.Errorf("proof: rows of %s: %w", room.Name, err)
		}
		if err := complete(rows); err != nil {
			return Report{}, fmt.Errorf("proof: rows of %s: %w", room.Name, err)
		}
		report.add(room.Name, rows, index)
	}
	return report, nil
}

// Foreign runs rows that somebody else wrote.
func Foreign(rows []calc.Row, rooms []Room) (Report, error) {
	index, err := Index(rooms)
	if err != nil {
		return Report{}, err
	}
	var report Report
	report.add("given table", rows, index)
	return report, nil
}

func (r *Report) add(name string, rows []calc.Row, index map[string]calc.Calculation) {
	group := Group{Name: name}
	for _, row := range rows {
		o := calc.Run(row, index)
		r.Ran++
		switch {
		case o.Pass:
			r.Passed++
		case o.Disputed != "":
			r.Disputed++
		default:
			r.Failed++
		}
		group.Outcomes = append(group.Outcomes, o)
	}
	r.Groups = append(r.Groups, group)
}

// complete holds our own rows to their completeness, and each source that is a key to the registry.
func complete(rows []calc.Row) error {
	for _, r := range rows {
		if err := r.Complete(); err != nil {
			return err
		}
		if !strings.Contains(r.Source, " ") {
			if _, ok := sources.Find(sources.Key(r.Source)); !ok {
				return fmt.Errorf("line %d: %s cites %q, which is not in the registry", r.Line, r.ID, r.Source)
			}
		}
	}
	return nil
}
