package rollout

import (
	"math"
	"slices"
)

// Smooth makes a drive easier without leaving what the task asks for: neighbouring pieces become one with the steering between
// theirs, steering is eased, needless pieces are dropped and lengths are trimmed, as long as the drive keeps its margin, ends
// in a berth and costs less. It works from the start, which stays where it is. Source: coordinate descent, own rule.
func Smooth(t Task, d Drive) Drive {
	s := smoother{t: t, ground: t.Rig.on(t.Obstacles), limit: t.Rig.GreatestBend()}
	best, price := d.Joined(), s.price(d)
	for range smoothRounds {
		before := price
		for _, edit := range edits {
			for i := 0; i < len(best.Pieces); i++ {
				next, ok := edit(best, i)
				if !ok {
					continue
				}
				next = s.legal(next)
				if p := s.price(next); p < price-1e-6 {
					best, price = next, p
				}
			}
		}
		if price > before-smoothGain {
			break
		}
	}
	return best
}

// smoothRounds bounds the work; a round that gains less than smoothGain (metres of easy driving) is the last.
const (
	smoothRounds = 12
	smoothGain   = 0.05
)

type smoother struct {
	t      Task
	ground *ground
	limit  float64
}

// legal holds the steering to the lock.
func (s *smoother) legal(d Drive) Drive {
	k := s.t.Rig.Sharpest()
	for i := range d.Pieces {
		d.Pieces[i].Curvature = min(max(d.Pieces[i].Curvature, -k), k)
	}
	return d.Joined()
}

// price is the cost of a drive as the search counts it, +Inf when it is not one the task allows.
func (s *smoother) price(d Drive) float64 {
	cost, last, p := 0.0, Piece{}, d.From
	for i, piece := range d.Pieces {
		per := s.t.Costs.Forward
		if piece.Distance < 0 {
			per = s.t.Costs.Reverse
		}
		cost += per * math.Abs(piece.Distance)
		if i > 0 {
			cost += s.t.Costs.turn(last.Curvature, piece.Curvature, s.t.Rig)
			if (piece.Distance < 0) != (last.Distance < 0) {
				cost += s.t.Costs.Change
			}
		}
		n := max(1, int(math.Ceil(math.Abs(piece.Distance)/spotStep)))
		from := p
		for j := 1; j <= n; j++ {
			p = s.t.Rig.Move(from, Piece{piece.Curvature, piece.Distance * float64(j) / float64(n)})
			ok, room := s.ground.keeps(p, s.t.Margin)
			if !ok || !s.inside(p) {
				return math.Inf(1)
			}
			if room < s.t.Room {
				cost += s.t.Costs.Close * math.Abs(piece.Distance) / float64(n) * (1 - max(0, room-s.t.Margin)/(s.t.Room-s.t.Margin))
			}
		}
		last = piece
	}
	end := node{x: p.At.X, y: p.At.Y, heading: wrap(p.Heading), bend: p.Bend()}
	if !(&hunt{Task: s.t}).arrived(&end) {
		return math.Inf(1)
	}
	return cost
}

func (s *smoother) inside(p Pose) bool {
	return (!s.t.Rig.Towing() || math.Abs(p.Bend()) <= s.limit) && s.t.Within.Contains(p.At)
}

// edits are the ways a drive is changed at a piece; false where one does not apply.
var edits = []func(Drive, int) (Drive, bool){
	mergeNext, drop, func(d Drive, i int) (Drive, bool) { return bendBy(d, i, 0.5) }, straighten,
	func(d Drive, i int) (Drive, bool) { return lengthenBy(d, i, 0.5) }, func(d Drive, i int) (Drive, bool) { return lengthenBy(d, i, -0.5) },
	func(d Drive, i int) (Drive, bool) { return bendBy(d, i, 0.9) }, func(d Drive, i int) (Drive, bool) { return bendBy(d, i, 1.1) },
	func(d Drive, i int) (Drive, bool) { return lengthenBy(d, i, 0.1) }, func(d Drive, i int) (Drive, bool) { return lengthenBy(d, i, -0.1) },
}

func copied(d Drive) Drive { return Drive{From: d.From, Pieces: slices.Clone(d.Pieces)} }

// mergeNext puts a piece and the next of the same direction into one that turns as much.
func mergeNext(d Drive, i int) (Drive, bool) {
	if i+1 >= len(d.Pieces) || (d.Pieces[i].Distance < 0) != (d.Pieces[i+1].Distance < 0) {
		return d, false
	}
	out := copied(d)
	a, b := d.Pieces[i], d.Pieces[i+1]
	sum := a.Distance + b.Distance
	out.Pieces[i] = Piece{(a.Curvature*a.Distance + b.Curvature*b.Distance) / sum, sum}
	out.Pieces = slices.Delete(out.Pieces, i+1, i+2)
	return out, true
}

func drop(d Drive, i int) (Drive, bool) {
	out := copied(d)
	out.Pieces = slices.Delete(out.Pieces, i, i+1)
	return out, len(out.Pieces) > 0
}

func bendBy(d Drive, i int, factor float64) (Drive, bool) {
	out := copied(d)
	out.Pieces[i].Curvature *= factor
	return out, d.Pieces[i].Curvature != 0
}

func straighten(d Drive, i int) (Drive, bool) {
	out := copied(d)
	out.Pieces[i].Curvature = 0
	return out, d.Pieces[i].Curvature != 0
}

// lengthenBy makes a piece longer by metres, the steering as it is.
func lengthenBy(d Drive, i int, by float64) (Drive, bool) {
	out := copied(d)
	p := &out.Pieces[i]
	length := math.Abs(p.Distance) + by
	if length < math.Abs(by) {
		return d, false
	}
	p.Distance = math.Copysign(length, p.Distance)
	return out, true
}
