package rollout

import (
	"math"
)

// move is a primitive: a stretch with the steering held, with the poses between that are looked at.
type move struct {
	curvature, distance float64
	back                bool
	cost                float64
	spots               []spot
}

// spot is a pose on a primitive, seen from its start.
type spot struct {
	x, y, turn float64
	cos, sin   float64 // of the turn
	fold       fold
}

// spotStep is how far apart poses are looked at during a search, m; the drive that is found is measured much closer.
const spotStep = 0.34

func (t Task) primitives() []move {
	var out []move
	spots := max(1, int(math.Ceil(t.Lattice.Step/spotStep)))
	for _, direction := range []float64{1, -1} {
		if direction*t.OneWay < 0 {
			continue
		}
		for i := -t.Lattice.Steered; i <= t.Lattice.Steered; i++ {
			steer := t.Rig.Lock * float64(i) / float64(t.Lattice.Steered)
			m := move{curvature: t.Rig.Curvature(steer), distance: direction * t.Lattice.Step, back: direction < 0}
			m.cost = t.Costs.Forward * t.Lattice.Step
			if m.back {
				m.cost = t.Costs.Reverse * t.Lattice.Step
			}
			for j := 1; j <= spots; j++ {
				d := m.distance * float64(j) / float64(spots)
				p := Rig{}.Move(Pose{}, Piece{m.curvature, d})
				s := spot{x: p.At.X, y: p.At.Y, turn: p.Heading}
				s.sin, s.cos = math.Sincos(s.turn)
				if t.Rig.Towing() {
					s.fold = t.Rig.foldOver(m.curvature, d)
				}
				m.spots = append(m.spots, s)
			}
			out = append(out, m)
		}
	}
	return out
}

// keyed is a table from cell to node. Headings and bends of one square of ground lie together, a few headings to a block, so
// that the primitives of one pose look at memory near one another; a block is made when it is first asked about.
type keyed struct {
	task              *Task
	across, up        int
	turns, bends, row int     // headings round; bends counted from −limit; blocks of a square
	blocks            []int32 // for each square and block of headings its place in nodes, zero: none
	nodes             []int32
	half              int
}

// headingsPerBlock is how many headings lie together.
const headingsPerBlock = 8

func newKeyed(t *Task, limit float64) keyed {
	k := keyed{task: t, across: int(t.Within.Width()/t.Lattice.Cell) + 1, up: int(t.Within.Height()/t.Lattice.Cell) + 1,
		turns: int(math.Round(2 * math.Pi / t.Lattice.Turn)), bends: 1}
	if t.Rig.Towing() {
		k.half = int(math.Round(limit / t.Lattice.Bend))
		k.bends = 2*k.half + 1
	}
	k.row = (k.turns + headingsPerBlock - 1) / headingsPerBlock
	k.blocks = make([]int32, k.across*k.up*k.row)
	k.nodes = make([]int32, headingsPerBlock*k.bends) // the block nobody has
	return k
}

// slot is the place that holds the node of a pose's cell, −1 when it is new; nil outside the ground searched. It is good until
// the next call.
func (k *keyed) slot(x, y, heading, bend float64) *int32 {
	within := &k.task.Within
	if !(x >= within.Min.X && x <= within.Max.X && y >= within.Min.Y && y <= within.Max.Y) {
		return nil
	}
	square := int((y-within.Min.Y)/k.task.Lattice.Cell)*k.across + int((x-within.Min.X)/k.task.Lattice.Cell)
	turn := int(heading/(2*math.Pi)*float64(k.turns) + float64(k.turns) + 0.5)
	if turn >= k.turns {
		turn -= k.turns
	}
	at := square*k.row + turn/headingsPerBlock
	block := k.blocks[at]
	if block == 0 {
		block = int32(len(k.nodes))
		k.blocks[at] = block
		for range headingsPerBlock * k.bends {
			k.nodes = append(k.nodes, -1)
		}
	}
	b := 0
	if k.half > 0 {
		b = int(bend/k.task.Lattice.Bend + float64(k.half) + 0.5)
	}
	return &k.nodes[int(block)+turn%headingsPerBlock*k.bends+b]
}

// queue is a heap of nodes, cheapest first; equals leave in the order of the heap, the same every time.
type queue []queued

type queued struct {
	rank float32
	node int32
}

func (q *queue) push(rank float32, node int32) {
	*q = append(*q, queued{rank, node})
	h := *q
	i := len(h) - 1
	for i > 0 {
		up := (i - 1) / 4
		if h[up].rank <= rank {
			break
		}
		h[i] = h[up]
		i = up
	}
	h[i] = queued{rank, node}
}

func (q *queue) pop() int32 {
	h := *q
	top := h[0].node
	last := h[len(h)-1]
	h = h[:len(h)-1]
	*q = h
	if len(h) == 0 {
		return top
	}
	i := 0
	for {
		least := -1
		for c := 4*i + 1; c <= 4*i+4 && c < len(h); c++ {
			if least < 0 || h[c].rank < h[least].rank {
				least = c
			}
		}
		if least < 0 || h[least].rank >= last.rank {
			break
		}
		h[i] = h[least]
		i = least
	}
	h[i] = last
	return top
}
