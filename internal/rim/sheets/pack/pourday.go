package pack

import (
	"fmt"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/pour"
)

// pourDay is the evening's sheet: which day and hour, what each measure buys, who and how many trucks keep the chosen risk, and the
// board of the day.
func pourDay(m *maker) (*document.Doc, error) {
	p, ok := of[pour.Result](m.reading, "pour")
	if !ok || p.Chosen.Level == check.NotComputed {
		return nil, nil
	}
	doc := document.New("pour-day", "The day of the pour", m.paper)
	if len(p.Days) > 0 {
		doc.Heading("Which day, which hour")
		doc.Table(m.dayTable(p))
	}
	if len(p.Measures) > 0 {
		doc.Heading("What each measure would change at " + m.clock(p.Start))
		t := document.Table{Header: []string{"Measure", "Then", "What it buys"}, Bold: []int{0}, Shares: []float64{0.28, 0.16, 0.56}}
		for _, x := range p.Measures {
			t.Rows = append(t.Rows, []string{x.Name, x.Level.String(), x.Buys})
		}
		doc.Table(t)
	}
	if r := p.Rehearsal; r != nil {
		m.played(doc, *r)
	}
	return doc, doc.Err()
}

// dayTable has the best start of every day, with what speaks against it.
func (m *maker) dayTable(p pour.Result) document.Table {
	t := document.Table{Header: []string{"Day", "Start", "Verdict", "What to mind, and what would change it"}, Bold: []int{1}, Shares: []float64{0.2, 0.12, 0.14, 0.54}}
	for _, d := range p.Days {
		row := []string{m.longDay(d.Date), "", "not judged", "the forecast does not reach its set"}
		if d.Best >= 0 {
			s := d.Starts[d.Best]
			row[1], row[2], row[3] = m.clock(s.At), s.Level.String(), ""
			for _, c := range s.Checks {
				if c.Level == s.Level && s.Level > check.Good {
					row[3] = sentence(join(" ", append([]string{c.Says}, c.Then...)...))
					break
				}
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// played is what came of playing the day many times.
func (m *maker) played(doc *document.Doc, r pour.Rehearsal) {
	percent := func(p quantity.Percent) string { return fmt.Sprintf("%.0f", 100*float64(p)) }
	minutes := func(t quantity.Time) string { return fmt.Sprintf("%.0f", t.Minutes()) }
	doc.Heading("How many hands")
	doc.Note(fmt.Sprintf("%d days played by chance, seed %d; the share of days is good to %.1f in 100 either way.", r.Days, r.Seed, 100*float64(r.Doubt)))
	t := document.Table{Header: []string{"Hands", "Tools", "Something too late, days in 100", "Done by, nine days in ten"}, Right: []int{0, 2}, Bold: []int{2}}
	for i, o := range r.Crews {
		if i > 0 && r.Crews[i-1].Sets == o.Sets && r.Crews[i-1].Late == o.Late {
			continue
		}
		tools := "as on site"
		if o.Sets > 1 {
			tools = "twice as many"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(o.Hands), tools, percent(o.Late), m.clock(r.Start.Add(time.Duration(o.End.Seconds()) * time.Second))})
	}
	doc.Table(t)
	if len(r.Spacings) > 0 {
		doc.Heading("How far apart the trucks")
		t := document.Table{Header: []string{"Minutes apart", "Something too late, days in 100", "A load too old, days in 100", "Placers wait, min", "Trucks wait in all, min"}, Right: []int{0, 1, 2, 3, 4}, Bold: []int{0}}
		for _, o := range r.Spacings {
			t.Rows = append(t.Rows, []string{minutes(o.Spacing), percent(o.Late), percent(o.TooOld), minutes(o.Idle), minutes(o.Queue)})
		}
		doc.Table(t)
	}
	doc.Heading("The board, by the clock")
	b := document.Table{Header: []string{"From", "Until", "What", "Strip", "Hands", "Done by"}, Right: []int{3, 4}, Bold: []int{0, 2}, Tight: true}
	for _, row := range r.Board {
		by := ""
		if !row.Closes.IsZero() {
			by = m.clock(row.Closes)
		}
		if row.Late {
			by += " TOO LATE"
		}
		b.Rows = append(b.Rows, []string{m.clock(row.From), m.clock(row.Until), row.Step, fmt.Sprint(row.Strip), fmt.Sprint(row.Hands), by})
	}
	doc.Table(b)
}
