package cli

import (
	"encoding/json"
	"fmt"
	"strings"
	"text/tabwriter"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/proof"
	"slabwright/internal/trade/sources"
)

type verifyCommand struct {
	Checks string `help:"Run this table of check rows (CSV or YAML) instead of the program's own." placeholder:"FILE"`
	List   bool   `help:"List every calculation a row may name, with its inputs, units and outputs."`
	All    bool   `help:"Print every row, not only the sums and what failed."`
}

// Help says more than one line can.
func (verifyCommand) Help() string {
	return `Each row names a calculation, what goes in, what must come out and how near.

Examples:
  slabwright verify                      run all rows, grouped by stage
  slabwright verify --all                print each row: source, expected, got, error
  slabwright verify --list               what a row may call
  slabwright verify --checks mine.csv    run somebody else's rows
The format of a table is described in docs/check-rows.md.`
}

// Run runs the rows.
func (c verifyCommand) Run(s *session) error {
	if c.List {
		return s.list()
	}
	report, err := c.report()
	if err != nil {
		return err
	}
	if s.JSON {
		err = s.printJSON(reportView(report))
	} else {
		s.printReport(report, c.All || c.Checks != "")
	}
	if err == nil && (report.Failed > 0 || report.Ran == 0) {
		return exit{code: Failed}
	}
	return err
}

func (c verifyCommand) report() (proof.Report, error) {
	if c.Checks == "" {
		return proof.Own(plan.Rooms())
	}
	rows, err := intake.CheckRows(c.Checks)
	if err != nil {
		return proof.Report{}, err
	}
	return proof.Foreign(rows, plan.Rooms())
}

func (s *session) list() error {
	index, err := proof.Index(plan.Rooms())
	if err != nil {
		return err
	}
	if s.JSON {
		return s.printJSON(listView(index))
	}
	for _, name := range proof.Names(index) {
		c := index[name]
		fmt.Fprintf(s.Out, "%s\n    %s\n    source: %s\n", s.strong(name), c.Says, sources.Key(c.Source))
		s.ports("in ", c.Inputs)
		s.ports("out", c.Outputs)
	}
	fmt.Fprintln(s.Out, "units")
	for _, dim := range quantity.Dimensions() {
		fmt.Fprintf(s.Out, "    %s: %s\n", dim, strings.Join(quantity.SymbolsOf(dim), ", "))
	}
	fmt.Fprintf(s.Out, "%d calculations\n", len(index))
	return nil
}

func (s *session) ports(label string, ports []calc.Port) {
	for _, p := range ports {
		line := fmt.Sprintf("    %s %s", label, p.Name)
		if p.Unit.Symbol != "" {
			line += fmt.Sprintf(" [%s: %s]", p.Unit.Dim, p.Unit.Symbol)
		}
		if p.Form != calc.Number {
			line += " " + string(p.Form)
		}
		if p.Range != "" {
			line += " (" + p.Range + ")"
		}
		if p.Default != "" {
			line += " (default " + p.Default + ")"
		}
		if p.Says != "" {
			line += " – " + p.Says
		}
		fmt.Fprintln(s.Out, line)
	}
}

type portView struct {
	Name      string   `json:"name"`
	Says      string   `json:"says,omitempty"`
	Form      string   `json:"form"`
	Dimension string   `json:"dimension,omitempty"`
	Unit      string   `json:"unit,omitempty"`
	Units     []string `json:"units,omitempty"`
	Default   string   `json:"default,omitempty"`
	Range     string   `json:"range,omitempty"`
}

type calculationView struct {
	Name    string     `json:"name"`
	Says    string     `json:"says"`
	Source  string     `json:"source"`
	Inputs  []portView `json:"inputs"`
	Outputs []portView `json:"outputs"`
}

func listView(index map[string]calc.Calculation) []calculationView {
	views := []calculationView{}
	for _, name := range proof.Names(index) {
		c := index[name]
		views = append(views, calculationView{c.Name, c.Says, c.Source, portViews(c.Inputs), portViews(c.Outputs)})
	}
	return views
}

func portViews(ports []calc.Port) []portView {
	views := []portView{}
	for _, p := range ports {
		views = append(views, portView{p.Name, p.Says, string(p.Form), string(p.Unit.Dim), p.Unit.Symbol,
			quantity.SymbolsOf(p.Unit.Dim), p.Default, p.Range})
	}
	return views
}

func (s *session) printReport(r proof.Report, all bool) {
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, g := range r.Groups {
		passed := 0
		for _, o := range g.Outcomes {
			if o.Pass {
				passed++
			}
		}
		fmt.Fprintf(w, "%s\t%d of %d pass\n", g.Name, passed, len(g.Outcomes))
		for _, o := range g.Outcomes {
			if all || !o.Pass {
				fmt.Fprintf(w, "  %s\t%s\t%s\texpected %s\tgot %s\t%s\t%s\n", o.ID, mark(o), o.Calculation, o.Expect, o.Got, o.Error, sources.Key(o.Source))
			}
			if !o.Pass {
				fmt.Fprintf(w, "  \t%s\n", reason(o))
			}
		}
	}
	w.Flush()
	if r.Ran == 0 {
		fmt.Fprintln(s.Out, "the table has no rows: nothing was checked")
	}
	fmt.Fprintf(s.Out, "ran %d of %d: %d passed, %d failed, %d disputed\n", r.Ran, r.Ran, r.Passed, r.Failed, r.Disputed)
}

func mark(o calc.Outcome) string {
	switch {
	case o.Pass:
		return "pass"
	case o.Disputed != "":
		return "disputed"
	}
	return "FAIL"
}

func reason(o calc.Outcome) string {
	if o.Disputed != "" {
		return o.Failed + "; disputed: " + o.Disputed
	}
	return o.Failed
}

type rowView struct {
	ID          string `json:"id"`
	Group       string `json:"group"`
	Calculation string `json:"calculation"`
	Source      string `json:"source"`
	Class       string `json:"class"`
	Inputs      string `json:"inputs"`
	Expected    string `json:"expected"`
	Got         string `json:"got"`
	Error       string `json:"error"`
	Tolerance   string `json:"tolerance"`
	Pass        bool   `json:"pass"`
	Failed      string `json:"failed,omitempty"`
	Disputed    string `json:"disputed,omitempty"`
}

type verifyView struct {
	Ran      int       `json:"ran"`
	Passed   int       `json:"passed"`
	Failed   int       `json:"failed"`
	Disputed int       `json:"disputed"`
	Rows     []rowView `json:"rows"`
}

func reportView(r proof.Report) verifyView {
	v := verifyView{Ran: r.Ran, Passed: r.Passed, Failed: r.Failed, Disputed: r.Disputed, Rows: []rowView{}}
	for _, g := range r.Groups {
		for _, o := range g.Outcomes {
			v.Rows = append(v.Rows, rowView{o.ID, g.Name, o.Calculation, sources.Key(o.Source).String(), o.Class, o.Inputs, o.Expect, o.Got,
				o.Error, o.Tolerance, o.Pass, o.Failed, o.Disputed})
		}
	}
	return v
}

func (s *session) printJSON(v any) error {
	e := json.NewEncoder(s.Out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
