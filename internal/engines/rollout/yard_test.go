package rollout

import (
	"math"
	"math/rand/v2"

	"slabwright/internal/engines/geometry"
)

func pt(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }

// longPickup with a travel trailer of 26 ft.
func travelTrailer() Rig {
	return Rig{Wheelbase: 3.7, Lock: 30 * math.Pi / 180, Tow: Body{Ahead: 4.6, Behind: 1.1, Width: 2.0, Height: 2},
		Hitch: 1.2, Tongue: 5.5, Trailer: Body{Ahead: 4.6, Behind: 2.7, Width: 2.44, Height: 3.2}, Fold: 78 * math.Pi / 180}
}

// yard is a street along y = 0, a fence line with a gate, a house, and scattered posts and trees; the pad lies behind the gate.
func yard(gate float64, posts int) []Obstacle {
	at := 24.0
	out := []Obstacle{
		{Name: "fence west", Line: []geometry.Point{pt(-40, 7), pt(at-gate/2, 7)}},
		{Name: "fence east", Line: []geometry.Point{pt(at+gate/2, 7), pt(80, 7)}},
		{Name: "house", Solid: true, Line: []geometry.Point{pt(4, 10), pt(19, 10), pt(19, 20), pt(4, 20)}},
		{Name: "far curb", Line: []geometry.Point{pt(-30, -5), pt(70, -5)}},
		{Name: "back fence", Line: []geometry.Point{pt(-40, 35), pt(80, 35)}},
		{Name: "side fence", Line: []geometry.Point{pt(33, 7), pt(33, 35)}},
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for len(out) < posts {
		p := pt(rng.Float64()*45, 8+rng.Float64()*27)
		if math.Abs(p.X-24) < 4.2 || (p.X > 19 && p.X < 29 && p.Y < 12) {
			continue
		}
		out = append(out, Obstacle{Name: "tree", At: p, Radius: 0.1 + 0.3*rng.Float64()})
	}
	return out
}

func street(x0, x1, y float64) []Berth {
	return []Berth{{Line: geometry.Segment{A: pt(x0, y), B: pt(x1, y)}, Heading: 0, Either: true}}
}

func yardTask(gate float64) Task {
	r := travelTrailer()
	return Task{Rig: r, Obstacles: yard(gate, 30), From: r.TrailerPose(pt(24, 22), -math.Pi/2, 0), To: street(-15, 60, 1),
		Side: 1.5, Turn: 8 * math.Pi / 180, Bend: 8 * math.Pi / 180, Within: geometry.Box{Min: pt(-25, -5), Max: pt(65, 35)},
		Margin: 0.3, Room: 0.9, Costs: UsualCosts(), Lattice: UsualLattice(), Greed: 1.5, Most: 3_000_000}
}

// narrowYard is the yard on a street of 9.2 m, where the way in takes two pull-forwards.
func narrowYard() Task {
	k := yardTask(4)
	for i := range k.Obstacles {
		if k.Obstacles[i].Name == "far curb" {
			k.Obstacles[i].Line = []geometry.Point{pt(-30, -2.2), pt(70, -2.2)}
		}
	}
	k.To = street(-15, 60, 2.4)
	return k
}
