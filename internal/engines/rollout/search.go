package rollout

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// Berth is where a search may end: the rear axle on a line or near it, pointing along it.
type Berth struct {
	Line    geometry.Segment
	Heading float64 // rad
	Either  bool    // the opposite heading serves as well
}

// Task is a search for a drive.
type Task struct {
	Rig       Rig
	Obstacles []Obstacle
	From      Pose
	To        []Berth
	Side      float64      // how far the rear axle may end off its line, m
	Turn      float64      // how far off its heading, rad
	Bend      float64      // how far from straight the trailer may stand there, rad
	Within    geometry.Box // the rear axle stays inside
	Margin    float64      // room kept to everything, m
	Room      float64      // room wanted: less costs more, m
	Costs     Costs
	Lattice   Lattice
	OneWay    float64         // above zero: forwards only; below: in reverse only
	Greed     float64         // weight of the estimate of what remains, at least 1: the greater, the sooner a drive is found
	Most      int             // poses looked at before giving up
	Stop      <-chan struct{} // closed: the search ends with ErrStopped; nil: nobody stops it
}

// ErrStopped is the error of a search that was stopped.
var ErrStopped = errors.New("rollout: stopped")

// Costs weigh a drive as its driver does, in metres of easy forward driving.
type Costs struct {
	Forward float64 // a metre forwards
	Reverse float64 // a metre in reverse
	Change  float64 // a change of direction
	Wheel   float64 // turning the wheel from straight to full lock
	Set     float64 // stopping to set the wheel anew
	Close   float64 // a metre with no room at all beyond the margin
}

// Lattice is how finely a search looks.
type Lattice struct {
	Cell    float64 // side of a square of ground, m
	Turn    float64 // step of heading, rad
	Bend    float64 // step of the angle between tow vehicle and trailer, rad
	Step    float64 // length of one primitive, m
	Steered int     // steering positions from straight to full lock, besides straight
}

// UsualLattice is fine enough for yards: half a metre, 5°, 5°, primitives of a metre with the wheel straight, half and full.
func UsualLattice() Lattice {
	return Lattice{Cell: 0.5, Turn: 5 * math.Pi / 180, Bend: 5 * math.Pi / 180, Step: 1, Steered: 2}
}

// CoarseLattice looks at a third of the poses, for searches to the end: half a metre, 7.5°, 10°.
func CoarseLattice() Lattice {
	return Lattice{Cell: 0.5, Turn: 7.5 * math.Pi / 180, Bend: 10 * math.Pi / 180, Step: 1, Steered: 2}
}

// UsualCosts: a direction change is worth twice the length of a tow vehicle; looking back over the shoulder half a metre each metre.
func UsualCosts() Costs {
	return Costs{Forward: 1, Reverse: 1.25, Change: 8, Wheel: 0.5, Set: 0.5, Close: 2}
}

// turn is the cost of setting the steering from one curvature to another.
func (c Costs) turn(from, to float64, r Rig) float64 {
	if from == to {
		return 0
	}
	return c.Set + c.Wheel*math.Abs(from-to)/r.Sharpest()
}

// Verdict says how a search ended.
type Verdict string

// The verdicts.
const (
	Found      Verdict = "found"
	Blocked    Verdict = "blocked"  // it starts in something
	NoWay      Verdict = "no way"   // not even discs as wide as the bodies find a gap
	Exhausted  Verdict = "no drive" // every pose of the lattice that can be reached was looked at
	OutOfReach Verdict = "gave up"  // Most poses were looked at
)

// Answer is what a search found.
type Answer struct {
	Verdict  Verdict
	Drive    Drive
	Cost     float64
	Looked   int   // poses expanded
	Stoppers []int // when there is no drive: obstacles that stopped it nearest to the goal, most often first
}

// Validate says what keeps a task from being searched.
func (t Task) Validate() error {
	if err := t.Rig.Validate(); err != nil {
		return err
	}
	for _, o := range t.Obstacles {
		if err := o.Validate(); err != nil {
			return err
		}
	}
	l := t.Lattice
	switch {
	case len(t.To) == 0:
		return errors.New("rollout: a search needs somewhere to go")
	case !(l.Cell >= 0.05 && l.Cell <= 2 && l.Turn >= 0.01 && l.Turn <= 0.5 && l.Bend >= 0.01 && l.Bend <= 0.5 && l.Step >= l.Cell && l.Steered >= 1 && l.Steered <= 8):
		return fmt.Errorf("rollout: lattice %+v is not between 0.05 and 2 m, 0.01 and 0.5 rad, with steps at least a cell long", l)
	case !(t.Within.Width() > 0 && t.Within.Height() > 0) || math.Max(t.Within.Width(), t.Within.Height()) > maxCells*l.Cell:
		return fmt.Errorf("rollout: the ground searched is %g by %g m; at most %g m", t.Within.Width(), t.Within.Height(), maxCells*l.Cell)
	case !t.From.At.IsFinite() || math.IsNaN(t.From.Heading+t.From.Trailer):
		return errors.New("rollout: the search starts nowhere")
	case !(t.Side > 0 && t.Turn > 0 && t.Bend > 0) || !(t.Costs.Forward > 0 && t.Costs.Reverse > 0 && t.Greed >= 1):
		return errors.New("rollout: tolerances and costs are above zero, greed at least 1")
	}
	return nil
}

// maxCells is how many cells a side of the ground may have: the table of squares then takes up to 150 MB.
const maxCells = 2000

// hunt is a search under way.
type hunt struct {
	Task
	ground  *ground
	moves   []move
	turns   [][]float64 // cost of setting the wheel from one move to another
	guide   *guide
	limit   float64 // greatest bend
	nodes   []node
	index   keyed
	open    queue
	stopped []stop
	nearest float64
}

// node is a pose reached, and how.
type node struct {
	x, y, heading, bend float64
	cost, rest          float32
	parent              int32
	move                int16
	closed              bool
}

// stop is a primitive that ran into something.
type stop struct {
	rest float32
	pose Pose
}

// Search looks for the cheapest drive over a lattice of poses by best-first search: each cell of place, heading and bend
// keeps the one pose that reached it most cheaply, exact in place, and grows primitives of held steering from it.
// What remains is never overestimated: by the way round the obstacles of a disc as wide as the tow vehicle, and by the arc
// that the heading still needs; a greed above 1 weighs that more. As a cell keeps one pose, the drive found is a good one, not
// the best there is. A "no drive" is proven to the lattice's fineness only.
//
// The search may run from the confined place outwards: what rolls without slip rolls back on its tracks, and a trailer
// pulled forwards straightens, so few bends are ever met that way. Use [Rig.Back] to drive it the other way.
// Source: P. E. Hart, N. J. Nilsson and B. Raphael, A formal basis for the heuristic determination of minimum cost paths, 1968.
func Search(t Task) (Answer, error) {
	if err := t.Validate(); err != nil {
		return Answer{}, err
	}
	h := &hunt{Task: t, ground: t.Rig.on(t.Obstacles), limit: t.Rig.GreatestBend(), nearest: math.Inf(1)}
	if d, owner, _ := h.ground.exact(t.From, t.Margin); d < t.Margin {
		return Answer{Verdict: Blocked, Stoppers: []int{owner}}, nil
	}
	h.moves = t.primitives()
	for _, from := range h.moves {
		row := make([]float64, len(h.moves))
		for i, to := range h.moves {
			row[i] = t.Costs.turn(from.curvature, to.curvature, t.Rig)
		}
		h.turns = append(h.turns, row)
	}
	h.guide = newGuide(t, &h.ground.bodies[0])
	if stoppers, shut := h.shut(); shut {
		return Answer{Verdict: NoWay, Stoppers: stoppers}, nil
	}
	rest := h.guide.rest(t.From)
	h.index = newKeyed(&h.Task, h.limit)
	h.nodes = append(h.nodes, node{x: t.From.At.X, y: t.From.At.Y, heading: wrap(t.From.Heading), bend: t.From.Bend(), rest: float32(rest), parent: -1, move: -1})
	h.open.push(float32(t.Greed*rest), 0)
	return h.run()
}

// stopEvery is how many poses are looked at between two looks at whether the search is stopped: a few milliseconds.
const stopEvery = 1024

func (h *hunt) run() (Answer, error) {
	looked := 0
	for len(h.open) > 0 {
		i := h.open.pop()
		n := &h.nodes[i]
		if n.closed {
			continue
		}
		n.closed = true
		if h.arrived(n) {
			return Answer{Verdict: Found, Drive: h.drive(i), Cost: float64(n.cost), Looked: looked}, nil
		}
		if looked++; looked > h.Most {
			return Answer{Verdict: OutOfReach, Looked: looked, Stoppers: h.stoppers()}, nil
		}
		if looked%stopEvery == 0 && h.told() {
			return Answer{}, ErrStopped
		}
		from := h.start(i)
		for m := range h.moves {
			h.grow(&from, m)
		}
	}
	return Answer{Verdict: Exhausted, Looked: looked, Stoppers: h.stoppers()}, nil
}

func (h *hunt) told() bool {
	select {
	case <-h.Stop:
		return true
	default:
		return false
	}
}

// arrived says whether a pose is a berth.
func (h *hunt) arrived(n *node) bool {
	if h.Rig.Towing() && math.Abs(n.bend) > h.Bend {
		return false
	}
	at := geometry.Point{X: n.x, Y: n.y}
	for _, b := range h.To {
		off := math.Abs(wrap(n.heading - b.Heading))
		if b.Either {
			off = min(off, math.Pi-off)
		}
		if off <= h.Turn && b.Line.Distance(at) <= h.Side {
			return true
		}
	}
	return false
}

// start is a node with what all primitives from it share: sines and cosines of its heading and of half its bend.
type start struct {
	node
	index            int32
	cos, sin         float64
	halfSin, halfCos float64
}

func (h *hunt) start(i int32) start {
	s := start{node: h.nodes[i], index: i}
	s.sin, s.cos = math.Sincos(s.heading)
	s.halfSin, s.halfCos = math.Sincos(s.bend / 2)
	return s
}

// at is the place a spot of a primitive comes to lie.
func (n *start) at(s *spot) (x, y float64) {
	return n.x + s.x*n.cos - s.y*n.sin, n.y + s.x*n.sin + s.y*n.cos
}

// grow drives one primitive from a node and keeps where it ends, if nothing stops it and it is the cheapest there.
func (h *hunt) grow(n *start, which int) {
	m := &h.moves[which]
	cost, straightBack := h.price(&n.node, m, which)
	if straightBack {
		return
	}
	last := &m.spots[len(m.spots)-1]
	x, y := n.at(last)
	heading, bend := wrap(n.heading+last.turn), 0.0
	if h.Rig.Towing() {
		bend = wrap(2 * math.Atan2(last.fold.a*n.halfSin+last.fold.b*n.halfCos, last.fold.c*n.halfSin+last.fold.d*n.halfCos))
		if math.Abs(bend) > h.limit {
			return
		}
	}
	slot := h.index.slot(x, y, heading, bend)
	if slot == nil {
		return
	}
	if old := *slot; old >= 0 && (h.nodes[old].closed || h.nodes[old].cost <= cost) {
		return
	}
	rest := h.guide.rest(Pose{At: geometry.Point{X: x, Y: y}, Heading: heading})
	if math.IsInf(rest, 1) {
		return
	}
	room, stopped := h.sweep(n, m)
	if stopped >= 0 {
		h.note(n.rest, n, m, stopped)
		return
	}
	if room < h.Room {
		cost += float32(h.Costs.Close * h.Lattice.Step * (1 - max(0, room-h.Margin)/(h.Room-h.Margin)))
	}
	if old := *slot; old >= 0 && h.nodes[old].cost <= cost {
		return
	}
	h.nodes = append(h.nodes, node{x: x, y: y, heading: heading, bend: bend, cost: cost, rest: float32(rest), parent: n.index, move: int16(which)})
	*slot = int32(len(h.nodes) - 1)
	h.nearest = min(h.nearest, rest)
	h.open.push(cost+float32(h.Greed*rest), *slot)
}

// sweep drives a primitive's spots and says how much room there is, and at which spot something stops it, −1 for none. The
// sine and cosine of the bend follow from those of its half without another call.
func (h *hunt) sweep(n *start, m *move) (room float64, stopped int) {
	room = math.Inf(1)
	for i := range m.spots {
		s := &m.spots[i]
		x, y := n.at(s)
		cos, sin := n.cos*s.cos-n.sin*s.sin, n.sin*s.cos+n.cos*s.sin
		ok, has := h.ground.clear(0, x, y, cos, sin, h.Margin)
		if !ok {
			return 0, i
		}
		room = min(room, has)
		if !h.Rig.Towing() {
			continue
		}
		p, q := s.fold.a*n.halfSin+s.fold.b*n.halfCos, s.fold.c*n.halfSin+s.fold.d*n.halfCos
		norm := 1 / (p*p + q*q)
		sinBend, cosBend := 2*p*q*norm, (q*q-p*p)*norm
		tc, ts := cos*cosBend+sin*sinBend, sin*cosBend-cos*sinBend
		x, y = x-h.Rig.Hitch*cos-h.Rig.Tongue*tc, y-h.Rig.Hitch*sin-h.Rig.Tongue*ts
		if ok, has = h.ground.clear(1, x, y, tc, ts, h.Margin); !ok {
			return 0, i
		}
		room = min(room, has)
	}
	return room, -1
}

// price is what a node costs after a primitive, without closeness; straightBack says that it would only undo the last one.
func (h *hunt) price(n *node, m *move, which int) (cost float32, straightBack bool) {
	add := m.cost
	if n.move >= 0 {
		last := &h.moves[n.move]
		if last.back != m.back {
			if last.curvature == m.curvature {
				return 0, true
			}
			add += h.Costs.Change
		}
		add += h.turns[n.move][which]
	}
	return n.cost + float32(add), false
}

// nearStops is how much farther from the goal than the nearest pose a stopped primitive may be and still be blamed, m.
const nearStops = 4

// mostStops bounds how many are remembered.
const mostStops = 200_000

func (h *hunt) note(rest float32, n *start, m *move, at int) {
	if float64(rest) > h.nearest+nearStops || len(h.stopped) >= mostStops {
		return
	}
	s := &m.spots[at]
	x, y := n.at(s)
	p := Pose{At: geometry.Point{X: x, Y: y}, Heading: n.heading + s.turn}
	if p.Trailer = p.Heading; h.Rig.Towing() {
		p.Trailer -= s.fold.bend(n.bend)
	}
	h.stopped = append(h.stopped, stop{rest, p})
}

// stoppers are the obstacles that stopped primitives near the best poses reached, most often first.
func (h *hunt) stoppers() []int {
	count := map[int]int{}
	for _, s := range h.stopped {
		if float64(s.rest) > h.nearest+nearStops {
			continue
		}
		if _, owner, _ := h.ground.exact(s.pose, h.Margin); owner >= 0 {
			count[owner]++
		}
	}
	return mostFirst(count)
}

func mostFirst(count map[int]int) []int {
	out := make([]int, 0, len(count))
	for owner := range count {
		out = append(out, owner)
	}
	slices.SortFunc(out, func(a, b int) int {
		if count[a] != count[b] {
			return count[b] - count[a]
		}
		return a - b
	})
	return out
}

// drive is the way to a node.
func (h *hunt) drive(i int32) Drive {
	d := Drive{From: h.From}
	for ; h.nodes[i].parent >= 0; i = h.nodes[i].parent {
		m := h.moves[h.nodes[i].move]
		d.Pieces = append(d.Pieces, Piece{m.curvature, m.distance})
	}
	slices.Reverse(d.Pieces)
	return d.Joined()
}
