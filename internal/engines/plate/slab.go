package plate

import "math"

// Point is a place in the plane of the slab, m.
type Point struct{ X, Y float64 }

// Polygon is a closed outline, in either direction, without repeating the first corner at the end. A round edge is
// given by chords.
type Polygon []Point

// Panel is a piece of slab without joints: an outline, perhaps with holes (a box-out for a lid, a post).
type Panel struct {
	Outline Polygon
	Holes   []Polygon
}

// Slab describes what is loaded: panels of one material on soil, and what connects them.
// Where two panels touch and no joint is listed, the joint is open: nothing passes.
type Slab struct {
	Panels    []Panel
	Thickness float64 // m
	Modulus   float64 // Young's modulus E, Pa
	Poisson   float64 // Poisson's ratio ν, 0 to below 0.5
	Expansion float64 // thermal expansion α, 1/K; needed only with a temperature load
	Weight    float64 // weight of the material, N/m³; 0 for a weightless slab
	Support   float64 // soil reaction per depth, k, N/m³ (54 MPa/m is 54e6); 0 for none

	// LiftOff lets the slab leave the soil where it would have to pull. Without it the soil holds both ways.
	LiftOff bool

	Thickenings []Thickening  // later ones lie over earlier ones
	Soils       []SupportArea // later ones lie over earlier ones
	Joints      []Joint
	Holds       []Hold
}

// Thickening is an area of another thickness, like a thickened edge. The middle plane is taken as flat.
type Thickening struct {
	Area      Polygon
	Thickness float64 // m
}

// SupportArea is an area with another soil reaction, like a filled trench, or a void with 0.
type SupportArea struct {
	Area    Polygon
	Support float64 // N/m³
}

// Joint passes shear, and no moment, between the two panels on its sides.
type Joint struct {
	From, To Point
	Shear    float64 // force per length of joint and difference in deflection, N/m²
}

// Hold keeps the deflection at zero on a line along x or y, or at one point (From equal To).
type Hold struct {
	From, To Point
	Clamped  bool // the slope across the line (at a point: both slopes) is held as well
}

// Load is one load case. The weight of the slab always acts.
type Load struct {
	Patches     []Patch
	Temperature Temperature
}

// Patch is a force spread evenly over a contact area: a tyre, a jack pad.
type Patch struct {
	Area  Polygon
	Force float64 // N, down
}

// Rectangle is a patch with sides along x and y.
func Rectangle(centre Point, alongX, alongY, force float64) Patch {
	x, y := alongX/2, alongY/2
	return Patch{Force: force, Area: Polygon{
		{centre.X - x, centre.Y - y}, {centre.X + x, centre.Y - y}, {centre.X + x, centre.Y + y}, {centre.X - x, centre.Y + y},
	}}
}

// Place moves a patch given about the origin with x ahead: turned by heading (radians, anticlockwise), then shifted.
func (p Patch) Place(at Point, heading float64) Patch {
	s, c := math.Sincos(heading)
	// Quarter turns are exact, so that a turned rectangle stays along the axes.
	if quarter := heading / (math.Pi / 2); math.Abs(quarter-math.Round(quarter)) < 1e-12 {
		s, c = math.Round(s), math.Round(c)
	}
	out := Patch{Force: p.Force, Area: make(Polygon, len(p.Area))}
	for i, q := range p.Area {
		out.Area[i] = Point{at.X + c*q.X - s*q.Y, at.Y + s*q.X + c*q.Y}
	}
	return out
}

// Temperature is a profile through the depth against the temperature at which the slab was flat and free of stress:
// straight between the given levels, constant beyond the outer ones. It is the same at every place, as a share of
// the depth there.
type Temperature []Level

// Level is one point of a temperature profile.
type Level struct {
	Depth float64 // 0 at the top face to 1 at the bottom face
	Rise  float64 // K
}

// Gradient is a straight profile: the top warmer than the bottom by difference (K), the middle unchanged.
func Gradient(difference float64) Temperature {
	return Temperature{{0, difference / 2}, {1, -difference / 2}}
}

// split takes a profile apart: difference is the straight profile with the same bending, topRest and bottomRest what
// remains at the faces. The mean causes no stress in a slab that is free to grow. The integrals are exact:
//
//	mean = ∫T ds,  difference = −12 ∫T (s − 1/2) ds,  rest(s) = T − mean − difference (1/2 − s),  s depth 0..1
func (t Temperature) split() (difference, topRest, bottomRest float64) {
	if len(t) == 0 {
		return 0, 0, 0
	}
	full := append(append(Temperature{{0, t[0].Rise}}, t...), Level{1, t[len(t)-1].Rise})
	mean := 0.0
	for i := 1; i < len(full); i++ {
		a, b := full[i-1], full[i]
		ds, middle := b.Depth-a.Depth, (a.Depth+b.Depth)/2
		mean += ds * (a.Rise + b.Rise) / 2
		// Simpson's rule is exact for the product of two straight lines.
		difference -= 12 * ds / 6 * (a.Rise*(a.Depth-0.5) + 4*(a.Rise+b.Rise)/2*(middle-0.5) + b.Rise*(b.Depth-0.5))
	}
	return difference, t[0].Rise - mean - difference/2, t[len(t)-1].Rise - mean + difference/2
}

// Bays cuts a rectangular raster into panels with joints of one shear stiffness between neighbours: xs and ys are the
// joint lines including the outer edges, ascending, and have tells which bays exist (nil for all). An L-slab of three
// bays is Bays([]float64{0, 4, 8}, []float64{0, 4, 8}, func(i, j int) bool { return i == 0 || j == 0 }, shear).
func Bays(xs, ys []float64, have func(i, j int) bool, shear float64) ([]Panel, []Joint) {
	if have == nil {
		have = func(int, int) bool { return true }
	}
	in := func(i, j int) bool { return i < len(xs)-1 && j < len(ys)-1 && have(i, j) }
	var panels []Panel
	var joints []Joint
	for j := range len(ys) - 1 {
		for i := range len(xs) - 1 {
			if !in(i, j) {
				continue
			}
			a, b, c, d := Point{xs[i], ys[j]}, Point{xs[i+1], ys[j]}, Point{xs[i+1], ys[j+1]}, Point{xs[i], ys[j+1]}
			panels = append(panels, Panel{Outline: Polygon{a, b, c, d}})
			if in(i+1, j) {
				joints = append(joints, Joint{b, c, shear})
			}
			if in(i, j+1) {
				joints = append(joints, Joint{d, c, shear})
			}
		}
	}
	return panels, joints
}

// Rigidity is D = E h³ / (12 (1 − ν²)) for a thickness h, N·m.
func (s Slab) Rigidity(thickness float64) float64 {
	return s.Modulus * thickness * thickness * thickness / (12 * (1 - s.Poisson*s.Poisson))
}

// Radius is the radius of relative stiffness l = (D/k)^¼, m: the length over which the slab spreads a load
// (H. M. Westergaard, "Stresses in concrete pavements computed by theoretical analysis", Public Roads 7, 1926). It is
// infinite without support. Checked: STR-07.
func (s Slab) Radius() float64 { return math.Pow(s.Rigidity(s.Thickness)/s.Support, 0.25) }

// InwardCorners lists the corners at which a panel, or the edge of a hole, turns inward by more than a twentieth of a full
// turn, each with the panel's number. Stress there is without bound in theory: the finer the mesh the greater the value,
// and in concrete a crack starts. A joint that ends in the corner divides the panel and so removes it from the list.
func (s Slab) InwardCorners() []Extreme {
	var out []Extreme
	for k, p := range s.Panels {
		for n, loop := range append([]Polygon{p.Outline}, p.Holes...) {
			sides := outward(loop, n > 0)
			for i, a := range sides {
				b := sides[(i+1)%len(sides)]
				sign := a.nx*(a.b.Y-a.a.Y) - a.ny*(a.b.X-a.a.X) // the panel on the left is positive
				turn := math.Atan2(a.nx*b.ny-a.ny*b.nx, a.nx*b.nx+a.ny*b.ny)
				if sign < 0 {
					turn = -turn
				}
				if turn < -math.Pi/10 {
					out = append(out, Extreme{Value: -turn, Panel: k, At: b.a})
				}
			}
		}
	}
	return out
}
