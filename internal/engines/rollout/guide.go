package rollout

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// guide estimates what remains from a pose to the berths, never too much.
type guide struct {
	task   Task
	body   *bodyOn // whose axle's disc it is about
	low    geometry.Point
	cell   float64
	across int
	up     int
	way    []float32 // from each square to a berth, m; +Inf: no way
	arc    float64   // m of driving for each radian of heading, at least
	ahead  float64   // the cheaper of forwards and reverse, per metre
}

// octile is how much longer a way over squares may be than the straight one: 1/cos 22.5° for steps along sides and diagonals.
var octile = 1 / math.Cos(math.Pi/8)

// newGuide measures the way of a disc as wide as a body, about its axle, from every square to the berths.
func newGuide(t Task, body *bodyOn) *guide {
	u := &guide{task: t, body: body, low: t.Within.Min, cell: t.Lattice.Cell, arc: 1 / t.Rig.Sharpest(), ahead: min(t.Costs.Forward, t.Costs.Reverse)}
	u.across = int(t.Within.Width()/u.cell) + 1
	u.up = int(t.Within.Height()/u.cell) + 1
	u.way = make([]float32, u.across*u.up)
	inf := float32(math.Inf(1))
	for i := range u.way {
		u.way[i] = inf
	}
	var open queue
	slack := u.cell / math.Sqrt2
	for i := range u.way {
		p := u.centre(i)
		for _, b := range t.To {
			if b.Line.Distance(p) <= t.Side+slack && u.free(i) {
				u.way[i] = 0
				open.push(0, int32(i))
				break
			}
		}
	}
	u.spread(open)
	return u
}

func (u *guide) centre(i int) geometry.Point {
	return geometry.Point{X: u.low.X + (float64(i%u.across)+0.5)*u.cell, Y: u.low.Y + (float64(i/u.across)+0.5)*u.cell}
}

// free says whether the axle may be anywhere in a square: the disc that the body holds about it clears everything.
func (u *guide) free(i int) bool {
	p, b := u.centre(i), u.body.body
	d, slack := u.body.field.at(p.X, p.Y)
	return d+slack+u.cell/math.Sqrt2 >= min(b.Width/2, max(0, b.Behind), max(0, b.Ahead))+u.task.Margin
}

func (u *guide) spread(open queue) {
	side, diagonal := float32(u.cell), float32(u.cell*math.Sqrt2)
	blocked := make([]int8, len(u.way)) // 0 not asked, 1 free, 2 blocked
	for len(open) > 0 {
		rank := open[0].rank
		i := int(open.pop())
		if rank > u.way[i] {
			continue
		}
		x, y := i%u.across, i/u.across
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				nx, ny := x+dx, y+dy
				if nx < 0 || ny < 0 || nx >= u.across || ny >= u.up || dx == 0 && dy == 0 {
					continue
				}
				j := ny*u.across + nx
				step := side
				if dx != 0 && dy != 0 {
					step = diagonal
				}
				if rank+step >= u.way[j] {
					continue
				}
				if blocked[j] == 0 {
					blocked[j] = 2
					if u.free(j) {
						blocked[j] = 1
					}
				}
				if blocked[j] == 1 {
					u.way[j] = rank + step
					open.push(rank+step, int32(j))
				}
			}
		}
	}
}

// rest is a lower bound of the cost from a pose to the nearest berth; +Inf when even the disc finds no way.
func (u *guide) rest(p Pose) float64 {
	x, y := int((p.At.X-u.low.X)/u.cell), int((p.At.Y-u.low.Y)/u.cell)
	if x < 0 || y < 0 || x >= u.across || y >= u.up {
		return math.Inf(1)
	}
	way := float64(u.way[y*u.across+x])
	if math.IsInf(way, 1) {
		return way
	}
	return u.ahead * max(0, way/octile-2*u.cell, u.turning(p.Heading))
}

// turning is the arc that the heading still needs.
func (u *guide) turning(heading float64) float64 {
	least := math.Inf(1)
	for _, b := range u.task.To {
		off := math.Abs(wrap(heading - b.Heading))
		if b.Either {
			off = min(off, math.Pi-off)
		}
		least = min(least, max(0, off-u.task.Turn)*u.arc)
	}
	return least
}

// trailerTask is the task as the trailer's axle sees it: where it may be when the rig stands in a berth.
func (t Task) trailerTask() Task {
	r := t.Rig
	reach := math.Abs(r.Hitch) + r.Tongue
	berths := make([]Berth, len(t.To))
	for i, b := range t.To {
		u := b.Line.Direction().Scale(reach)
		if u == (geometry.Point{}) {
			u = geometry.Direction(b.Heading).Scale(reach)
		}
		b.Line = geometry.Segment{A: b.Line.A.Sub(u), B: b.Line.B.Add(u)}
		berths[i] = b
	}
	t.To = berths
	t.Side += math.Abs(r.Hitch)*math.Sin(t.Turn) + r.Tongue*math.Sin(min(math.Pi/2, t.Turn+t.Bend))
	t.Within = t.Within.Expand(reach)
	return t
}

// shut says which obstacles keep a disc as wide as the tow vehicle, or one as wide as the trailer, from every berth; none when both
// find a way.
func (h *hunt) shut() ([]int, bool) {
	if math.IsInf(h.guide.rest(h.From), 1) {
		return h.guide.stoppers(h.From.At), true
	}
	if !h.Rig.Towing() {
		return nil, false
	}
	behind := newGuide(h.trailerTask(), &h.ground.bodies[1])
	axle := h.Rig.TrailerAt(h.From)
	if math.IsInf(behind.rest(Pose{At: axle}), 1) {
		return behind.stoppers(axle), true
	}
	return nil, false
}

// stoppers are the obstacles in the thinnest place between the ground that the disc can reach from a pose and the ground from
// which it reaches a berth, most of that place first.
func (u *guide) stoppers(from geometry.Point) []int {
	start := u.task
	start.To = []Berth{{Line: geometry.Segment{A: from, B: from}}}
	start.Side = u.cell
	here := newGuide(start, u.body)
	through := make([]int32, len(u.way)) // square it was reached from, plus one
	var open queue
	for i, way := range here.way {
		if !math.IsInf(float64(way), 1) {
			through[i] = int32(i) + 1
			open.push(0, int32(i))
		}
	}
	count := map[int]int{}
	for len(open) > 0 {
		rank := open[0].rank
		i := int(open.pop())
		if !math.IsInf(float64(u.way[i]), 1) {
			for ; int(through[i])-1 != i; i = int(through[i]) - 1 {
				if _, owner := u.body.crowd.distance(u.centre(i)); owner >= 0 {
					count[owner]++
				}
			}
			break
		}
		for _, step := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			x, y := i%u.across+step[0], i/u.across+step[1]
			if x < 0 || y < 0 || x >= u.across || y >= u.up || through[y*u.across+x] != 0 {
				continue
			}
			through[y*u.across+x] = int32(i) + 1
			open.push(rank+1, int32(y*u.across+x))
		}
	}
	return mostFirst(count)
}
