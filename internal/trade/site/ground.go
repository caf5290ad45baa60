package site

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Contour is the lines on which the ground as it is has one level.
type Contour struct {
	Level quantity.Length    `json:"level"`
	Lines [][]geometry.Point `json:"lines"`
}

// surveyStep is the step of the sheet that holds all shots of a survey file.
const surveyStep = "survey_ground"

// breakFaults finds breaklines that name no shot or have no length.
func (in Input) breakFaults() check.Faults {
	var faults check.Faults
	for i, b := range in.Breaks {
		f := check.Fault{Field: fmt.Sprintf("site.breaklines[%d]", i+1), Given: b.Name}
		if len(b.Shots) < 2 {
			f.Why, f.Type = "has fewer than two shots.", "Give the names of the shots along it, in order: shots: [C1, C2, C3]."
			faults = append(faults, f)
		}
		for _, name := range b.Shots {
			if !in.hasShot(name) {
				f.Given, f.Why, f.Type = name, "is no shot of this job.", "Give the shot that name: shots: [{x: 4, y: 2, rod: 5.28, name: C1}]."
				faults = append(faults, f)
			}
		}
	}
	return faults
}

func (in Input) hasShot(name string) bool {
	return slices.ContainsFunc(in.Shots, func(s Shot) bool { return name != "" && (s.Name == name || s.Name == "" && s.At == name) }) ||
		slices.ContainsFunc(in.Book, func(b Reading) bool { return name != "" && spotTitle(b) == name })
}

// ground lays triangles over all shots, typed and surveyed, holds the breaklines, looks the surface over and draws its contours.
func (r *Result) ground(in Input) check.Faults {
	r.typedBreaks(in)
	r.takeSurvey(in)
	shots := make([]terrain.Shot, len(r.Ground))
	for i, s := range r.Ground {
		shots[i] = terrain.Shot{Name: spotName(i, s), X: s.At.X, Y: s.At.Y, Z: s.Elevation.Metres()}
	}
	if len(shots) < 3 {
		return nil
	}
	surface, err := terrain.Triangulate(shots, r.Breaklines)
	if err != nil {
		return groundFaults(in, err)
	}
	r.Check(r.groundWarnings(in, surface)...)
	r.contours(in, surface)
	return nil
}

// typedBreaks finds the shots of the breaklines by their names.
func (r *Result) typedBreaks(in Input) {
	for _, b := range in.Breaks {
		var line []int
		for _, name := range b.Shots {
			if i := slices.IndexFunc(r.Ground, func(s Spot) bool { return s.Name == name }); i >= 0 {
				line = append(line, i)
			}
		}
		r.Breaklines = append(r.Breaklines, line)
	}
}

// takeSurvey puts the shots of a survey file beside those read here. A place that has a level already keeps it.
func (r *Result) takeSurvey(in Input) {
	if len(in.Survey.Shots) == 0 && in.Survey.Says == "" {
		return
	}
	r.Working.Answer(working.Step{Name: surveyStep, Says: "from survey file " + in.SurveyFile.File, Value: quantity.Words(in.Survey.Says), Source: sources.TriangleSurface})
	at := map[geometry.Point]int{}
	for i, s := range r.Ground {
		at[s.At] = i
	}
	place := make([]int, len(in.Survey.Shots))
	for i, s := range in.Survey.Shots {
		k, known := at[s.Point()]
		if !known {
			k = len(r.Ground)
			at[s.Point()] = k
			r.Ground = append(r.Ground, Spot{Name: s.Name, At: s.Point(), Elevation: quantity.Length(s.Z), Step: surveyStep})
		} else if gap := s.Z - r.Ground[k].Elevation.Metres(); math.Abs(gap) > sameReading.Metres() {
			r.Check(r.readTwice(in, k, gap))
		}
		place[i] = k
	}
	for _, line := range in.Survey.Lines {
		moved := make([]int, len(line))
		for i, v := range line {
			moved[i] = place[v]
		}
		r.Breaklines = append(r.Breaklines, moved)
	}
}

// sameReading is how far apart two readings of one place may be.
var sameReading = quantity.Feet(0.02)

// readTwice tells of a place that was read twice with two answers; the first one counts.
func (r *Result) readTwice(in Input, i int, gap float64) check.Check {
	name := spotName(i, r.Ground[i])
	return check.Check{ID: "site.shot-twice", Level: check.Care, Where: name, Source: sources.CommonPractice,
		Says: fmt.Sprintf("Shot %s was read twice, %s apart; the first reading counts.", name, quantity.Plain(math.Abs(gap), quantity.AsElevation).String(in.Units)),
		Then: []string{"Read it again and take the wrong one out. A wall or curb there wants two shots, its top and its foot, side by side."}}
}

// groundFaults says in the job's words why the shots make no surface. Shots on one line are no fault: the grades say so.
func groundFaults(in Input, err error) check.Faults {
	var one *terrain.Fault
	if !errors.As(err, &one) || one.Kind == terrain.OnOneLine || one.Kind == terrain.TooFewShots {
		return nil
	}
	f := check.Fault{Field: "site.shots", Why: "make no surface: " + strings.TrimSuffix(one.Says, ".") + ".", Type: "Correct or drop the shot."}
	if one.Kind == terrain.BreaklineCross {
		f = check.Fault{Field: "site.breaklines", Type: "Give both a shot where they meet, or end one there.",
			Why: fmt.Sprintf("cross at %s, %s without a shot they share: two levels at one place.", side(one.At.X, in.Units), side(one.At.Y, in.Units))}
		if len(in.Breaks) == 0 {
			f.Field = "site.survey_file.breaklines"
		}
	}
	return check.Faults{f}
}

// Warnings of the ground are told where they touch the slab: within nearSlab of it. Two grounds less than tellGap apart are one.
var (
	nearSlab = quantity.Feet(3)
	tellGap  = quantity.Inches(1)
)

// mostOutliers is how many shots that stand out are told of; more are a survey in another unit.
const mostOutliers = 5

// groundWarnings says what is doubtful about the ground near the slab.
func (r *Result) groundWarnings(in Input, s *terrain.Surface) []check.Check {
	var out []check.Check
	outer := geometry.Polygon{Outer: r.Outline.Outer}
	name := func(v int) string { return s.Shots()[v].Name }
	for _, w := range s.Warnings() {
		for i, shots := range w.Places {
			var middle geometry.Point
			var names []string
			for _, v := range shots {
				middle = middle.Add(s.Shots()[v].Point().Scale(1 / float64(len(shots))))
				names = append(names, name(v))
			}
			if w.Kind != terrain.Outlier && outer.Distance(middle) > nearSlab.Metres() {
				continue
			}
			if c, tell := groundWarning(in, w.Kind, w.Sizes[i], names); tell {
				out = append(out, c)
				break // the worst of its kind
			}
		}
	}
	if len(r.Ground) <= planeShots {
		return append(withoutOutliers(out), outliers(in, r.Ground)...)
	}
	return cutOutliers(out)
}

// planeShots is up to how many shots one plane is held against them all; more are held against their neighbours.
const planeShots = 16

func isOutlier(c check.Check) bool { return c.ID == "site.shot-off" }

func withoutOutliers(checks []check.Check) []check.Check { return slices.DeleteFunc(checks, isOutlier) }

func cutOutliers(checks []check.Check) []check.Check {
	n := 0
	return slices.DeleteFunc(checks, func(c check.Check) bool {
		if isOutlier(c) {
			n++
		}
		return isOutlier(c) && n > mostOutliers
	})
}

// groundWarning puts one warning of the surface in the foreman's words; false where it makes no difference to a slab.
func groundWarning(in Input, kind terrain.WarningKind, size float64, shots []string) (check.Check, bool) {
	c := check.Check{Level: check.Care, Where: strings.Join(shots, ", "), Source: sources.TriangleSurface}
	drop := func(v float64) string { return quantity.Plain(math.Abs(v), quantity.AsDrop).String(in.Units) }
	switch kind {
	case terrain.AmbiguousDiagonal:
		c.ID, c.Value = "site.ground-fold", quantity.Plain(size, quantity.AsDrop)
		c.Says = fmt.Sprintf("Between shots %s the ground can fold two ways, %s apart.", c.Where, drop(size))
		c.Then = []string{"Shoot the middle, or say along which shots it bends: breaklines."}
		return c, size > tellGap.Metres()
	case terrain.Sliver:
		c.ID, c.Says = "site.ground-sliver", fmt.Sprintf("The ground at shots %s rests on a long thin triangle: it is a guess across.", c.Where)
		c.Then = []string{"Take a shot beside them, at the slab."}
		return c, true
	case terrain.FlatOnBreakline:
		c.ID, c.Says = "site.ground-flat", fmt.Sprintf("Beside the breakline at shots %s the ground comes out level: no shot off the line says otherwise.", c.Where)
		c.Then = []string{"Shoot the ground on both sides of the line."}
		return c, true
	case terrain.CloseShots:
		c.ID, c.Value = "site.ground-step", quantity.Plain(size, quantity.AsDrop)
		c.Says = fmt.Sprintf("Shots %s stand at one place, %s apart in height.", c.Where, drop(size))
		c.Then = []string{"A step wants its top and its foot side by side, half an inch apart at least."}
		return c, size > sameReading.Metres()
	case terrain.Outlier:
		above := "above"
		if size < 0 {
			above = "below"
		}
		c.ID, c.Value = "site.shot-off", quantity.Plain(math.Abs(size), quantity.AsElevation)
		c.Says = fmt.Sprintf("Shot %s stands %s %s its neighbours.", c.Where, c.Value.String(in.Units), above)
		c.Then = []string{"Read it again: a foot misread on the rod looks just like this. If it is a curb or a wall, give it a breakline."}
		return c, true
	}
	return c, false
}

// contourSteps are the steps contours may have, from fine to coarse: in feet, or in metres.
var contourSteps = map[quantity.System][]quantity.Length{
	quantity.US:     {quantity.Feet(0.1), quantity.Feet(0.2), quantity.Feet(0.5), quantity.Feet(1), quantity.Feet(2), quantity.Feet(5), quantity.Feet(10)},
	quantity.Metric: {0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5},
}

// mostContours is how many contours a plan of the lot can carry and still be read.
const mostContours = 8

// contours draws the ground's contours near the slab, at the finest step that leaves the plan readable.
func (r *Result) contours(in Input, s *terrain.Surface) {
	window := r.window()
	low, high := math.Inf(1), math.Inf(-1)
	for _, shot := range s.Shots() {
		if window.Expand(terrain.SnapLength).Contains(shot.Point()) {
			low, high = math.Min(low, shot.Z), math.Max(high, shot.Z)
		}
	}
	if !(high > low) {
		return
	}
	steps := contourSteps[in.Units]
	step := steps[len(steps)-1]
	for _, s := range steps {
		if (high-low)/s.Metres() <= mostContours*(1+1e-9) { // a whole number but for rounding
			step = s
			break
		}
	}
	all, err := s.Contours(step.Metres())
	if err != nil {
		return
	}
	for _, c := range all {
		near := Contour{Level: quantity.Length(c.Level)}
		for _, line := range c.Lines {
			near.Lines = append(near.Lines, clipped(line, window)...)
		}
		if len(near.Lines) > 0 {
			r.Contours = append(r.Contours, near)
		}
	}
	if len(r.Contours) > 0 {
		r.Working.Show(working.Step{Name: "contour_step", Says: "height between two contours of the ground as it is", Formula: fmt.Sprintf("the finest that leaves %d at most near the slab", mostContours),
			Value: quantity.Show(step, quantity.AsElevation), Source: sources.OwnRule})
	}
}

// window is the ground round the slab that a plan of it shows: as far out as half the slab is long.
func (r *Result) window() geometry.Box {
	b := geometry.BoundsOf(r.Outline.Outer)
	return b.Expand(math.Max(b.Width(), b.Height()) / 2)
}

// clipped is what of a line lies in a box, piece by piece.
func clipped(line []geometry.Point, box geometry.Box) [][]geometry.Point {
	frame := box.Polygon()
	var out [][]geometry.Point
	for i := 1; i < len(line); i++ {
		a, b, ok := within(geometry.Segment{A: line[i-1], B: line[i]}, frame)
		if !ok {
			continue
		}
		if n := len(out); n > 0 && out[n-1][len(out[n-1])-1] == a {
			out[n-1] = append(out[n-1], b)
		} else {
			out = append(out, []geometry.Point{a, b})
		}
	}
	return out
}

// within is the piece of a segment inside a convex frame.
func within(s geometry.Segment, frame geometry.Polygon) (a, b geometry.Point, ok bool) {
	from, to := 0.0, 1.0
	for _, e := range frame.Edges() {
		n := e.Outward
		da, db := n.Dot(s.A.Sub(e.A)), n.Dot(s.B.Sub(e.A))
		switch {
		case da > 0 && db > 0:
			return a, b, false
		case da > 0:
			from = math.Max(from, da/(da-db))
		case db > 0:
			to = math.Min(to, da/(da-db))
		}
	}
	a, b = s.A, s.B
	if from > 0 {
		a = s.At(from)
	}
	if to < 1 {
		b = s.At(to)
	}
	return a, b, from < to
}
