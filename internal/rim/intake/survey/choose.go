package survey

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/site"
)

// Group is what a file holds under one name: a layer, a feature or a code. Low and High are of what has a height, metres.
type Group struct {
	Name    string  `json:"name"`
	Points  int     `json:"points"`
	Lines   int     `json:"lines"`
	Closed  int     `json:"closed_lines"`
	Heights int     `json:"heights"` // points and corners of lines that have one
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
}

// group is the name a point goes by: its layer or code, or, without one, its own.
func (p Point) group() string {
	if p.Code != "" {
		return p.Code
	}
	return p.Name
}

// unnamed is how shots without a code are gathered for a person to read.
const unnamed = "(no code)"

// Groups lists what the file holds, name by name in the order of the file. Points without a code are one group.
func (in Import) Groups() []Group {
	var out []Group
	at := map[string]int{}
	of := func(name string) *Group {
		if name == "" {
			name = unnamed
		}
		i, ok := at[name]
		if !ok {
			i = len(out)
			at[name] = i
			out = append(out, Group{Name: name, Low: math.Inf(1), High: math.Inf(-1)})
		}
		return &out[i]
	}
	height := func(g *Group, p Point) {
		if p.HasZ {
			g.Heights++
			g.Low, g.High = math.Min(g.Low, p.Z), math.Max(g.High, p.Z)
		}
	}
	for _, l := range in.Lines {
		g := of(l.Name)
		g.Lines++
		if l.Closed {
			g.Closed++
		}
		for _, p := range l.Points {
			height(g, p)
		}
	}
	for _, p := range in.Points {
		g := of(p.Code)
		g.Points++
		height(g, p)
	}
	for i := range out {
		if out[i].Heights == 0 {
			out[i].Low, out[i].High = 0, 0
		}
	}
	return out
}

// Size is how far the file reaches east and north, metres.
func (in Import) Size() (east, north float64) {
	box := in.box()
	if box.IsEmpty() {
		return 0, 0
	}
	return box.Width(), box.Height()
}

func (in Import) box() geometry.Box {
	box := geometry.EmptyBox()
	in.each(func(p *Point) { box = box.Grow(p.At) })
	return box
}

// Taken is what a job takes from a survey file.
type Taken struct {
	Corners   []site.Corner // of the slab; none where the file holds no outline
	Obstacles []site.Obstacle
	Survey    site.Survey
}

// Take picks the outline, the ground and its breaklines as a person said, and counts places from the origin. sized says that
// the job has the slab's size or corners already: then only a named outline is taken. Errors are [Faults] about what was said.
func (in Import) Take(f site.SurveyFile, sized bool) (Taken, error) {
	ring, err := in.outline(f.Outline, sized)
	if err != nil {
		return Taken{}, err
	}
	if err := in.setOrigin(f.Origin, ring); err != nil {
		return Taken{}, err
	}
	var t Taken
	reason := "survey file " + f.File
	for _, p := range ring {
		at := p.At.Sub(in.Origin)
		t.Corners = append(t.Corners, site.Corner{X: length(at.X, reason), Y: length(at.Y, reason)})
	}
	if t.Obstacles, err = in.things(f, reason); err != nil {
		return Taken{}, err
	}
	if t.Survey, err = in.ground(f, ring); err != nil {
		return Taken{}, err
	}
	t.Survey.Says = in.says(f, t)
	return t, nil
}

func length(v float64, reason string) known.Length {
	return known.Length{Value: quantity.Length(v), Origin: known.Measured, Reason: reason}
}

func (in Import) names() string {
	var out []string
	for _, g := range in.Groups() {
		out = append(out, g.Name)
		if len(out) == mostNames {
			return strings.Join(out, ", ") + " …"
		}
	}
	return strings.Join(out, ", ")
}

// mostNames is as many as anybody reads.
const mostNames = 20

// chain is all points of one code, in the order they were shot: how a field book draws a line.
func (in Import) chain(name string) []Point {
	var out []Point
	for _, p := range in.Points {
		if strings.EqualFold(p.Code, name) {
			out = append(out, p)
		}
	}
	return out
}

// outline is the closed line of that name, or the points of that code one after another. Without a name it is the only closed
// line there is, if the job has no size of its own.
func (in Import) outline(name string, sized bool) ([]Point, error) {
	if name == "" && sized {
		return nil, nil
	}
	var found [][]Point
	for _, l := range in.Lines {
		if l.Closed && len(l.Points) >= 3 && (name == "" || strings.EqualFold(l.Name, name)) {
			found = append(found, l.Points)
		}
	}
	if name != "" && len(found) == 0 {
		if ring := in.chain(name); len(ring) > 0 {
			if n := len(ring); n > 3 && ring[0].At == ring[n-1].At {
				ring = ring[:n-1]
			}
			if len(ring) < 3 {
				return nil, fault(0, "outline", name, fmt.Sprintf("is the code of %d points; a slab has at least three corners.", len(ring)), "Shoot the corners one after another with that code.")
			}
			return ring, nil
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 0 && name == "":
		return nil, fault(0, "outline", "", "is not told, the file has no closed line, and the job no size.", "Type outline: with the code of the slab's corners ("+in.names()+"), or give length and width.")
	case len(found) == 0:
		return nil, fault(0, "outline", name, "is no closed line and no code of the file.", "It holds: "+in.names()+".")
	}
	return nil, fault(0, "outline", name, fmt.Sprintf("could be any of %d closed lines.", len(found)), "Type outline: with its layer or feature ("+in.names()+"); there must be one closed line on it.")
}

// farOff is how far from zero coordinates may lie before they are counted from the slab instead: country planes.
const farOff = 10000.0

// setOrigin finds what is 0, 0 of the job: a named point, two numbers in the file's unit, or, where the file counts from far off,
// the outline's first corner or the lower left of everything.
func (in *Import) setOrigin(said string, ring []Point) error {
	if said == "" {
		box := in.box()
		if math.Max(math.Abs(box.Min.X), math.Abs(box.Min.Y)) <= farOff && math.Max(math.Abs(box.Max.X), math.Abs(box.Max.Y)) <= farOff {
			return nil
		}
		in.Origin = box.Min
		if len(ring) > 0 {
			in.Origin = ring[0].At
		}
		return nil
	}
	for _, p := range in.Points {
		if strings.EqualFold(p.Name, said) {
			in.Origin = p.At
			return nil
		}
	}
	east, north, ok := twoNumbers(said)
	if !ok || in.Unit == site.Degrees {
		return fault(0, "origin", said, "is no point of the file and no two numbers.", "Type a point's name, or its east and north: 1000 2000.")
	}
	in.Origin = geometry.Point{X: east, Y: north}.Scale(metres[in.Unit])
	return nil
}

func twoNumbers(text string) (a, b float64, ok bool) {
	f := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' })
	if len(f) != 2 {
		return 0, 0, false
	}
	a, one := strconv.ParseFloat(f[0], 64)
	b, two := strconv.ParseFloat(f[1], 64)
	return a, b, one == nil && two == nil && math.Abs(a) < farthest && math.Abs(b) < farthest
}

// things are the obstacles of the file: each line under a name is one, and each point that is no line's.
func (in Import) things(f site.SurveyFile, reason string) ([]site.Obstacle, error) {
	var out []site.Obstacle
	place := func(p Point) site.Corner {
		at := p.At.Sub(in.Origin)
		return site.Corner{X: length(at.X, reason), Y: length(at.Y, reason)}
	}
	for _, t := range f.Things {
		before := len(out)
		one := site.Obstacle{Kind: t.Kind, Name: t.Name, Across: t.Across, Height: t.Height}
		if one.Name == "" {
			one.Name = t.In
		}
		for _, l := range in.Lines {
			if !strings.EqualFold(l.Name, t.In) {
				continue
			}
			o := one
			for _, p := range l.Points {
				o.Line = append(o.Line, place(p))
			}
			if l.Closed && t.Kind != site.Building && t.Kind != site.Old {
				o.Line = append(o.Line, o.Line[0])
			}
			out = append(out, o)
		}
		out = append(out, pointThings(one, in.chain(t.In), place)...)
		if len(out) == before {
			return nil, fault(0, "things", t.In, "is no layer, feature or code of the file.", "It holds: "+in.names()+".")
		}
	}
	return out, nil
}

// pointThings are the points of one code: each a round thing where a size across is told, else the corners of one line.
func pointThings(one site.Obstacle, points []Point, place func(Point) site.Corner) []site.Obstacle {
	var out []site.Obstacle
	if len(points) > 1 && !one.Across.Given() {
		for _, p := range points {
			one.Line = append(one.Line, place(p))
		}
		return []site.Obstacle{one}
	}
	for i, p := range points {
		o, at := one, place(p)
		o.X, o.Y = at.X, at.Y
		if len(points) > 1 {
			o.Name = fmt.Sprintf("%s %d", one.Name, i+1)
		}
		out = append(out, o)
	}
	return out
}

// gatherer puts places together, each once.
type gatherer struct {
	origin geometry.Point
	survey site.Survey
	at     map[geometry.Point]int
}

func (g *gatherer) add(p Point) int {
	at := p.At.Sub(g.origin)
	if i, ok := g.at[at]; ok && math.Abs(g.survey.Shots[i].Z-p.Z) <= terrain.MergeHeight {
		return i
	}
	g.at[at] = len(g.survey.Shots)
	g.survey.Shots = append(g.survey.Shots, terrain.Shot{Name: p.Name, X: at.X, Y: at.Y, Z: p.Z})
	return len(g.survey.Shots) - 1
}

// ground gathers the breaklines first, then the shots, thinned where there are more than can be told apart.
func (in Import) ground(f site.SurveyFile, ring []Point) (site.Survey, error) {
	g := gatherer{origin: in.Origin, at: map[geometry.Point]int{}}
	for _, name := range f.Breaklines {
		chains := in.chains(name)
		if len(chains) == 0 {
			return site.Survey{}, fault(0, "breaklines", name, "is no line with heights and no code of two or more shots.", "The file holds: "+in.names()+".")
		}
		for _, c := range chains {
			var line []int
			for _, p := range c {
				line = append(line, g.add(p))
			}
			g.survey.Lines = append(g.survey.Lines, line)
		}
	}
	shots, err := in.shots(f, ring)
	if err != nil {
		return site.Survey{}, err
	}
	for _, p := range thinned(shots) {
		g.add(p)
	}
	return g.survey, nil
}

// chains are the breaklines of that name: lines whose corners have heights, or the shots of that code in their order.
func (in Import) chains(name string) [][]Point {
	var out [][]Point
	for _, l := range in.Lines {
		if strings.EqualFold(l.Name, name) && !slices.ContainsFunc(l.Points, func(p Point) bool { return !p.HasZ }) {
			c := l.Points
			if l.Closed {
				c = append(append([]Point{}, c...), c[0])
			}
			out = append(out, c)
		}
	}
	if c := in.chain(name); len(c) > 1 && !slices.ContainsFunc(c, func(p Point) bool { return !p.HasZ }) {
		out = append(out, c)
	}
	return out
}

// shots are the places that count as ground: those of the names said, else all that have a height but those of the slab's own
// outline and of things.
func (in Import) shots(f site.SurveyFile, ring []Point) ([]Point, error) {
	own := map[geometry.Point]bool{}
	if len(f.Ground) == 0 {
		for _, p := range ring {
			own[p.At] = true
		}
	}
	thing := map[string]bool{}
	for _, t := range f.Things {
		thing[strings.ToLower(t.In)] = len(f.Ground) == 0
	}
	wanted, met := map[string]bool{}, map[string]bool{}
	for _, n := range f.Ground {
		wanted[strings.ToLower(n)] = true
	}
	var out []Point
	take := func(name string, p Point) {
		name = strings.ToLower(name)
		if len(wanted) > 0 && !wanted[name] || thing[name] {
			return
		}
		met[name] = true
		if p.HasZ && !own[p.At] {
			out = append(out, p)
		}
	}
	for _, p := range in.Points {
		take(p.group(), p)
	}
	for _, l := range in.Lines {
		for _, p := range l.Points {
			take(l.Name, p)
		}
	}
	for _, n := range f.Ground {
		if !met[strings.ToLower(n)] {
			return nil, fault(0, "ground", n, "is no layer, feature or code of the file.", "It holds: "+in.names()+".")
		}
	}
	return out, nil
}

// mostShots is how many shots a job keeps: enough for every bump a slab's base can follow.
const mostShots = 20000

// thinned keeps, of more shots than mostShots, one in each square of a net: that nearest to its middle.
func thinned(shots []Point) []Point {
	if len(shots) <= mostShots {
		return shots
	}
	box := geometry.EmptyBox()
	for _, p := range shots {
		box = box.Grow(p.At)
	}
	step := math.Max(math.Sqrt(box.Width()*box.Height()/mostShots), math.Max(box.Width(), box.Height())/mostShots)
	type square struct{ i, j int }
	kept := map[square]int{}
	off := func(p Point, s square) float64 {
		return p.At.Sub(box.Min).Distance(geometry.Point{X: (float64(s.i) + 0.5) * step, Y: (float64(s.j) + 0.5) * step})
	}
	for k, p := range shots {
		d := p.At.Sub(box.Min)
		s := square{int(d.X / step), int(d.Y / step)}
		if best, ok := kept[s]; !ok || off(p, s) < off(shots[best], s) {
			kept[s] = k
		}
	}
	var out []Point
	for k, p := range shots {
		d := p.At.Sub(box.Min)
		if kept[square{int(d.X / step), int(d.Y / step)}] == k {
			out = append(out, p)
		}
	}
	return out
}

// says tells what was taken, how it was read and what was left.
func (in Import) says(f site.SurveyFile, t Taken) string {
	parts := []string{fmt.Sprintf("read in %s", in.Unit)}
	if n := len(t.Corners); n > 0 {
		parts = append(parts, fmt.Sprintf("outline of %d corners", n))
	}
	if n := len(t.Obstacles); n > 0 {
		parts = append(parts, fmt.Sprintf("%d things in the way", n))
	}
	ground := fmt.Sprintf("%d ground shots", len(t.Survey.Shots))
	if n := len(t.Survey.Lines); n > 0 {
		ground += fmt.Sprintf(" with %d breaklines", n)
	}
	parts = append(parts, ground)
	if all, err := in.shots(f, nil); err == nil && len(all) > mostShots {
		parts = append(parts, fmt.Sprintf("thinned from %d", len(all)))
	}
	if in.Origin != (geometry.Point{}) {
		parts = append(parts, fmt.Sprintf("0, 0 of the job is E %.3f, N %.3f there", in.Origin.X/in.scale(), in.Origin.Y/in.scale()))
	}
	for _, s := range in.Skipped {
		parts = append(parts, fmt.Sprintf("left out: %d × %s", s.Count, s.What))
	}
	return strings.Join(parts, "; ")
}

// scale is the metres in one unit of the file; degrees were turned into metres.
func (in Import) scale() float64 {
	if in.Unit == site.Degrees {
		return 1
	}
	return metres[in.Unit]
}
