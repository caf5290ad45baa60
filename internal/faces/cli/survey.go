package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"strconv"
	"text/tabwriter"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/intake/survey"
	"slabwright/internal/trade/site"
)

type surveyCommand struct {
	File string `arg:"" help:"The survey file: CSV of a total station or phone, DXF, GeoJSON or LandXML."`
	Unit string `help:"Unit of its coordinates, where it does not say: m, mm, cm, in, ft, \"survey ft\" (US), deg." placeholder:"UNIT"`
	Axes string `help:"Which coordinate comes first, where it does not say: \"east north\" or \"north east\"." placeholder:"ORDER"`
}

// Help shows how it is used.
func (surveyCommand) Help() string {
	return `Lists what the file holds, name by name, and the lines that take it into a job.

Examples:
  slabwright survey shots.csv --unit ft --axes "north east"
  slabwright survey lot.dxf
  slabwright survey yard.geojson --unit deg --json`
}

// surveyView is what a survey file holds, as scripts read it. Lengths are metres.
type surveyView struct {
	File    string           `json:"file"`
	Unit    site.SurveyUnit  `json:"unit"`
	East    float64          `json:"east"`
	North   float64          `json:"north"`
	Points  int              `json:"points"`
	Lines   int              `json:"lines"`
	Groups  []survey.Group   `json:"groups"`
	Skipped []survey.Skipped `json:"skipped"`
}

// Run reads the file and lists it. What only a person can say is asked: exit code 4.
func (c surveyCommand) Run(s *session) error {
	src, err := intake.SurveyFile(c.File)
	if err != nil {
		return err
	}
	in, err := survey.Read(c.File, src, survey.Told{Unit: site.SurveyUnit(c.Unit), Axes: site.SurveyAxes(c.Axes)})
	if err != nil {
		return c.refused(err)
	}
	v := surveyView{File: c.File, Unit: in.Unit, Points: len(in.Points), Lines: len(in.Lines), Groups: in.Groups(), Skipped: in.Skipped}
	v.East, v.North = in.Size()
	switch {
	case s.JSON:
		return s.printJSON(v)
	case s.Plain:
		for _, g := range v.Groups {
			s.fields(g.Name, strconv.Itoa(g.Points), strconv.Itoa(g.Lines), strconv.Itoa(g.Closed), strconv.Itoa(g.Heights), fmt.Sprint(g.Low), fmt.Sprint(g.High))
		}
		return nil
	}
	c.print(s, v)
	return nil
}

// refused gives a fault its place; what is asked can be answered beside the file's name.
func (c surveyCommand) refused(err error) error {
	var faults survey.Faults
	if !errors.As(err, &faults) {
		return err
	}
	var placed intake.Faults
	asked := true
	for _, f := range faults {
		placed = append(placed, intake.Fault{File: c.File, Line: max(f.Line, 1), Column: max(f.Column, 1), Fault: f.Fault})
		asked = asked && (f.Field == "unit" || f.Field == "axes")
	}
	if asked {
		return exit{code: Missing, err: placed, hint: "Here: --unit ft, --axes \"north east\"."}
	}
	return placed
}

// print lists the groups and the lines for the job file.
func (c surveyCommand) print(s *session, v surveyView) {
	units := quantity.Metric
	if v.Unit == site.Feet || v.Unit == site.SurveyFeet || v.Unit == site.Inches {
		units = quantity.US
	}
	across := func(m float64) string { return quantity.Plain(m, quantity.AsDistance).String(units) }
	fmt.Fprintln(s.Out, s.strong(fmt.Sprintf("%s: %s and %s, read in %s, %s east by %s north", filepath.Base(c.File), counted(v.Points, "point", "points"), counted(v.Lines, "line", "lines"), v.Unit, across(v.East), across(v.North))))
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "  name\tpoints\tlines\tclosed\twith levels\tlowest\thighest")
	outline := ""
	for _, g := range v.Groups {
		low, high := "-", "-"
		if g.Heights > 0 {
			low, high = quantity.Plain(g.Low, quantity.AsElevation).String(units), quantity.Plain(g.High, quantity.AsElevation).String(units)
		}
		fmt.Fprintf(w, "  %s\t%d\t%d\t%d\t%d\t%s\t%s\n", g.Name, g.Points, g.Lines, g.Closed, g.Heights, low, high)
		if g.Closed == 1 && outline == "" {
			outline = g.Name
		}
	}
	w.Flush()
	for _, left := range v.Skipped {
		fmt.Fprintf(s.Out, "  left out: %d × %s\n", left.Count, left.What)
	}
	if s.Quiet {
		return
	}
	fmt.Fprintf(s.Out, "\nInto the job file, with the names above where they belong:\nsite:\n  survey_file:\n    file: %s\n", filepath.Base(c.File))
	if c.Unit != "" {
		fmt.Fprintf(s.Out, "    unit: %s\n", c.Unit)
	}
	if c.Axes != "" {
		fmt.Fprintf(s.Out, "    axes: %s\n", c.Axes)
	}
	if outline == "" {
		outline = "NAME"
	}
	fmt.Fprintf(s.Out, "    outline: %s  # the slab's corners, or its closed line\n    # ground: [NAME]  shots on the ground; all that have a level if left out\n    # breaklines: [NAME]  curbs, top and foot of banks\n", outline)
}
