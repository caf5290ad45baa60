package rollout

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// Piece is a stretch driven with the steering held still.
type Piece struct {
	Curvature float64 `json:"curvature"` // 1/m, left positive
	Distance  float64 `json:"distance"`  // m along the rear axle, negative in reverse
}

// Drive is a run of pieces from a pose.
type Drive struct {
	From   Pose    `json:"from"`
	Pieces []Piece `json:"pieces"`
}

// Length is the way driven, forwards and backwards, m.
func (d Drive) Length() float64 {
	sum := 0.0
	for _, p := range d.Pieces {
		sum += math.Abs(p.Distance)
	}
	return sum
}

// ReverseLength is the way driven backwards, m.
func (d Drive) ReverseLength() float64 {
	sum := 0.0
	for _, p := range d.Pieces {
		sum += max(0, -p.Distance)
	}
	return sum
}

// Turns is how many times the drive changes between forwards and backwards.
func (d Drive) Turns() int { return max(0, len(d.Legs())-1) }

// Legs are the runs of pieces in one direction, as index ranges [from, to).
func (d Drive) Legs() [][2]int {
	var legs [][2]int
	for i, p := range d.Pieces {
		if n := len(legs); n > 0 && (p.Distance < 0) == (d.Pieces[legs[n-1][0]].Distance < 0) {
			legs[n-1][1] = i + 1
			continue
		}
		legs = append(legs, [2]int{i, i + 1})
	}
	return legs
}

// Move is the pose after a piece, exact to rounding.
//
// The rear axle of the tow vehicle runs on a circle, x += d·sinc(κd/2)·cos(θ0 + κd/2) and the same in y, θ0 += κd. The bend
// γ = θ0 − θ1 obeys dγ/dd = κ + (κM/L1) cos γ − sin γ/L1 with κ constant; for t = tan(γ/2) that is a Riccati equation with
// constant coefficients, so (sin γ/2, cos γ/2) is moved by the exponential of a 2 × 2 matrix ([fold]). Source: rolling
// without slip; the equation in γ as in the reversing literature, its closed form derived here. Checked: SITE-30 to SITE-32
// and against [Rig.Follow].
func (r Rig) Move(p Pose, piece Piece) Pose {
	k, d := piece.Curvature, piece.Distance
	turn := k * d
	chord := d * sinc(turn/2)
	next := Pose{At: p.At.Add(geometry.Direction(p.Heading + turn/2).Scale(chord)), Heading: p.Heading + turn}
	next.Trailer = next.Heading
	if r.Towing() {
		next.Trailer -= r.foldOver(k, d).bend(p.Bend())
	}
	return next
}

func sinc(x float64) float64 {
	if math.Abs(x) < 1e-4 {
		return 1 - x*x/6
	}
	return math.Sin(x) / x
}

// fold is the map of (sin γ/2, cos γ/2) over a piece.
type fold struct{ a, b, c, d float64 }

// foldOver is exp(A·d) for
//
//	A = ½ [[−1/L1, κ(1 + M/L1)], [−κ(1 − M/L1), 1/L1]]      λ² = ¼(1/L1² + (κM/L1)² − κ²)
//
// written with cosh and sinh λd, cos and sin where λ² < 0: the turn is sharper than any the trailer can settle on.
func (r Rig) foldOver(k, d float64) fold {
	s, m := 1/r.Tongue, k*r.Hitch/r.Tongue
	square := (s*s + m*m - k*k) / 4
	var cosh, sinh float64 // sinh(λd)/λ
	switch l := math.Sqrt(math.Abs(square)); {
	case l*math.Abs(d) < 1e-6:
		cosh, sinh = 1, d
	case square > 0:
		cosh, sinh = math.Cosh(l*d), math.Sinh(l*d)/l
	default:
		sin, cos := math.Sincos(l * d)
		cosh, sinh = cos, sin/l
	}
	return fold{cosh - sinh*s/2, sinh * (k + m) / 2, -sinh * (k - m) / 2, cosh + sinh*s/2}
}

// bend is the angle after the piece that starts with angle g.
func (f fold) bend(g float64) float64 {
	s, c := math.Sincos(g / 2)
	return wrap(2 * math.Atan2(f.a*s+f.b*c, f.c*s+f.d*c))
}

// Poses are the poses at the ends of the pieces, the start first.
func (r Rig) Poses(d Drive) []Pose {
	poses := make([]Pose, 0, len(d.Pieces)+1)
	poses = append(poses, d.From)
	for _, piece := range d.Pieces {
		poses = append(poses, r.Move(poses[len(poses)-1], piece))
	}
	return poses
}

// End is the pose the drive ends in.
func (r Rig) End(d Drive) Pose {
	p := d.From
	for _, piece := range d.Pieces {
		p = r.Move(p, piece)
	}
	return p
}

// Along are poses along the drive at most step metres apart, every end of a piece among them.
func (r Rig) Along(d Drive, step float64) []Pose {
	out := []Pose{d.From}
	p := d.From
	for _, piece := range d.Pieces {
		n := max(1, int(math.Ceil(math.Abs(piece.Distance)/step)))
		for i := 1; i <= n; i++ {
			out = append(out, r.Move(p, Piece{piece.Curvature, piece.Distance * float64(i) / float64(n)}))
		}
		p = out[len(out)-1]
	}
	return out
}

// SharpestBend is the largest angle between tow vehicle and trailer on the drive, rad. With the steering held the angle
// runs one way only, so the ends of the pieces tell it.
func (r Rig) SharpestBend(d Drive) float64 {
	worst := 0.0
	for _, p := range r.Poses(d) {
		worst = max(worst, math.Abs(p.Bend()))
	}
	return worst
}

// Back is the same drive from its end to its start: what rolls without slip rolls back on its own tracks.
func (r Rig) Back(d Drive) Drive {
	back := Drive{From: r.End(d)}
	for i := len(d.Pieces) - 1; i >= 0; i-- {
		back.Pieces = append(back.Pieces, Piece{d.Pieces[i].Curvature, -d.Pieces[i].Distance})
	}
	return back
}

// Joined is the drive with neighbouring pieces of one steering and direction put together and empty ones dropped.
func (d Drive) Joined() Drive {
	out := Drive{From: d.From}
	for _, p := range d.Pieces {
		if math.Abs(p.Distance) < 1e-9 {
			continue
		}
		if n := len(out.Pieces); n > 0 {
			last := &out.Pieces[n-1]
			if math.Abs(last.Curvature-p.Curvature) < 1e-9 && (last.Distance < 0) == (p.Distance < 0) {
				last.Distance += p.Distance
				continue
			}
		}
		out.Pieces = append(out.Pieces, p)
	}
	return out
}
