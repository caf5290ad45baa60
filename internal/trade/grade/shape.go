package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// ThickSpot is the slab's thickness at a place, where it varies.
type ThickSpot struct {
	At        Spotted      `yaml:"at" says:"where"`
	Thickness known.Length `yaml:"thickness" says:"how thick the slab is there" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
}

// ThickEdge is an edge that is poured deeper than the slab.
type ThickEdge struct {
	Side  string       `yaml:"side" says:"side it runs along, like BC; every free side if left out"`
	Depth known.Length `yaml:"depth" says:"from the top of the slab to the bottom of the edge" unit:"in|mm" usual:"6..48|150..1200" show:"thickness"`
	Width known.Length `yaml:"width" says:"width of its flat bottom" unit:"in|mm" usual:"4..36|100..900" show:"drop"`
	Taper known.Length `yaml:"taper" says:"width over which it runs up to the slab's bottom" unit:"in|mm" usual:"0..36|0..900" show:"drop"`
}

// Curb is a curb poured on the slab's edge.
type Curb struct {
	Side   string       `yaml:"side" says:"side it stands on, like BC; every free side if left out"`
	Height known.Length `yaml:"height" says:"above the slab" unit:"in|mm" usual:"2..24|50..600" show:"drop"`
	Width  known.Length `yaml:"width" says:"its mean width" unit:"in|mm" usual:"3..24|75..600" show:"drop"`
}

// Steps is a flight of solid steps on the slab.
type Steps struct {
	Name  string       `yaml:"name" says:"where they lead: front door"`
	Count int          `yaml:"count" says:"how many risers"`
	Rise  known.Length `yaml:"rise" says:"height of one" unit:"in|mm" usual:"4..8|100..200" show:"drop"`
	Run   known.Length `yaml:"run" says:"depth of one tread" unit:"in|mm" usual:"10..24|250..600" show:"drop"`
	Wide  known.Length `yaml:"width" says:"width of the flight" unit:"ft|m" usual:"2..20|0.6..6" show:"side"`
}

// bulk is the concrete beyond the flat slab of one thickness.
type bulk struct {
	slab, edges, curbs, steps quantity.Volume
}

func (b bulk) total() quantity.Volume { return b.slab + b.edges + b.curbs + b.steps }

func (in Input) bulkFaults(l *bounds.List) {
	w := newWork(in)
	side := func(field, name string) {
		if _, ok := w.side(name); name != "" && !ok {
			l.Add(field+".side", name, "is no side of this slab.", "Type two neighbouring corners, like "+w.sideName(0)+".")
		}
	}
	inches, feet := quantity.Inches, quantity.Feet
	for i, s := range in.ThicknessAt {
		field := fmt.Sprintf("grade.thickness_at[%d]", i+1)
		w.spottedFaults(l, field+".at", s.At)
		bounds.Needed(l, field+".thickness", s.Thickness, inches(1), inches(60), quantity.AsThickness)
	}
	for i, e := range in.ThickEdges {
		field := fmt.Sprintf("grade.thick_edges[%d]", i+1)
		side(field, e.Side)
		bounds.Needed(l, field+".depth", e.Depth, in.Thickness.Value, feet(10), quantity.AsThickness)
		bounds.Needed(l, field+".width", e.Width, inches(1), feet(10), quantity.AsDrop)
		bounds.Between(l, field+".taper", e.Taper, 0, feet(10), quantity.AsDrop)
	}
	for i, c := range in.Curbs {
		field := fmt.Sprintf("grade.curbs[%d]", i+1)
		side(field, c.Side)
		bounds.Needed(l, field+".height", c.Height, inches(0.5), feet(6), quantity.AsDrop)
		bounds.Needed(l, field+".width", c.Width, inches(1), feet(6), quantity.AsDrop)
	}
	for i, s := range in.Steps {
		field := fmt.Sprintf("grade.steps[%d]", i+1)
		if s.Count < 1 || s.Count > mostRisers {
			l.Add(field+".count", fmt.Sprint(s.Count), "is no flight of steps.", fmt.Sprintf("Type how many risers there are, 1 to %d.", mostRisers))
		}
		bounds.Needed(l, field+".rise", s.Rise, inches(1), feet(2), quantity.AsDrop)
		bounds.Needed(l, field+".run", s.Run, inches(2), feet(10), quantity.AsDrop)
		bounds.Needed(l, field+".width", s.Wide, inches(6), feet(200), quantity.AsSide)
	}
}

// mostRisers is more than is poured on a slab.
const mostRisers = 40

// layThickness makes the thickness a surface of its own where it varies: triangles between the places, run out like the ground.
func (w *work) layThickness() error {
	if len(w.in.ThicknessAt) == 0 {
		return nil
	}
	var shots []terrain.Shot
	for i, s := range w.in.ThicknessAt {
		p := w.spot(s.At)
		for _, other := range shots {
			if other.Point().Distance(p) < terrain.SnapLength {
				return check.Faults{{Field: fmt.Sprintf("grade.thickness_at[%d]", i+1), Why: "gives a second thickness at one place.", Type: "Keep one of the two."}}
			}
		}
		shots = append(shots, terrain.Shot{X: p.X, Y: p.Y, Z: s.Thickness.Value.Metres()})
	}
	if len(shots) < 3 {
		plane, _ := leastSquares(shots)
		w.thickness = plane
	} else {
		surface, _, err := blanket(shots, nil, w.slab, 1, "grade.thickness_at")
		if err != nil {
			return err
		}
		w.thickness = surface
	}
	for i, p := range w.marks() {
		if t := w.thick(p); t < leastThickness {
			return check.Faults{{Field: "grade.thickness_at", Why: fmt.Sprintf("leaves the slab only %s thick at %s.", w.text(quantity.Plain(t, quantity.AsThickness)), w.markName(i)), Type: "Give its thickness there too."}}
		}
	}
	return nil
}

// leastThickness is thinner than any slab, m.
const leastThickness = 0.0254

// thick is the slab's thickness at a place.
func (w *work) thick(p geometry.Point) float64 {
	if w.thickness == nil {
		return w.in.Thickness.Value.Metres()
	}
	t, _ := w.thickness.At(p)
	return t
}

// deep is slab and base together at a place.
func (w *work) deep(p geometry.Point) float64 { return w.thick(p) + w.in.Base.Value.Metres() }

// flat is the concrete of the slab proper: area times thickness, or the integral of a thickness that varies.
func (w *work) flat() (quantity.Volume, error) {
	if w.thickness == nil {
		return quantity.Volume(w.slab.Area() * w.in.Thickness.Value.Metres()), nil
	}
	v, err := terrain.VolumesBetween(w.thickness, terrain.Plane{}, w.slab)
	if err != nil {
		return 0, fmt.Errorf("grade: slab of varying thickness: %w", err)
	}
	return quantity.Volume(v.Cut), nil
}

// sidesOf are the sides a piece runs along: the named one, or all free ones.
func (w *work) sidesOf(name string) []geometry.Edge {
	if e, ok := w.side(name); ok && name != "" {
		return []geometry.Edge{e}
	}
	var out []geometry.Edge
	for _, e := range w.slab.Edges() {
		if e.Ring == 0 && w.in.wall(e.Index) == "" {
			out = append(out, e)
		}
	}
	return out
}

// edgeVolume is the concrete of a thick edge below the slab.
//
//	V = (D − t) · (A_w + (A_{w+τ} − A_w)/2)
//
// A_x the plan area of the slab within x of the sides, w flat width, τ taper, D depth, t slab thickness: a prism whose slope lies
// half full, its corners counted once. Source: handbook of volumes; exact along a straight side and at square corners without
// taper, within the taper's own corner pieces elsewhere.
func (w *work) edgeVolume(e ThickEdge) (quantity.Volume, error) {
	flat, err := w.within(e.Side, e.Width.Value.Metres())
	if err != nil {
		return 0, err
	}
	wide, err := w.within(e.Side, (e.Width.Value + e.Taper.Value).Metres())
	if err != nil {
		return 0, err
	}
	below := math.Max(0, (e.Depth.Value - w.in.Thickness.Value).Metres())
	return quantity.Volume(below * (flat + wide) / 2), nil
}

// within is the area of the slab within a distance of the sides of that name.
func (w *work) within(side string, distance float64) (float64, error) {
	if distance <= 0 {
		return 0, nil
	}
	var strips []geometry.Polygon
	for _, e := range w.sidesOf(side) {
		in := e.Outward.Scale(-distance)
		strips = append(strips, geometry.Polygon{Outer: []geometry.Point{e.A, e.B, e.B.Add(in), e.A.Add(in)}}.Oriented())
	}
	joined, err := geometry.Union(strips...)
	if err != nil {
		return 0, fmt.Errorf("grade: thick edge: %w", err)
	}
	area := 0.0
	for _, p := range joined {
		inside, err := p.Intersection(w.slab.Oriented())
		if err != nil {
			return 0, fmt.Errorf("grade: thick edge: %w", err)
		}
		for _, q := range inside {
			area += q.Area()
		}
	}
	return area, nil
}

// stepsVolume is a flight of solid steps: Σ k·rise·run·width = rise·run·width·n(n + 1)/2.
func stepsVolume(n int, rise, run, wide quantity.Length) quantity.Volume {
	return quantity.Volume(float64(rise) * float64(run) * float64(wide) * float64(n*(n+1)) / 2)
}

// measureBulk adds up the concrete beyond the flat slab.
func (w *work) measureBulk() error {
	var err error
	if w.bulk.slab, err = w.flat(); err != nil {
		return err
	}
	for _, e := range w.in.ThickEdges {
		v, err := w.edgeVolume(e)
		if err != nil {
			return err
		}
		w.bulk.edges += v
	}
	for _, c := range w.in.Curbs {
		area, err := w.within(c.Side, c.Width.Value.Metres())
		if err != nil {
			return err
		}
		w.bulk.curbs += quantity.Volume(area * c.Height.Value.Metres())
	}
	for _, s := range w.in.Steps {
		w.bulk.steps += stepsVolume(s.Count, s.Rise.Value, s.Run.Value, s.Wide.Value)
	}
	return nil
}

// dugBelow is what is dug beyond a bed of even depth: thick edges, and a thickness that varies.
func (w *work) dugBelow() quantity.Volume {
	return w.bulk.edges + w.bulk.slab - quantity.Volume(w.slab.Area()*w.in.Thickness.Value.Metres())
}

// explainBulk writes the concrete beyond the flat slab and returns the names of its steps.
func (w *work) explainBulk() []string {
	s := &w.Working
	var names []string
	show := func(name, says, formula string, v quantity.Volume, given bool, from ...string) {
		if given {
			s.Show(working.Step{Name: name, Says: says, Formula: formula, Value: quantity.Show(v, quantity.AsVolume), From: append(from, "slab_area"), Source: sources.Arithmetic})
			names = append(names, name)
		}
	}
	for i, t := range w.in.ThicknessAt {
		working.Given(s, fmt.Sprintf("thickness_at_%d", i+1), "t", "slab thickness "+w.placeWords(w.spot(t.At)), t.Thickness, quantity.AsThickness)
	}
	show("slab_volume", "slab of varying thickness", "∫ t dA", w.bulk.slab, len(w.in.ThicknessAt) > 0)
	for i, e := range w.in.ThickEdges {
		working.Given(s, fmt.Sprintf("thick_edge_%d", i+1), "D", "depth of the thick edge "+sideWords(e.Side), e.Depth, quantity.AsThickness)
	}
	show("edge_volume", "thick edges, below the slab", "(D − t) · (A_w + (A_{w+τ} − A_w)/2)", w.bulk.edges, len(w.in.ThickEdges) > 0, "thickness")
	show("curb_volume", "curbs", "area within the width of the side · height", w.bulk.curbs, len(w.in.Curbs) > 0)
	show("step_volume", "steps", "rise · run · width · n(n + 1)/2", w.bulk.steps, len(w.in.Steps) > 0)
	return names
}

func sideWords(side string) string {
	if side == "" {
		return "along the free sides"
	}
	return "along " + side
}
