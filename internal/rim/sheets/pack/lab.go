package pack

import (
	"fmt"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/mix"
	"slabwright/internal/trade/sources"
)

// labResults are the laboratory's samples, oldest first, and what they prove, each verdict with the clause it rests on.
func labResults(m *maker) (*document.Doc, error) {
	x, ok := of[mix.Result](m.reading, "mix")
	if !ok || x.Lab == nil {
		return nil, nil
	}
	strength := func(s quantity.Stress) string { return m.show(quantity.Show(s, quantity.AsStrength)) }
	doc := document.New("lab-results", "Laboratory results", m.paper)
	doc.Small()
	doc.Heading("What the laboratory found of this concrete")
	t := document.Table{Header: []string{"sample", "job", "cast", "age", "cylinders", "average", "apart by", "counts, or heads for"}, Bold: []int{5}, Cap: document.NoteCap}
	for _, test := range x.Lab.Tests {
		cast, means := "", "counts"
		if !test.Day.IsZero() {
			cast = m.date(test.Day)
		}
		switch {
		case test.Forecast > 0:
			means = strength(test.Forecast) + " at 28 days"
		case !test.Counts:
			means = "does not count: too few cylinders, or not 28 days old"
		}
		t.Rows = append(t.Rows, []string{test.Name, test.Job, cast, fmt.Sprintf("%.3g d", test.Age.Days()), fmt.Sprint(test.Cylinders), strength(test.Average), strength(test.Range), means})
	}
	doc.Table(t)
	doc.Heading(fmt.Sprintf("Held against %s ordered", strength(x.Strength)))
	verdicts := document.Table{Header: []string{"", "What", "By"}, Bold: []int{0}, Cap: document.NoteCap, Shares: []float64{0.14, 0.56, 0.3}}
	for _, c := range x.Lab.Checks {
		by, _ := sources.Find(c.Source)
		verdicts.Rows = append(verdicts.Rows, []string{c.Level.String(), m.grouped(join(" ", c.Says, strings.Join(c.Then, " "))), by.Title})
	}
	doc.Table(verdicts)
	doc.Note("Early breaks are turned into 28 days by the curve of the cement, counted in the maturity of their curing temperature where it was " +
		"not the standard one; they judge nothing. Acceptance is the owner's and the engineer's; local code governs.")
	return doc, doc.Err()
}
