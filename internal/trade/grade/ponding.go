package grade

import (
	"fmt"
	"math"
	"math/rand/v2"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Puddle is a place where water stands, or may.
type Puddle struct {
	At     geometry.Point     `json:"at"`
	Depth  quantity.Length    `json:"depth"`            // as drawn; of a place that only may hold water, zero
	Volume quantity.Volume    `json:"volume"`           // as drawn
	Chance quantity.Percent   `json:"chance"`           // of water standing there after finishing
	Pieces [][]geometry.Point `json:"pieces,omitempty"` // the wet ground as drawn
}

// The finished top is taken as its planes and, at the places of a net, a height that finishing left: independent of its
// neighbours, with a standard deviation such that 19 of 20 straightedges laid on three places of the net pass the tolerance
//
//	gap = e_2 − (e_1 + e_3)/2,   σ_gap = √1.5·σ,   σ = tolerance / (1.96·√1.5)
//
// and half of that along the forms, on which the screed rides. Water that stands deeper than puddleDepth in a trial counts.
// The net's width is that of the bumps a hand-finished slab has. Source: own rule; it agrees with the trade's: at 2 % nothing
// stands, at 1 % some does, at 1/2 % it is certain.
const (
	bumpWidth   = 0.61   // m, 2 ft
	mostNet     = 700    // places; a larger slab gets a wider net
	puddleDepth = 0.0016 // m, 1/16 in
	trials      = 60
	atTheForm   = 0.5
)

// straightedge19of20 turns a tolerance into the standard deviation of heights: 1.96·√1.5.
var straightedge19of20 = 1.96 * math.Sqrt(1.5)

// finishScatter is the standard deviation of finished heights, m, for a gap under the straightedge that 19 of 20 pass.
func finishScatter(tolerance quantity.Length) float64 { return tolerance.Metres() / straightedge19of20 }

// net is the finished top as triangles between many places.
type net struct {
	surface *terrain.Surface
	ways    []int // places where water leaves: free edges and drains
	edge    []bool
}

// layNet lays places along the edge, along the folds and over the slab, and finds where water can leave.
func (w *work) layNet() (net, error) {
	gap := math.Max(bumpWidth, math.Sqrt(w.slab.Area()/mostNet))
	var n net
	var shots []terrain.Shot
	var lines [][]int
	add := func(p geometry.Point, edge bool) int {
		shots = append(shots, terrain.Shot{X: p.X, Y: p.Y, Z: w.top(p)})
		n.edge = append(n.edge, edge)
		return len(shots) - 1
	}
	marks := w.marks()
	for i := range marks {
		add(marks[i], false)
	}
	chain := func(a, b int, edge, leaves bool) {
		line := []int{a}
		for k, m := 1, ceil(marks[a].Distance(marks[b])/gap); k < m; k++ {
			line = append(line, add(marks[a].Lerp(marks[b], float64(k)/float64(m)), edge))
		}
		line = append(line, b)
		lines = append(lines, line)
		if leaves {
			n.ways = append(n.ways, line...)
		}
		n.edge[a], n.edge[b] = n.edge[a] || edge, n.edge[b] || edge
	}
	ring, side := w.ring()
	for k, i := range ring {
		chain(i, ring[(k+1)%len(ring)], true, w.in.wall(side[k]) == "" || w.drained(side[k]))
	}
	for _, c := range w.parts.Cuts {
		chain(c.From, c.To, false, false)
	}
	for _, d := range w.in.Drains {
		if d.Side == "" {
			n.ways = append(n.ways, w.nearest(shots, w.spot(d.At)))
		}
	}
	w.fillNet(gap, func(p geometry.Point) { add(p, false) })
	s, err := terrain.Triangulate(shots, lines)
	if err != nil {
		return n, fmt.Errorf("grade: net over the slab: %w", err)
	}
	outer := geometry.Polygon{Outer: w.slab.Outer}
	n.surface = s.Only(func(t int) bool {
		v := s.Triangle(t)
		return outer.Locate(shots[v[0]].Point().Add(shots[v[1]].Point()).Add(shots[v[2]].Point()).Scale(1.0/3)) == geometry.Inside
	})
	return n, nil
}

// ring is the outline mark by mark, with the side that leads on from each.
func (w *work) ring() (marks, side []int) {
	if len(w.parts.Ring) > 0 {
		return w.parts.Ring, w.parts.Side
	}
	for i := range w.slab.Outer {
		marks, side = append(marks, i), append(side, i)
	}
	return marks, side
}

func (w *work) nearest(shots []terrain.Shot, p geometry.Point) int {
	best := 0
	for i, s := range shots {
		if s.Point().Distance(p) < shots[best].Point().Distance(p) {
			best = i
		}
	}
	return best
}

// jitter is the share of a mesh by which places stand off the grid: four on one circle would leave it open which way the top bends.
const jitter = 0.2

// fillNet visits a nearly square grid inside the slab that lies along its longest side, off its edge and its folds.
func (w *work) fillNet(gap float64, visit func(geometry.Point)) {
	heading, _ := w.axis()
	outer := geometry.Polygon{Outer: w.slab.Outer}
	turned := outer.Rotate(geometry.Point{}, -heading)
	box := turned.Bounds()
	nx, ny := ceil(box.Width()/gap), ceil(box.Height()/gap)
	for i := 1; i < nx; i++ {
		for j := 1; j < ny; j++ {
			k := float64(i*ny + j)
			u, v := float64(i)+jitter*math.Mod(k*golden, 1), float64(j)+jitter*math.Mod(k*golden*golden, 1)
			p := geometry.Point{X: box.Min.X + u*box.Width()/float64(nx), Y: box.Min.Y + v*box.Height()/float64(ny)}
			p = p.Rotate(geometry.Point{}, heading)
			if outer.Contains(p) && outer.BoundaryDistance(p) > gap/4 && !w.onFold(p, gap/4) {
				visit(p)
			}
		}
	}
}

func (w *work) onFold(p geometry.Point, within float64) bool {
	for _, b := range w.bends {
		if b.Distance(p) < within {
			return true
		}
	}
	return false
}

// stand finds the ponds of the drawn slab and, over many finishes of it, the chance that water stands.
func (w *work) stand() error {
	n, err := w.layNet()
	if err != nil {
		return err
	}
	ponds, err := n.surface.Ponds(n.ways)
	if err != nil {
		return fmt.Errorf("grade: ponds: %w", err)
	}
	for _, p := range ponds {
		if p.Depth > tapeRoom {
			w.Puddles = append(w.Puddles, Puddle{At: p.Deepest, Depth: quantity.Length(p.Depth), Volume: quantity.Volume(p.Volume), Chance: 1, Pieces: p.Pieces})
		}
	}
	w.net = n
	return w.finishMany(n)
}

// seed starts the finishes; any other gives the same chances within their scatter.
const seed = 811

func (w *work) finishMany(n net) error {
	sigma := finishScatter(w.in.Flatness.Value)
	random := rand.New(rand.NewPCG(seed, uint64(len(n.edge))))
	shots := n.surface.Shots()
	heights, wet := make([]float64, len(shots)), make([]int, len(shots))
	standing, err := n.surface.Standing(n.ways)
	if err != nil {
		return fmt.Errorf("grade: finishes: %w", err)
	}
	stood := 0
	for range trials {
		for i, s := range shots {
			e := sigma * random.NormFloat64()
			if n.edge[i] {
				e *= atTheForm
			}
			heights[i] = s.Z + e
		}
		first := len(shots)
		for i, d := range standing.Depths(heights) {
			if d > puddleDepth {
				wet[i]++
				first = min(first, i)
			}
		}
		if first < len(shots) {
			stood++
		}
	}
	w.Standing = quantity.Percent(float64(stood) / trials)
	for i, s := range shots {
		if share := float64(wet[i]) / trials; share >= toldChance && !w.drownedAt(s.Point()) {
			w.Puddles = append(w.Puddles, Puddle{At: s.Point(), Chance: quantity.Percent(share)})
		}
	}
	return nil
}

// toldChance is the chance from which a place is shown.
const toldChance = 0.1

// drownedAt says whether a place lies in a pond of the drawn slab.
func (w *work) drownedAt(p geometry.Point) bool {
	for _, q := range w.Puddles {
		for _, piece := range q.Pieces {
			if (geometry.Polygon{Outer: piece}).Contains(p) {
				return true
			}
		}
	}
	return false
}

func (w *work) pondChecks() []check.Check {
	var out []check.Check
	for _, p := range w.Puddles {
		if p.Depth > 0 {
			out = append(out, check.Check{ID: "grade.pond", Level: check.Stop, Where: w.placeWords(p.At), Value: quantity.Show(p.Depth, quantity.AsDrop), Source: sources.PriorityFlood,
				Says: fmt.Sprintf("Water stands %s deep %s as drawn: %s of it has no way out.", w.text(quantity.Show(p.Depth, quantity.AsDrop)), w.placeWords(p.At), w.text(quantity.Show(p.Volume, quantity.AsWater))),
				Then: []string{"Give it a drain there (drains: …), let a valley run on to a free edge, or send the water another way."}})
		}
	}
	chance, edge := quantity.Show(w.Standing, quantity.AsPercent), w.in.either("10 ft", "3 m")
	c := check.AtMost("grade.puddles", chance, quantity.Plain(passedChance, quantity.AsPercent), check.Care,
		fmt.Sprintf("Finished to %s in %s, water stands on it in %s of finishes.", w.text(w.in.Flatness.Show(quantity.AsDrop)), edge, w.text(chance)),
		fmt.Sprintf("Finished to %s in %s, in %s of finishes water stands somewhere over %s deep.", w.text(w.in.Flatness.Show(quantity.AsDrop)), edge, w.text(chance), w.in.either("1/16 in", "1.6 mm")),
		sources.OwnRule, "Give it more fall, or finish it flatter: check with a "+edge+" straightedge and cut the bumps before the edge sets.")
	return append(out, c)
}

// passedChance is the chance of a puddle that passes without a word.
const passedChance = 0.1

// placeWords says where a place is: by the nearest mark and the distances from the first corner.
func (w *work) placeWords(p geometry.Point) string {
	best := 0
	for i, m := range w.marks() {
		if m.Distance(p) < w.marks()[best].Distance(p) {
			best = i
		}
	}
	if d := w.marks()[best].Distance(p); d > bumpWidth/4 {
		return fmt.Sprintf("%s from %s", quantity.Plain(d, quantity.AsDistance).String(w.in.Units), w.markName(best))
	}
	return "at " + w.markName(best)
}

func (w *work) explainPonds() {
	s := &w.Working
	flat := working.Given(s, "flatness", "T", "gap under a "+w.in.either("10 ft", "3 m")+" straightedge that finishing leaves, 19 times in 20", w.in.Flatness, quantity.AsDrop)
	sigma := finishScatter(w.in.Flatness.Value)
	s.Show(working.Step{Name: "finish_scatter", Symbol: "σ", Says: "scatter of the finished top", Formula: "T / (1.96·√1.5): three heights side by side under the edge", Value: quantity.Plain(sigma, quantity.AsDeflection), From: []string{flat}, Source: sources.OwnRule})
	s.Answer(working.Step{Name: "pond_chance", Says: "chance that water stands somewhere, over " + w.in.either("1/16 in", "1.6 mm") + " deep", Formula: fmt.Sprintf("share of %d finishes drawn at random (seed %d) in which some place has no way down", trials, seed),
		Value: quantity.Show(w.Standing, quantity.AsPercent), From: []string{"finish_scatter", "plane"}, Source: sources.PriorityFlood})
	for i, p := range w.Puddles {
		if p.Depth > 0 {
			s.Show(working.Step{Name: fmt.Sprintf("pond_%d", i+1), Says: "water that stands as drawn, " + w.placeWords(p.At), Formula: "∫ max(spill level − top, 0) dA", Value: quantity.Show(p.Volume, quantity.AsWater), From: []string{"plane"}, Source: sources.PriorityFlood})
		}
	}
}
