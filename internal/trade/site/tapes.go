package site

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/survey"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// tapeFaults finds tapes that name no corner, have no length or run from a corner to itself.
func (in Input) tapeFaults(corners []string) check.Faults {
	var faults check.Faults
	if len(in.Tapes) == 0 {
		return nil
	}
	if len(in.Corners) == 0 {
		corners = in.tapedCorners()
	}
	for i, m := range in.Fixed {
		if m.Name == "" || slices.Contains(corners, m.Name) || !m.X.Given() || !m.Y.Given() {
			faults = append(faults, check.Fault{Field: fmt.Sprintf("site.fixed[%d]", i+1), Given: m.Name, Why: "wants a name of its own and a place.", Type: "Give x, y and a name like H1."})
		}
		corners = append(corners, m.Name)
	}
	if len(in.Fixed) == 1 {
		faults = append(faults, check.Fault{Field: "site.fixed", Why: "is one mark; the figure can still turn about it.", Type: "Give a second mark, like the other corner of the house."})
	}
	for i, t := range in.Tapes {
		f := check.Fault{Field: fmt.Sprintf("site.tapes[%d]", i+1), Given: t.From + t.To}
		switch {
		case !slices.Contains(corners, t.From) || !slices.Contains(corners, t.To):
			f.Why, f.Type = "does not run between two corners or marks.", "They are "+strings.Join(corners, ", ")+"."
		case t.From == t.To:
			f.Why, f.Type = "begins and ends at one corner.", "Give the other corner in `to`."
		case !(t.Length.Value > 0):
			f.Why, f.Type = "has no length.", "Type what the tape said, like 14' 0 3/8\"."
		default:
			continue
		}
		faults = append(faults, f)
	}
	return faults
}

// tapedCorners are the corners the tapes name, in the order of the alphabet: the way round the edge.
func (in Input) tapedCorners() []string {
	var names []string
	for _, t := range in.Tapes {
		for _, n := range []string{t.From, t.To} {
			if n != "" && !slices.Contains(names, n) && !slices.ContainsFunc(in.Fixed, func(c Corner) bool { return c.Name == n }) {
				names = append(names, n)
			}
		}
	}
	slices.Sort(names)
	return names
}

// adjust finds the corners that fit all tapes best: least squares with the tape's own error. Marks that stay hold the figure;
// without them the first corner is held where it is and the second on the line to it. With given corners the tapes start from
// them; without, from a first sketch made tape by tape.
func (r *Result) adjust(in Input) check.Faults {
	sketch, angle, faults := in.sketch()
	if len(faults) > 0 {
		return faults
	}
	net := survey.Network{}
	marks := len(in.Fixed)
	for i, p := range sketch {
		fixed := i < marks
		net.Points = append(net.Points, survey.NetworkPoint{Name: p.Name, At: p.At, FixedX: fixed || marks == 0 && i == 0, FixedY: fixed || marks == 0 && i < 2})
	}
	for _, t := range in.Tapes {
		net.Observations = append(net.Observations, survey.Observation{Name: t.From + t.To, Kind: survey.Distance,
			From: place(sketch, t.From), To: place(sketch, t.To), Value: t.Length.Value.Metres(), Sigma: in.TapeError.Value.Metres()})
	}
	fit, err := net.Adjust()
	if err != nil {
		return adjustFault(err)
	}
	for _, p := range fit.Points[marks:] {
		r.Corners = append(r.Corners, Place{Name: p.Name, At: p.At.Rotate(sketch[0].At, angle)})
	}
	r.showTapes(in, fit)
	r.doubt(in, fit.Points[marks:], angle)
	r.Check(tapeChecks(in, fit)...)
	return nil
}

func place(points []Place, name string) int {
	return slices.IndexFunc(points, func(p Place) bool { return p.Name == name })
}

func adjustFault(err error) check.Faults {
	f := check.Fault{Field: "site.tapes", Why: "do not fix the outline: " + strings.TrimPrefix(err.Error(), "survey: ") + ".",
		Type: "Tape one more distance, a diagonal if there is none."}
	var loose *survey.Floating
	if errors.As(err, &loose) && len(loose.Points) > 0 {
		f.Why = fmt.Sprintf("leave corner %s free to move.", loose.Points[0])
		f.Type = fmt.Sprintf("Tape one more distance to %s, from a corner that is not next to it.", loose.Points[0])
	}
	return check.Faults{f}
}

// sketch places the corners roughly: as given, or each by its tapes to two corners already placed, on the left of the way
// round. The adjustment holds the second corner on a level line from the first, so given corners are turned onto it by angle
// and the adjusted ones turned back.
func (in Input) sketch() (points []Place, angle float64, faults check.Faults) {
	var out []Place
	for _, m := range in.Fixed {
		out = append(out, Place{Name: m.Name, At: point(m.X, m.Y)})
	}
	for i, c := range in.Corners {
		out = append(out, Place{Name: c.title(i), At: point(c.X, c.Y)})
	}
	switch {
	case len(in.Fixed) > 0 && len(in.Corners) > 0:
		return out, 0, nil
	case len(in.Fixed) > 0:
		out, faults = in.placeAll(out, in.tapedCorners())
		return out, 0, faults
	case len(out) > 0:
		angle = out[1].At.Sub(out[0].At).Heading()
		for i := range out {
			out[i].At = out[i].At.Rotate(out[0].At, -angle)
		}
		return out, angle, nil
	}
	names := in.tapedCorners()
	if len(names) < 3 {
		return nil, 0, check.Faults{{Field: "site.tapes", Why: "name fewer than three corners.", Type: "Tape every side and the diagonals."}}
	}
	first, ok := in.taped(names[0], names[1])
	if !ok {
		return nil, 0, check.Faults{{Field: "site.tapes", Why: fmt.Sprintf("do not say how far it is from %s to %s.", names[0], names[1]), Type: "Tape that side."}}
	}
	out = []Place{{Name: names[0]}, {Name: names[1], At: geometry.Point{X: first}}}
	out, faults = in.placeAll(out, names[2:])
	return out, 0, faults
}

// placeAll adds the named corners to those placed, each by its tapes.
func (in Input) placeAll(out []Place, names []string) ([]Place, check.Faults) {
	for _, n := range names {
		at, ok := in.fromTwo(out, n)
		if !ok {
			return nil, check.Faults{{Field: "site.tapes", Given: n, Why: "is not taped from two corners placed before it, or those two tapes cannot meet.",
				Type: "Tape it from two corners, or give the corners roughly and the tapes will move them."}}
		}
		out = append(out, Place{Name: n, At: at})
	}
	return out, nil
}

func (in Input) taped(a, b string) (float64, bool) {
	for _, t := range in.Tapes {
		if (t.From == a && t.To == b) || (t.From == b && t.To == a) {
			return t.Length.Value.Metres(), true
		}
	}
	return 0, false
}

// fromTwo places a corner by its tapes to the two placed corners that cross at the best angle; on the side that its other tapes
// agree with, without others on the left.
func (in Input) fromTwo(placed []Place, name string) (best geometry.Point, ok bool) {
	crossing := 0.0
	for i := range placed {
		for j := i + 1; j < len(placed); j++ {
			r1, one := in.taped(placed[i].Name, name)
			r2, two := in.taped(placed[j].Name, name)
			if !one || !two {
				continue
			}
			p, err := survey.PointFromTwoTapes(placed[i].At, r1, placed[j].At, r2, true)
			if err != nil {
				continue
			}
			a, b := placed[i].At.Sub(p.At).Unit(), placed[j].At.Sub(p.At).Unit()
			if c := math.Abs(a.Cross(b)); c > crossing {
				best, crossing, ok = p.At, c, true
				if q, err := survey.PointFromTwoTapes(placed[i].At, r1, placed[j].At, r2, false); err == nil && in.misfit(placed, name, q.At) < in.misfit(placed, name, p.At)-r1*1e-6 {
					best = q.At
				}
			}
		}
	}
	return best, ok
}

// misfit is by how much a corner's tapes miss its place, all together.
func (in Input) misfit(placed []Place, name string, at geometry.Point) float64 {
	sum := 0.0
	for _, p := range placed {
		if r, ok := in.taped(p.Name, name); ok {
			sum += math.Abs(r - p.At.Distance(at))
		}
	}
	return sum
}

// Doubt is where a corner lies 95 times in 100: within an ellipse round it.
type Doubt struct {
	Name    string          `json:"name"`
	At      geometry.Point  `json:"at"`
	Major   quantity.Length `json:"major"`   // half its length
	Minor   quantity.Length `json:"minor"`   // half its width
	Azimuth quantity.Angle  `json:"azimuth"` // of its length, clockwise from straight up the drawing
}

// doubt gives every taped corner its error ellipse, by the tape's own error.
func (r *Result) doubt(in Input, points []survey.AdjustedPoint, angle float64) {
	for i, p := range points {
		e := p.Ellipse().Scaled(survey.EllipseFactor95(0))
		d := Doubt{Name: p.Name, At: r.Corners[i].At, Major: quantity.Length(e.Major), Minor: quantity.Length(e.Minor), Azimuth: quantity.Angle(math.Mod(e.Azimuth-angle+2*math.Pi, math.Pi))}
		r.Doubts = append(r.Doubts, d)
		r.Working.Show(working.Step{Name: "doubt_" + p.Name, Says: fmt.Sprintf("corner %s lies this near its place 95 times in 100, toward %.0f° from straight up; %s across that", p.Name, float64(d.Azimuth)*180/math.Pi, quantity.Show(d.Minor, quantity.AsDrop).String(in.Units)),
			Symbol: "a", Formula: "2.448·√(m + g), m = (q_xx + q_yy)/2, g = √(((q_xx − q_yy)/2)² + q_xy²)", Value: quantity.Show(d.Major, quantity.AsDrop), From: []string{"tape_error", "tape_misfit"}, Source: sources.LeastSquares})
	}
}

// showTapes puts every tape on the sheet: as read, as adjusted, by how much it moved.
func (r *Result) showTapes(in Input, fit survey.Adjustment) {
	sigma := working.Given(&r.Working, "tape_error", "σ", "how far off a tape may be", in.TapeError, quantity.AsDrop)
	var names []string
	for i, res := range fit.Residuals {
		read := working.Given(&r.Working, "tape_"+res.Name, "", "tape "+res.Name+" as read", in.Tapes[i].Length, quantity.AsSide)
		r.Working.Show(working.Step{Name: "adjusted_" + res.Name, Says: "tape " + res.Name + " as it fits the others", Formula: "least squares over all tapes",
			Value: quantity.Plain(res.Adjusted, quantity.AsSide), From: []string{read, sigma}, Source: sources.LeastSquares})
		names = append(names, "adjusted_"+res.Name)
	}
	r.Working.Answer(working.Step{Name: "tape_misfit", Symbol: "s0", Says: "how well the tapes agree; 1 is as well as a tape can", Formula: "√(Σ(v/σ)² / f), f = tapes − unknowns",
		Value: quantity.Plain(fit.S0, quantity.AsRatio), From: names, Source: sources.LeastSquares})
	r.Working.Show(working.Step{Name: "corners", Says: "corners that fit the tapes", Formula: "least squares, first corner held, second on its line", Value: quantity.Words(r.cornerList(in.Units)), From: names, Source: sources.LeastSquares})
}

// tapeChecks says whether the tapes agree, which one is likely wrong and how, and which nothing checks.
func tapeChecks(in Input, fit survey.Adjustment) []check.Check {
	var out []check.Check
	for _, res := range fit.Residuals {
		if res.Redundancy < survey.UncheckedBelow {
			out = append(out, check.Check{ID: "site.tape-unchecked", Level: check.Care, Where: res.Name, Source: sources.LeastSquares,
				Says: fmt.Sprintf("Nothing checks tape %s: if it is wrong, nobody will know.", res.Name), Then: []string{"Tape a diagonal or a tie that crosses it."}})
		}
	}
	if fit.Freedom == 0 {
		return out
	}
	agree := check.Check{ID: "site.tapes-agree", Level: check.Good, Value: quantity.Plain(fit.S0, quantity.AsRatio), Source: sources.LeastSquares, Says: "The tapes agree with one another."}
	if fit.TooLoose() {
		agree.Level, agree.Says, agree.Then = check.Care, "The tapes do not agree, and these readings cannot say which is wrong.", []string{"Measure two more ties, from corners of the building if you can."}
		if i, ok := fit.Suspect(survey.DoubtLimit); ok {
			res := fit.Residuals[i]
			agree.Where = res.Name
			way := "long"
			if res.Error < 0 {
				way = "short"
			}
			agree.Says = fmt.Sprintf("Tape %s does not fit: %s read, about %s too %s. Perhaps %s.", res.Name, in.Tapes[i].Length.Show(quantity.AsSide).String(in.Units),
				quantity.Plain(math.Abs(res.Error), quantity.AsDrop).String(in.Units), way, survey.LikelyBlunder(res.Error))
			agree.Then = []string{"Tape it again before anything is set out."}
		}
	}
	return append(out, agree)
}
