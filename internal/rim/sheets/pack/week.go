package pack

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/ledger"
	"slabwright/internal/trade/week"
)

// WeekTable is a week as a table, one row a job, in the order of crews and days.
func WeekTable(w week.Week) ledger.Tab {
	unit := "yd3"
	if w.Units == quantity.Metric {
		unit = "m3"
	}
	t := ledger.Tab{Name: "week", Columns: []ledger.Column{{Name: "day"}, {Name: "crew"}, {Name: "foreman"}, {Name: "job"}, {Name: "number"}, {Name: "address"}, {Name: "first truck"}, {Name: "until"},
		{Name: "concrete", Unit: unit, Decimals: 2}, {Name: "loads"}, {Name: "plant"}, {Name: "verdict"}, {Name: "how sure"}, {Name: "assumed"}, {Name: "clashes"}}}
	for _, r := range w.Rows {
		for _, cell := range r.Cells {
			for _, s := range cell {
				t.Rows = append(t.Rows, weekRow(w, r, s))
			}
		}
	}
	return t
}

func weekRow(w week.Week, r week.Row, s week.Slot) []ledger.Cell {
	number := func(v float64, known bool) ledger.Cell {
		if !known {
			return ledger.Cell{}
		}
		return ledger.Number(v)
	}
	until, verdict := "", s.Verdict
	if s.Last > 0 {
		until = s.Last.String()
	}
	if !s.Planned {
		verdict = "not planned yet"
	}
	said := ""
	for _, i := range s.In {
		said = join(" ", said, w.Clashes[i-1].Says)
	}
	words := func(text string) ledger.Cell { return ledger.Text(text) }
	return []ledger.Cell{words(s.On.ISO()), words(r.Crew), words(s.Foreman), words(s.Title), words(s.Number), words(s.Address), words(s.First.String()), words(until),
		number(quantity.Show(s.Concrete, quantity.AsVolume).In(w.Units), s.Concrete > 0), number(float64(s.Loads), s.Planned), words(s.Plant), words(verdict), words(s.Trust),
		number(float64(s.Guesses), s.Planned), words(said)}
}
