package grade

import (
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// CoverKind is what rain falls on.
type CoverKind string

// The covers, with the share of the rain that runs off them.
const (
	Roof   CoverKind = "roof"
	Paving CoverKind = "paving"
	Gravel CoverKind = "gravel"
	Lawn   CoverKind = "lawn"
	Bank   CoverKind = "steep lawn"
)

// Choices are the words a file may use.
func (CoverKind) Choices() []string {
	return []string{string(Roof), string(Paving), string(Gravel), string(Lawn), string(Bank)}
}

// shares is the share of rain that runs off. Roof, paving and gravel: common practice, gravel the middle of 0.5 to 0.7; lawn on
// heavy soil, flat and steep: the high end of a university drainage table.
var shares = map[CoverKind]float64{Roof: 0.95, Paving: 0.95, Gravel: 0.60, Lawn: 0.17, Bank: 0.35}

// Arrival is water that comes onto the slab from elsewhere.
type Arrival struct {
	Name  string      `yaml:"name" says:"what it is: downspout, bank behind the shop"`
	Kind  CoverKind   `yaml:"kind" says:"what the rain falls on: roof, paving, gravel, lawn, steep lawn"`
	Area  known.Area  `yaml:"area" says:"how much of it drains here" unit:"ft2|m2" usual:"10..20000|1..2000"`
	Share known.Ratio `yaml:"share" says:"share of the rain that runs off, if not by kind" usual:"0.05..1|0.05..1"`
	At    Spotted     `yaml:"at" says:"where it comes onto the slab"`
}

// DrainKind is how a drain takes water in.
type DrainKind string

// The drains.
const (
	Trench DrainKind = "trench" // a channel with a grate
	Inlet  DrainKind = "inlet"  // a grate over a pipe
)

// Choices are the words a file may use.
func (DrainKind) Choices() []string { return []string{string(Trench), string(Inlet)} }

// Drain is a drain to be sized: along a side, or at a place.
type Drain struct {
	Name  string       `yaml:"name" says:"what it is called"`
	Kind  DrainKind    `yaml:"kind" says:"trench along a side, or inlet at a place"`
	Side  string       `yaml:"side" says:"side it runs along, like CD"`
	At    Spotted      `yaml:"at" says:"or where it is"`
	Width known.Length `yaml:"width" says:"width of the channel inside" unit:"in|mm" usual:"2..24|50..600" show:"drop"`
	Fall  known.Slope  `yaml:"fall" says:"fall of the channel or pipe" unit:"%" usual:"0.3..5|0.3..5"`
}

// DrainSize is a drain with what it carries and how big it must be.
type DrainSize struct {
	Name     string          `json:"name"`
	Kind     DrainKind       `json:"kind"`
	Area     quantity.Area   `json:"area"` // of the slab that drains to it
	Flow     quantity.Flow   `json:"flow"`
	Depth    quantity.Length `json:"depth"` // of water in a trench
	Pipe     quantity.Length `json:"pipe"`  // inside diameter, three quarters full at most
	Velocity quantity.Speed  `json:"velocity"`
	Line     geometry.Segment
}

// Rules of drains. Source: common practice; pipe full to 0.75 and roughness as in the handbooks of Manning's formula.
const (
	pipeRoughness   = 0.011
	trenchRoughness = 0.012
	fullest         = 0.75
	leastVelocity   = 0.61 // m/s, 2 ft/s: slower, silt settles
	pipeFall        = 0.01
	trenchFall      = 0.005
	trenchWidth     = 4 * 0.0254
	catches         = 0.35 // m: water that comes this near a drain is in it
)

// pipes are the inside diameters sold, in.
var pipes = []float64{3, 4, 6, 8, 10, 12, 15, 18, 24}

func (w *work) drained(side int) bool {
	for _, d := range w.in.Drains {
		if e, ok := w.side(d.Side); ok && e.Index == side && d.Side != "" {
			return true
		}
	}
	return false
}

func (in Input) waterFaults(l *bounds.List) {
	w := newWork(in)
	for i, a := range in.Arriving {
		field := fmt.Sprintf("grade.arriving[%d]", i+1)
		if _, ok := shares[a.Kind]; !ok {
			l.Add(field+".kind", string(a.Kind), "is nothing rain falls on here.", "Type one of "+wordList(Roof.Choices())+".")
		}
		bounds.Needed(l, field+".area", a.Area, 0.01, 1e6, quantity.AsArea)
		bounds.Between(l, field+".share", a.Share, 0.01, 1, quantity.AsRatio)
		w.spottedFaults(l, field+".at", a.At)
	}
	for i, d := range in.Drains {
		field := fmt.Sprintf("grade.drains[%d]", i+1)
		_, isSide := w.side(d.Side)
		switch {
		case d.Kind != Trench && d.Kind != Inlet:
			l.Add(field+".kind", string(d.Kind), "is no drain known here.", "Type trench or inlet.")
		case d.Side != "" && !isSide:
			l.Add(field+".side", d.Side, "is no side of this slab.", "Type two neighbouring corners, like "+w.sideName(0)+".")
		case d.Side == "":
			w.spottedFaults(l, field+".at", d.At)
		}
		bounds.Between(l, field+".width", d.Width, quantity.Inches(1), quantity.Feet(6), quantity.AsDrop)
		bounds.Between(l, field+".fall", d.Fall, 0.0005, 0.5, quantity.AsSlope)
	}
}

// drop is water on its way over the finished slab: how much, and where it starts.
type drop struct {
	name string
	at   geometry.Point
	area float64 // of the slab it stands for
	flow float64
}

// drains follows the slab's own rain and what arrives to where it leaves, and sizes the drains.
func (w *work) drains() error {
	if len(w.in.Drains) == 0 && len(w.in.Arriving) == 0 {
		return nil
	}
	rain := float64(w.in.Rain.Value)
	var drops []drop
	for _, c := range w.Cells {
		if w.slab.Contains(c.At) {
			drops = append(drops, drop{at: c.At, area: float64(c.Area), flow: shares[Paving] * rain * float64(c.Area)})
		}
	}
	scale := w.slab.Area()
	for _, d := range drops {
		scale -= d.area
	}
	for i := range drops { // the cells reach past the edge: their shares are made the slab's
		k := 1 + scale/(w.slab.Area()-scale)
		drops[i].area, drops[i].flow = drops[i].area*k, drops[i].flow*k
	}
	for i, a := range w.in.Arriving {
		name := a.Name
		if name == "" {
			name = fmt.Sprintf("%s %d", a.Kind, i+1)
		}
		q, err := runoff(a.share(), rain, float64(a.Area.Value))
		if err != nil {
			return fmt.Errorf("grade: %s: %w", name, err)
		}
		drops = append(drops, drop{name: name, at: w.spot(a.At), flow: q})
	}
	sizes := make([]DrainSize, len(w.in.Drains))
	for _, d := range drops {
		path, err := w.follow(d.at)
		if err != nil {
			return err
		}
		end := path[len(path)-1]
		into := w.caughtBy(end)
		if into >= 0 {
			sizes[into].Area += quantity.Area(d.area)
			sizes[into].Flow += quantity.Flow(d.flow)
		}
		if d.name != "" {
			w.Paths = append(w.Paths, Path{Name: d.name, Flow: quantity.Flow(d.flow), Points: path, Leaves: w.leavesBy(end, into)})
		}
	}
	for i := range sizes {
		if err := w.size(i, &sizes[i]); err != nil {
			return err
		}
	}
	w.Drains = sizes
	return nil
}

func (a Arrival) share() float64 {
	if a.Share.Given() {
		return float64(a.Share.Value)
	}
	return shares[a.Kind]
}

// Path is the way arriving water takes over the slab.
type Path struct {
	Name   string           `json:"name"`
	Flow   quantity.Flow    `json:"flow"`
	Points []geometry.Point `json:"points"`
	Leaves string           `json:"leaves"` // side or drain it leaves by; the wall it runs to
}

// follow is the way down from a place; one off the slab starts at its nearest edge.
func (w *work) follow(p geometry.Point) ([]geometry.Point, error) {
	outer := geometry.Polygon{Outer: w.slab.Outer}
	if !outer.Contains(p) {
		p, _, _ = outer.NearestEdge(p)
		p = p.Lerp(inside(outer), 1e-6)
	}
	path, err := w.net.surface.Flow(p)
	if err != nil { // rounding put it a hair outside: it leaves where it is
		return []geometry.Point{p}, nil
	}
	var out []geometry.Point
	for _, q := range path.Points {
		out = append(out, q.Point())
		if w.caughtBy(q.Point()) >= 0 {
			break
		}
	}
	return out, nil
}

// caughtBy is the drain that takes water at a place; −1 for none.
func (w *work) caughtBy(p geometry.Point) int {
	for i, d := range w.in.Drains {
		if w.drainLine(d).Distance(p) < catches {
			return i
		}
	}
	return -1
}

func (w *work) drainLine(d Drain) geometry.Segment {
	if e, ok := w.side(d.Side); ok && d.Side != "" {
		return e.Segment
	}
	p := w.spot(d.At)
	return geometry.Segment{A: p, B: p}
}

func (w *work) leavesBy(end geometry.Point, drain int) string {
	if drain >= 0 {
		return "drain " + w.drainName(drain)
	}
	_, e, _ := geometry.Polygon{Outer: w.slab.Outer}.NearestEdge(end)
	if e.Distance(end) > catches {
		return "a place without a way out"
	}
	if wall := w.in.wall(e.Index); wall != "" {
		return wall
	}
	return "side " + w.sideName(e.Index)
}

func (w *work) drainName(i int) string {
	if d := w.in.Drains[i]; d.Name != "" {
		return d.Name
	}
	return fmt.Sprint(i + 1)
}

// size finds the depth of water in a trench and the pipe that carries the flow on.
func (w *work) size(i int, s *DrainSize) error {
	d := w.in.Drains[i]
	s.Name, s.Kind, s.Line = w.drainName(i), d.Kind, w.drainLine(d)
	if s.Flow <= 0 {
		return nil
	}
	fall, width := pipeFall, trenchWidth
	if d.Kind == Trench {
		fall = trenchFall
	}
	if d.Fall.Given() {
		fall = float64(d.Fall.Value)
	}
	if d.Width.Given() {
		width = d.Width.Value.Metres()
	}
	if d.Kind == Trench {
		depth, err := normalDepth(width, float64(s.Flow), trenchRoughness, fall)
		if err != nil {
			return check.Faults{{Field: fmt.Sprintf("grade.drains[%d].width", i+1), Why: err.Error() + ".", Type: "Give a wider channel, more fall, or two drains."}}
		}
		s.Depth = quantity.Length(depth)
	}
	pipe, velocity, err := pipeFor(float64(s.Flow), math.Max(fall, pipeFall))
	if err == nil {
		s.Pipe, s.Velocity = pipe, velocity
		return nil
	}
	return check.Faults{{Field: fmt.Sprintf("grade.drains[%d]", i+1), Why: "must carry more than the largest pipe does at that fall.", Type: "Give it more fall or part the water between several drains."}}
}

// pipeFor is the least pipe sold that carries a flow three quarters full, and how fast it runs there when full.
//
//	Q ≤ r(0.75) · (1/n) · A · R^(2/3) · S^(1/2)
//
// Q m³/s, S fall over length, n 0.011, r the part-full ratio. Source: Manning, recalled. Error where the largest is too small.
func pipeFor(flow, fall float64) (quantity.Length, quantity.Speed, error) {
	ratio, err := partFull(fullest)
	if err := errors.Join(err, positive("flow", flow)); err != nil {
		return 0, 0, err
	}
	for _, inches := range pipes {
		d := quantity.Inches(inches)
		q, err := fullPipe(d.Metres(), pipeRoughness, fall)
		if err != nil {
			return 0, 0, err
		}
		if q*ratio >= flow {
			return d, quantity.Speed(q / (math.Pi * d.Metres() * d.Metres() / 4)), nil
		}
	}
	return 0, 0, errors.New("the largest pipe does not carry that at that fall; give it more fall or part the water")
}

func (w *work) waterChecks() []check.Check {
	var out []check.Check
	flow := func(q quantity.Flow) string { return w.text(quantity.Show(q, quantity.AsFlow)) }
	for i, p := range w.Paths {
		c := check.Check{ID: "grade.arriving", Level: check.Good, Where: p.Name, Value: quantity.Show(p.Flow, quantity.AsFlow), Source: sources.RationalMethod,
			Says: fmt.Sprintf("%s brings %s in the design storm and leaves by %s.", capital(p.Name), flow(p.Flow), p.Leaves)}
		switch {
		case w.isWall(p.Leaves) || p.Leaves == "a place without a way out":
			c.Level, c.Says = check.Stop, fmt.Sprintf("%s brings %s in the design storm and runs to %s.", capital(p.Name), flow(p.Flow), p.Leaves)
			c.Then = []string{"Pipe it past the slab, or give it a drain before it gets there."}
		case w.in.Accessible.Value && w.in.Arriving[i].Kind == Roof:
			c.Level, c.Then = check.Care, []string{"Roof water across an accessible way is a sheet of ice in winter: pipe the downspout under the slab."}
		}
		out = append(out, c)
	}
	for _, d := range w.Drains {
		if d.Flow <= 0 {
			out = append(out, check.Check{ID: "grade.drain-dry", Level: check.Care, Where: d.Name, Source: sources.OwnRule, Says: fmt.Sprintf("No water runs to drain %s.", d.Name),
				Then: []string{"Move it to the low side, or turn the slab's fall to it."}})
			continue
		}
		says := fmt.Sprintf("Drain %s takes %s: a %s pipe carries it three quarters full.", d.Name, flow(d.Flow), w.text(quantity.Show(d.Pipe, quantity.AsDrop)))
		if d.Kind == Trench {
			says = fmt.Sprintf("Drain %s takes %s: the water stands %s deep in the channel; a %s pipe carries it on.", d.Name, flow(d.Flow), w.text(quantity.Show(d.Depth, quantity.AsDrop)), w.text(quantity.Show(d.Pipe, quantity.AsDrop)))
		}
		c := check.AtLeast("grade.drain-silt", quantity.Plain(float64(d.Velocity), ""), quantity.Plain(leastVelocity, ""), check.Care, says,
			says+" It runs slower than "+w.in.either("2 ft/s", "0.6 m/s")+": silt settles.", sources.Manning, "Give the pipe more fall; take grates at twice the open area, for half of it clogs.")
		c.Where = d.Name
		out = append(out, c)
	}
	return out
}

func (w *work) isWall(name string) bool {
	for _, e := range w.walls() {
		if w.in.wall(e.Index) == name {
			return true
		}
	}
	return false
}

func (w *work) explainDrains() {
	if len(w.Drains) == 0 && len(w.Paths) == 0 {
		return
	}
	s := &w.Working
	rain := working.Given(s, "rain", "i", "rain of the design storm", w.in.Rain, quantity.AsRain)
	var arriving []string
	for i, p := range w.Paths {
		name := fmt.Sprintf("arriving_%d", i+1)
		area := working.Given(s, name+"_area", "A", "area that drains to "+p.Name, w.in.Arriving[i].Area, quantity.AsArea)
		s.Show(working.Step{Name: name, Symbol: "Q", Says: fmt.Sprintf("%s, leaves by %s", p.Name, p.Leaves), Formula: fmt.Sprintf("C · i · A, C = %.2f", w.in.Arriving[i].share()), Value: quantity.Show(p.Flow, quantity.AsFlow), From: []string{rain, area}, Source: sources.RationalMethod})
		arriving = append(arriving, name)
	}
	for i, d := range w.Drains {
		name := fmt.Sprintf("drain_%d", i+1)
		s.Show(working.Step{Name: name + "_area", Says: "slab that drains to " + d.Name, Formula: "cells whose water ends there", Value: quantity.Show(d.Area, quantity.AsArea), From: []string{"plane"}, Source: sources.TriangleSurface})
		s.Answer(working.Step{Name: name + "_flow", Symbol: "Q", Says: "flow of drain " + d.Name, Formula: "0.95 · i · A + what arrives", Value: quantity.Show(d.Flow, quantity.AsFlow), From: append([]string{rain, name + "_area"}, arriving...), Source: sources.RationalMethod})
		if d.Kind == Trench {
			s.Answer(working.Step{Name: name + "_depth", Symbol: "y", Says: "depth of water in its channel", Formula: "Q = (1/n) · A · R^(2/3) · S^(1/2), n = 0.012", Value: quantity.Show(d.Depth, quantity.AsDrop), From: []string{name + "_flow"}, Source: sources.Manning})
		}
		s.Answer(working.Step{Name: name + "_pipe", Symbol: "D", Says: "pipe, inside", Formula: "least sold that carries Q at 0.75 D, n = 0.011", Value: quantity.Show(d.Pipe, quantity.AsDrop), From: []string{name + "_flow"}, Source: sources.Manning})
	}
}
