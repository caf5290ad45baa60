package rollout

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// Swept is the ground under the rig's bodies over a drive, as polygons that share no area: the union of the hulls of each
// body in neighbouring poses between which no corner moves more than step metres. A hull holds all the ground between its two
// poses but the bulge of a turning corner, and bridges the hollow side of a turn by as little: step²/8 of the curvature, at 0.3 m on a 5 m circle 2 mm.
func (r Rig) Swept(d Drive, step float64) ([]geometry.Polygon, error) {
	if !(step > 0) || d.Length()/step > 20_000 {
		return nil, fmt.Errorf("rollout: swept ground of %g m in steps of %g m", d.Length(), step)
	}
	var out []geometry.Polygon
	bodies := 1
	if r.Towing() {
		bodies = 2
	}
	poses := r.swinging(d, step)
	for body := range bodies {
		hulls := make([]geometry.Polygon, 0, len(poses))
		for i := 1; i < len(poses); i++ {
			a, b := r.Bodies(poses[i-1])[body], r.Bodies(poses[i])[body]
			hulls = append(hulls, geometry.ConvexHull(append(a.Outer, b.Outer...)))
		}
		if len(hulls) == 0 {
			hulls = append(hulls, r.Bodies(d.From)[body])
		}
		out = append(out, hulls...)
	}
	all, err := unionOf(out)
	if err != nil {
		return nil, fmt.Errorf("rollout: swept ground: %w", err)
	}
	return all, nil
}

// swinging are poses along a drive between which no corner moves more than step metres.
func (r Rig) swinging(d Drive, step float64) []Pose {
	poses := []Pose{d.From}
	for _, piece := range d.Pieces {
		part := r.Along(Drive{From: poses[len(poses)-1], Pieces: []Piece{piece}}, step/r.swing(piece.Curvature))
		poses = append(poses, part[1:]...)
	}
	return poses
}

// unionOf joins neighbours first, so that the shapes joined stay small for most of the work.
func unionOf(shapes []geometry.Polygon) ([]geometry.Polygon, error) {
	groups := make([][]geometry.Polygon, len(shapes))
	for i := range shapes {
		groups[i] = shapes[i : i+1]
	}
	for len(groups) > 1 {
		half := (len(groups) + 1) / 2
		for i := range half {
			if 2*i+1 == len(groups) {
				groups[i] = groups[2*i]
				continue
			}
			joined, err := geometry.Union(append(append([]geometry.Polygon{}, groups[2*i]...), groups[2*i+1]...)...)
			if err != nil {
				return nil, err
			}
			groups[i] = joined
		}
		groups = groups[:half]
	}
	return groups[0], nil
}

// Across is where a rig's bodies cut a line over a drive: the first and last metre along the line that is under the rig at some
// time; ok is false when it never crosses.
func (r Rig) Across(poses []Pose, line geometry.Segment) (from, to float64, ok bool) {
	from, to = math.Inf(1), math.Inf(-1)
	length := line.Length()
	for _, p := range poses {
		n, at, cos, sin := r.axles(p)
		for i := range n {
			body := r.Tow
			if i == 1 {
				body = r.Trailer
			}
			b := body.box(at[i], cos[i], sin[i])
			if t0, t1, cut := b.cut(line); cut {
				from, to = min(from, t0*length), max(to, t1*length)
			}
		}
	}
	return from, to, from < to
}

// cut is the part of a line inside the box, as fractions of the line that may lie beyond its ends: the line runs on.
func (b box) cut(line geometry.Segment) (t0, t1 float64, ok bool) {
	ax, ay := b.local(line.A)
	bx, by := b.local(line.B)
	t0, t1 = math.Inf(-1), math.Inf(1)
	for _, side := range [2][3]float64{{ax, bx - ax, b.long}, {ay, by - ay, b.wide}} {
		at, slope, half := side[0], side[1], side[2]
		if slope == 0 {
			if math.Abs(at) > half {
				return 0, 0, false
			}
			continue
		}
		low, high := (-half-at)/slope, (half-at)/slope
		t0, t1 = max(t0, min(low, high)), min(t1, max(low, high))
	}
	return t0, t1, t0 < t1 && t0 < 1 && t1 > 0
}
