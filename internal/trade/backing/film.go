package backing

import (
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/draft"
)

// A film runs at filmPace, m a second, a still every filmStep metres; where a move starts the driver stops and sets the wheel for
// filmStop stills, and at the end it rests for filmRest.
const (
	filmPace = 2.5
	filmStep = 0.25
	filmStop = 4
	filmRest = 20
)

// film is the way in as a picture that moves: tow vehicle and trailer, and what the driver does.
func film(r Result) *drawing.Film {
	var poses []rollout.Pose
	var starts []int
	p := r.In.From
	for _, piece := range r.In.Pieces {
		starts = append(starts, len(poses))
		for range filmStop {
			poses = append(poses, p)
		}
		part := r.rig.Along(rollout.Drive{From: p, Pieces: []rollout.Piece{piece}}, filmStep)
		poses = append(poses, part[1:]...)
		p = part[len(part)-1]
	}
	for range filmRest {
		poses = append(poses, p)
	}
	f := &drawing.Film{Seconds: float64(len(poses)) * filmStep / filmPace, Bodies: filmBodies(r.rig, poses)}
	for i, m := range r.Moves {
		to := len(poses)
		if i+1 < len(starts) {
			to = starts[i+1]
		}
		f.Words = append(f.Words, drawing.FilmWord{From: float64(starts[i]) / float64(len(poses)), To: float64(to) / float64(len(poses)), Says: m.Says})
	}
	return f
}

// filmBodies are the bodies of the rig about their axles, through the poses.
func filmBodies(rig rollout.Rig, poses []rollout.Pose) []drawing.FilmBody {
	outline := func(b rollout.Body) []geometry.Point {
		c := b.Corners(geometry.Point{}, 0)
		return c[:]
	}
	out := []drawing.FilmBody{{Layer: draft.Vehicle, Outline: outline(rig.Tow), Ref: "tow vehicle"}}
	if rig.Towing() {
		box := outline(rig.Trailer)
		hitched := append([]geometry.Point{box[0], {X: rig.Trailer.Ahead}, {X: rig.Tongue}, {X: rig.Trailer.Ahead}}, box[1:]...)
		out = append(out, drawing.FilmBody{Layer: draft.Vehicle, Outline: hitched, Ref: "trailer"})
	}
	for _, p := range poses {
		at := []drawing.Stand{{At: p.At, Heading: p.Heading}, {At: rig.TrailerAt(p), Heading: p.Trailer}}
		for i := range out {
			b := &out[i]
			if n := len(b.Stands); n > 0 {
				at[i].Heading = b.Stands[n-1].Heading + math.Remainder(at[i].Heading-b.Stands[n-1].Heading, 2*math.Pi)
			}
			b.Stands = append(b.Stands, at[i])
		}
	}
	return out
}
