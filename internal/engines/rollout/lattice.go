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

// key names the cell of a pose; false outside the ground searched.
func (h *hunt) key(x, y, heading, bend float64) (uint64, bool) {
	if !(x >= h.Within.Min.X && x <= h.Within.Max.X && y >= h.Within.Min.Y && y <= h.Within.Max.Y) {
		return 0, false
	}
	ix := uint64((x - h.Within.Min.X) / h.Lattice.Cell)
	iy := uint64((y - h.Within.Min.Y) / h.Lattice.Cell)
	turns := math.Round(2 * math.Pi / h.Lattice.Turn)
	ih := uint64(math.Mod(math.Round((heading+2*math.Pi)/(2*math.Pi)*turns), turns))
	ib := uint64(math.Round(bend/h.Lattice.Bend) + 512)
	return (((ix<<12|iy)<<12|ih)<<11 | ib) + 1, true
}

// keyed is a table from cell to node, open addressing.
type keyed struct {
	slots []keySlot
	used  int
}

type keySlot struct {
	key  uint64
	node int32
}

func newKeyed(size int) keyed { return keyed{slots: make([]keySlot, size)} }

// slot finds or makes the place of a key; its node is −1 when it is new. The pointer is good until the next call.
func (k *keyed) slot(key uint64) *keySlot {
	if 2*k.used >= len(k.slots) {
		old := k.slots
		k.slots, k.used = make([]keySlot, 2*len(old)), 0
		for _, s := range old {
			if s.key != 0 {
				k.slot(s.key).node = s.node
			}
		}
	}
	mask := uint64(len(k.slots) - 1)
	for i := mix(key) & mask; ; i = (i + 1) & mask {
		s := &k.slots[i]
		if s.key == key {
			return s
		}
		if s.key == 0 {
			s.key, s.node = key, -1
			k.used++
			return s
		}
	}
}

// mix spreads the bits of a key: the finaliser of SplitMix64 (G. L. Steele, D. Lea and C. H. Flood, 2014).
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
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
