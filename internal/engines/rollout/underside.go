package rollout

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// Levels is the ground's level at a place, m; false where it is not known.
type Levels func(geometry.Point) (float64, bool)

// wheelShare is the track, outside to outside, as a share of the body's width; undersideReach is how closely the underside is
// looked at between its low points, m.
const (
	wheelShare     = 0.9
	undersideReach = 0.25
)

// Over rolls the rig over ground of known levels along poses and finds where its underside comes nearest to it; rolled is how
// many poses stood on known ground. A body lies on its wheels as a plane does, seen in the small:
//
//	z(a, s) = z_axle + pitch · a + roll · s + height
//
// a ahead of the axle and s to the left of it, m; pitch from the levels under both axles (tow vehicle) or from the hitch to the
// axle (trailer), roll from left to right wheels. Slopes of a fifth change no height by more than a fiftieth. Source: plane
// geometry. Checked: against
// [Undercarriage.Cross] on straight ways.
func (u Undercarriage) Over(poses []Pose, ground Levels) (worst Scrape, rolled int) {
	worst.Room = math.Inf(1)
	way := 0.0
	for i, p := range poses {
		if i > 0 {
			way += p.At.Distance(poses[i-1].At)
		}
		tow, ok := u.towOn(p, ground)
		if !ok {
			continue
		}
		rolled++
		tow.over(ground, u.Tow, Scrape{Station: way}, &worst)
		if trailer, ok := u.trailerOn(p, tow, ground); ok {
			trailer.over(ground, u.Trailer, Scrape{Station: way, Trailer: true}, &worst)
		}
	}
	return worst, rolled
}

// lying is a body on its wheels: level at its axle, pitch and roll as slopes.
type lying struct {
	axle               geometry.Point
	cos, sin           float64
	half               float64 // half the body's width, m
	level, pitch, roll float64
}

// wheels are the mean level under the two wheels of an axle and the slope from right to left between them.
func wheels(at geometry.Point, left geometry.Point, half float64, ground Levels) (level, roll float64, ok bool) {
	l, okL := ground(at.Add(left.Scale(half)))
	r, okR := ground(at.Sub(left.Scale(half)))
	return (l + r) / 2, (l - r) / (2 * half), okL && okR
}

func (u Undercarriage) towOn(p Pose, ground Levels) (lying, bool) {
	ahead := geometry.Direction(p.Heading)
	b := lying{axle: p.At, cos: ahead.X, sin: ahead.Y, half: u.Rig.Tow.Width / 2}
	rear, roll, okRear := wheels(p.At, ahead.Left(), b.half*wheelShare, ground)
	front, rollFront, okFront := wheels(p.At.Add(ahead.Scale(u.Rig.Wheelbase)), ahead.Left(), b.half*wheelShare, ground)
	b.level, b.pitch, b.roll = rear, (front-rear)/u.Rig.Wheelbase, (roll+rollFront)/2
	return b, okRear && okFront
}

func (u Undercarriage) trailerOn(p Pose, tow lying, ground Levels) (lying, bool) {
	if !u.Rig.Towing() {
		return lying{}, false
	}
	ahead := geometry.Direction(p.Trailer)
	b := lying{axle: u.Rig.TrailerAt(p), cos: ahead.X, sin: ahead.Y, half: u.Rig.Trailer.Width / 2}
	level, roll, ok := wheels(b.axle, ahead.Left(), b.half*wheelShare, ground)
	b.level, b.roll, b.pitch = level, roll, (tow.level-tow.pitch*u.Rig.Hitch-level)/u.Rig.Tongue
	return b, ok
}

// over holds the underside, along its middle and both sides, against the ground.
func (b lying) over(ground Levels, bottom []Low, at Scrape, worst *Scrape) {
	for i := range bottom {
		from, to := bottom[max(0, i-1)], bottom[i]
		n := max(1, int(math.Ceil(math.Abs(from.Ahead-to.Ahead)/undersideReach)))
		for j := 1; j <= n; j++ {
			t := float64(j) / float64(n)
			ahead, height := from.Ahead+t*(to.Ahead-from.Ahead), from.Height+t*(to.Height-from.Height)
			for _, side := range [3]float64{-b.half, 0, b.half} {
				q := geometry.Point{X: b.axle.X + ahead*b.cos - side*b.sin, Y: b.axle.Y + ahead*b.sin + side*b.cos}
				if z, ok := ground(q); ok {
					if room := b.level + b.pitch*ahead + b.roll*side + height - z; room < worst.Room {
						at.Room, at.What, at.Near = room, to.Name, q
						*worst = at
					}
				}
			}
		}
	}
}
