package grade

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/check"
)

// ground is the lot's surface as the stage takes it.
type ground struct {
	surface terrain.Ground
	shots   int
	known   bool             // its level is in the same count as the ties
	hull    geometry.Polygon // of the shots; empty: no triangles
	says    string
}

func (g ground) at(p geometry.Point) float64 {
	z, _ := g.surface.At(p)
	return z
}

// survey makes the ground out of the shots: none, level ground whose height follows from the slab; one or two, level at their
// mean; more, triangles between them and beyond them the plane of least squares.
func (w *work) survey() error {
	shots, at := shotsOf(w.in.Ground)
	breaks := make([][]int, len(w.in.Breaks))
	for i, line := range w.in.Breaks {
		for _, v := range line {
			breaks[i] = append(breaks[i], at[v])
		}
	}
	err := w.lay(shots, breaks)
	w.Ground = w.ground.says
	return err
}

func (w *work) lay(shots []terrain.Shot, breaks [][]int) error {
	w.ground = ground{shots: len(shots), known: len(shots) > 0}
	switch {
	case len(shots) == 0:
		level := 0.0
		if tie, ok := w.meanTie(); ok {
			level = tie - w.in.Reveal.Value.Metres()
		}
		w.ground.surface = terrain.Plane{Height: level}
		w.ground.says = "no ground shots: taken as level"
		return nil
	case len(shots) < 3:
		w.ground.surface = terrain.Plane{Height: meanLevel(shots)}
		w.ground.says = fmt.Sprintf("%d ground shots: taken as level at their mean", len(shots))
		return nil
	}
	surface, hull, err := blanket(shots, breaks, w.slab, w.in.Margin.Value.Metres()+w.in.Dress.Value.Metres(), "grade.ground")
	if err != nil {
		return err
	}
	w.ground.surface, w.ground.hull = surface, hull
	w.ground.says = fmt.Sprintf("%d ground shots: triangles between them; beyond them it runs out to their mean plane", len(shots))
	if len(breaks) > 0 {
		w.ground.says = fmt.Sprintf("%d ground shots and %d breaklines: triangles between them; beyond them it runs out to their mean plane", len(shots), len(breaks))
	}
	if hull.IsEmpty() {
		w.ground.says = fmt.Sprintf("%d ground shots on one line: it slopes along them and is level across", len(shots))
	}
	return nil
}

// shotsOf is the shots of a surface, a place that was shot twice once, and for each spot its shot's position.
func shotsOf(spots []Spot) (shots []terrain.Shot, at []int) {
	seen := map[geometry.Point]int{}
	for _, s := range spots {
		i, known := seen[s.At]
		if !known {
			i = len(shots)
			seen[s.At] = i
			shots = append(shots, terrain.Shot{Name: s.Name, X: s.At.X, Y: s.At.Y, Z: s.Elevation.Value.Metres()})
		}
		at = append(at, i)
	}
	return shots, at
}

func meanLevel(shots []terrain.Shot) float64 {
	sum := 0.0
	for _, s := range shots {
		sum += s.Z
	}
	return sum / float64(len(shots))
}

// meanTie is the mean level the ties ask of the slab.
func (w *work) meanTie() (float64, bool) {
	sum, n := 0.0, 0
	for _, t := range w.in.Ties {
		sum += t.top()
		n++
	}
	return sum / math.Max(1, float64(n)), n > 0
}

// blanket lays triangles between the shots and runs them out, past everything the slab needs, to the plane of least squares.
// Shots on one line give that plane alone and no hull.
func blanket(shots []terrain.Shot, breaks [][]int, slab geometry.Polygon, margin float64, field string) (terrain.Ground, geometry.Polygon, error) {
	plane, flat := leastSquares(shots)
	inner, err := terrain.Triangulate(shots, breaks)
	var fault *terrain.Fault
	if errors.As(err, &fault) && fault.Kind == terrain.OnOneLine || err == nil && flat {
		return plane, geometry.Polygon{}, nil
	}
	if err != nil {
		return nil, geometry.Polygon{}, check.Faults{{Field: field, Why: "makes no surface: " + err.Error(), Type: "Correct or drop the shot."}}
	}
	hull := inner.Hull()
	all := append([]terrain.Shot{}, shots...)
	centre, reach := slab.Centroid(), 0.0
	for _, p := range slab.Outer {
		reach = math.Max(reach, p.Distance(centre))
	}
	for _, s := range shots {
		reach = math.Max(reach, s.Point().Distance(centre))
	}
	reach = farOut*reach + margin
	for i := range farPlaces {
		p := centre.Add(geometry.Direction(plane.Slope.Heading() + 2*math.Pi*float64(i)/farPlaces).Scale(reach))
		z, _ := plane.At(p)
		all = append(all, terrain.Shot{X: p.X, Y: p.Y, Z: z})
	}
	surface, err := terrain.Triangulate(all, append(slices.Clone(breaks), ringOf(inner)))
	if err != nil {
		return nil, geometry.Polygon{}, check.Faults{{Field: field, Why: "makes no surface: " + err.Error(), Type: "Correct or drop the shot."}}
	}
	return surface, hull, nil
}

// The plane of least squares is carried by farPlaces places round the slab, farOut times as far from its middle as the
// farthest corner or shot.
const (
	farPlaces = 8
	farOut    = 3
)

// ringOf is the hull of a surface as a closed chain of shot positions.
func ringOf(s *terrain.Surface) []int {
	at := map[geometry.Point]int{}
	for t := range s.Len() {
		for _, v := range s.Triangle(t) {
			at[s.Shots()[v].Point()] = v
		}
	}
	var ring []int
	for _, p := range s.Hull().Outer {
		ring = append(ring, at[p])
	}
	return append(ring, ring[0])
}

// thin is the spread of the shots across their line, as a share of that along it, below which nothing is known across.
const thin = 0.05

// leastSquares fits z = z̄ + g·(p − p̄) to the shots. In the shots' principal axes the two slopes part:
//
//	g_k = Σ u_k (z − z̄) / Σ u_k²
//
// Where the shots lie nearly on one line (thin), the slope across it is taken as zero and flat is true.
// Source: least squares. Accuracy: rounding.
func leastSquares(shots []terrain.Shot) (plane terrain.Plane, flat bool) {
	n := float64(len(shots))
	var c geometry.Point
	for _, s := range shots {
		c = c.Add(s.Point().Scale(1 / n))
	}
	z := meanLevel(shots)
	var xx, yy, xy float64
	for _, s := range shots {
		d := s.Point().Sub(c)
		xx, yy, xy = xx+d.X*d.X, yy+d.Y*d.Y, xy+d.X*d.Y
	}
	along := geometry.Direction(math.Atan2(2*xy, xx-yy) / 2)
	plane = terrain.Plane{Origin: c, Height: z}
	var spread [2]float64
	for k, u := range []geometry.Point{along, along.Left()} {
		num, den := 0.0, 0.0
		for _, s := range shots {
			t := u.Dot(s.Point().Sub(c))
			num, den = num+t*(s.Z-z), den+t*t
		}
		spread[k] = math.Sqrt(den)
		if spread[k] > thin*spread[0] && den > 0 {
			plane.Slope = plane.Slope.Add(u.Scale(num / den))
		} else {
			flat = true
		}
	}
	return plane, flat
}
