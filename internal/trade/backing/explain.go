package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
)

// Blocker is what keeps the vehicle out, and the least change found that lets it in.
type Blocker struct {
	Thing  string          `json:"thing,omitempty"`
	Proven bool            `json:"proven"` // every pose of the lattice was looked at
	Change string          `json:"change,omitempty"`
	Size   quantity.Length `json:"size,omitempty"`
	At     geometry.Point  `json:"at,omitzero"`

	candidates []int
	verdict    rollout.Verdict
}

// suspects is how many of the things that stopped the search are taken away one by one.
const suspects = 4

// explain takes the things that stopped the search away, one at a time, and measures how much of each is in the way of the drive
// that opens; of a fence it then looks for the shortest piece that must go. The least is the change to make.
func (r *Result) explain(in Input) error {
	r.Verdict = "impossible"
	best := math.Inf(1)
	for _, i := range r.Blocker.candidates[:min(suspects, len(r.Blocker.candidates))] {
		if i < 0 {
			continue
		}
		o := r.scene.obstacles[i]
		if r.Blocker.Thing == "" {
			r.Blocker.Thing, r.Blocker.At = o.Name, middleOf(o)
		}
		drive, ok, err := r.instead(in, i, firmly.most)
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		c, err := r.change(in, drive, i)
		if err != nil {
			return err
		}
		if c.size < best {
			best = c.size
			r.Blocker.Thing, r.Blocker.Change, r.Blocker.Size, r.Blocker.At = o.Name, c.says, quantity.Length(c.size), c.at
		}
	}
	return nil
}

// instead looks for a drive with one thing replaced by others, or by nothing, within so many poses.
func (r *Result) instead(in Input, i, most int, others ...rollout.Obstacle) (rollout.Drive, bool, error) {
	t := r.task(in, roomily.lock, in.Margin.Value.Metres())
	t.Obstacles = append(append(append([]rollout.Obstacle{}, t.Obstacles[:i]...), others...), t.Obstacles[i+1:]...)
	t.Most = most
	answer, err := rollout.Search(t)
	if err != nil {
		return rollout.Drive{}, false, fmt.Errorf("backing: without %s: %w", r.scene.obstacles[i].Name, err)
	}
	if answer.Verdict != rollout.Found {
		return rollout.Drive{}, false, nil
	}
	return rollout.Smooth(t, answer.Drive), true, nil
}

// change is what would have to be done to a thing.
type change struct {
	size float64 // m
	at   geometry.Point
	says string
}

// change measures how much of a thing a drive takes: of a fence or wall the piece that must go, of a round or solid thing the way
// it would have to move.
func (r *Result) change(in Input, d rollout.Drive, i int) (change, error) {
	o := r.scene.obstacles[i]
	margin := in.Margin.Value.Metres()
	say := func(v float64) string { return quantity.Plain(v, quantity.AsSide).String(in.Units) }
	if len(o.Line) > 0 && !o.Solid && o.Free == 0 {
		from, to, err := r.shortestPiece(in, d, i, margin)
		c := change{size: to - from, at: alongLine(o.Line, (from+to)/2)}
		c.says = fmt.Sprintf("take out %s of %s", say(c.size), o.Name)
		return c, err
	}
	tight := r.rig.Clearance(d, []rollout.Obstacle{o})
	if o.Free > 0 {
		tall := max(r.rig.Tow.Height, r.rig.Trailer.Height) + margin
		return change{tall - o.Free, tight.Near, fmt.Sprintf("raise %s to %s or lower what is on the roof", o.Name, say(tall))}, nil
	}
	move := max(0, margin-tight.Clearance)
	return change{move, tight.Near, fmt.Sprintf("move %s by %s, or take it out", o.Name, say(move))}, nil
}

// pieceOfFence is how finely a fence is walked, m; fenceSteps halve the piece that must go so many times.
const (
	pieceOfFence = 0.1
	fenceSteps   = 4
)

// shortestPiece is the stretch of a line that must go, from and to along it: the stretch a drive takes, made shorter from the side
// away from the line's nearer end as long as a drive is still found.
func (r *Result) shortestPiece(in Input, d rollout.Drive, i int, margin float64) (from, to float64, err error) {
	o := r.scene.obstacles[i]
	length := geometry.PathLength(o.Line)
	from, to = r.takenOf(d, o, margin)
	atEnd := length-to < from
	stay, gone := 0.0, to-from
	for range fenceSteps {
		mid := (stay + gone) / 2
		a, b := from, from+mid
		if atEnd {
			a, b = to-mid, to
		}
		_, ok, err := r.instead(in, i, easily.most, without(o, a, b)...)
		if err != nil {
			return 0, 0, err
		}
		if ok {
			gone = mid
		} else {
			stay = mid
		}
	}
	if atEnd {
		return to - gone, to, nil
	}
	return from, from + gone, nil
}

// without is a line less the stretch between two distances along it.
func without(o rollout.Obstacle, from, to float64) []rollout.Obstacle {
	var out []rollout.Obstacle
	for _, keep := range [2][2]float64{{0, from}, {to, geometry.PathLength(o.Line)}} {
		if keep[1]-keep[0] > pieceOfFence {
			piece := o
			piece.Line = stretch(o.Line, keep[0], keep[1])
			out = append(out, piece)
		}
	}
	return out
}

// stretch is the part of a line between two distances along it.
func stretch(line []geometry.Point, from, to float64) []geometry.Point {
	out := []geometry.Point{alongLine(line, from)}
	at := 0.0
	for i := 1; i < len(line); i++ {
		at += line[i].Distance(line[i-1])
		if at > from && at < to {
			out = append(out, line[i])
		}
	}
	return append(out, alongLine(line, to))
}

func alongLine(line []geometry.Point, distance float64) geometry.Point {
	for i := 1; i < len(line); i++ {
		l := line[i].Distance(line[i-1])
		if distance <= l || i == len(line)-1 {
			return line[i-1].Lerp(line[i], min(1, distance/max(l, 1e-9)))
		}
		distance -= l
	}
	return line[0]
}

// takenOf is the stretch of a line that comes nearer to the drive than the margin.
func (r *Result) takenOf(d rollout.Drive, o rollout.Obstacle, margin float64) (from, to float64) {
	poses := r.rig.Along(d, 0.2)
	length := geometry.PathLength(o.Line)
	steps := max(1, min(4000, int(math.Ceil(length/pieceOfFence))))
	from, to = length, 0
	for j := range steps {
		s := length * (float64(j) + 0.5) / float64(steps)
		if r.comesNear(poses, alongLine(o.Line, s), margin+o.Radius) {
			from, to = min(from, s-length/float64(2*steps)), max(to, s+length/float64(2*steps))
		}
	}
	if from > to {
		return length / 2, length / 2
	}
	return from, to
}

// comesNear says whether a body comes nearer to a place than a margin in any of the poses.
func (r *Result) comesNear(poses []rollout.Pose, p geometry.Point, margin float64) bool {
	for _, pose := range poses {
		if pose.At.Distance(p) > 25 {
			continue
		}
		for _, b := range r.rig.Bodies(pose) {
			if b.Distance(p) < margin {
				return true
			}
		}
	}
	return false
}

func middleOf(o rollout.Obstacle) geometry.Point {
	if len(o.Line) == 0 {
		return o.At
	}
	return geometry.BoundsOf(o.Line).Centre()
}
