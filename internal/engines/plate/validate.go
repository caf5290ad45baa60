package plate

import (
	"fmt"
	"math"
)

// Fault is one thing that cannot be computed as given: where, what was given, and what would do.
type Fault struct {
	Where string // "panel 2", "patch 1", "soil"
	Says  string // a sentence, with the value given and a remedy
}

func (f *Fault) Error() string { return "plate: " + f.Where + ": " + f.Says }

// The ranges within which a number is taken at its word. Outside them a unit has most likely been mistaken.
const (
	leastThickness, mostThickness = 0.02, 1.5    // m
	leastSupport, mostSupport     = 1e5, 3e8     // N/m³
	leastModulus, mostModulus     = 1e7, 1e12    // Pa
	mostWeight                    = 2e5          // N/m³
	mostExpansion                 = 1e-3         // 1/K
	mostRise                      = 200          // K
	mostPressure                  = 1e9          // Pa
	modulusOfPCI                  = 271447.13757 // N/m³ in one pound per cubic inch
)

// mostPerPatch bounds the elements across a patch.
const mostPerPatch = 64

type faults []error

func (f *faults) add(where, format string, v ...any) {
	*f = append(*f, &Fault{where, fmt.Sprintf(format, v...)})
}

// Validate returns everything about the slab that cannot be computed, all at once, or nil.
func (s Slab) Validate() []error {
	var f faults
	f.material(s)
	f.panels(s)
	if len(f) > 0 {
		return f
	}
	size := s.bounds().size()
	for k, t := range s.Thickenings {
		where := fmt.Sprintf("thickening %d", k+1)
		f.outline(where, t.Area, size)
		f.thickness(where, t.Thickness)
	}
	for k, a := range s.Soils {
		where := fmt.Sprintf("soil area %d", k+1)
		f.outline(where, a.Area, size)
		f.support(where, a.Support)
	}
	f.connections(s)
	return f
}

func (f *faults) material(s Slab) {
	f.thickness("slab", s.Thickness)
	f.support("soil", s.Support)
	if !(s.Modulus >= leastModulus && s.Modulus <= mostModulus) {
		f.add("slab", "a modulus of elasticity of %g Pa is outside %g to %g: concrete is near 27.6e9 Pa (4e6 psi)", s.Modulus, leastModulus, mostModulus)
	}
	if !(s.Poisson >= 0 && s.Poisson < 0.5) {
		f.add("slab", "a Poisson's ratio of %g is outside 0 to 0.5: concrete has 0.15", s.Poisson)
	}
	if !(s.Weight >= 0 && s.Weight <= mostWeight) {
		f.add("slab", "a weight of %g N/m³ is outside 0 to %g: concrete has 24000", s.Weight, float64(mostWeight))
	}
	if !(math.Abs(s.Expansion) <= mostExpansion) {
		f.add("slab", "a thermal expansion of %g per K is outside ±%g: concrete has 1e-5", s.Expansion, mostExpansion)
	}
}

func (f *faults) thickness(where string, h float64) {
	if !(h >= leastThickness && h <= mostThickness) {
		f.add(where, "a thickness of %g m is outside %g to %g m: 0.15 is 150 mm or 6 in", h, leastThickness, mostThickness)
	}
}

func (f *faults) support(where string, k float64) {
	if !(k == 0 || k >= leastSupport && k <= mostSupport) {
		f.add(where, "a support of %g N/m³ (%.4g MPa/m, %.4g pci) is outside 0.1 to 300 MPa/m: give N/m³; 1 MPa/m is 1e6, 1 pci is 271447, 0 is none",
			k, k/1e6, k/modulusOfPCI)
	}
}

func (f *faults) panels(s Slab) {
	if len(s.Panels) == 0 {
		f.add("slab", "no panels: give at least one outline")
		return
	}
	before := len(*f)
	for k, p := range s.Panels {
		where := fmt.Sprintf("panel %d", k+1)
		f.outline(where, p.Outline, p.Outline.bounds().size())
		for n, h := range p.Holes {
			f.outline(fmt.Sprintf("hole %d of panel %d", n+1, k+1), h, p.Outline.bounds().size())
		}
	}
	if len(*f) == before {
		f.overlaps(s)
	}
}

// outline checks that a polygon encloses an area without crossing itself.
func (f *faults) outline(where string, p Polygon, size float64) {
	if len(p) < 3 {
		f.add(where, "an outline of %d corners encloses nothing: give at least 3", len(p))
		return
	}
	for i, q := range p {
		if !finite(q.X, q.Y) || math.Abs(q.X) > 1e6 || math.Abs(q.Y) > 1e6 {
			f.add(where, "corner %d at (%g, %g) is no place within 1000 km", i+1, q.X, q.Y)
			return
		}
		if n := p[(i+1)%len(p)]; math.Hypot(n.X-q.X, n.Y-q.Y) < 1e-9*size {
			f.add(where, "corners %d and %d are both at (%g, %g): leave one out", i+1, (i+1)%len(p)+1, q.X, q.Y)
			return
		}
	}
	if a := p.Area(); !(a > 1e-8*size*size) {
		f.add(where, "the outline encloses %g m²", a)
	}
	edges := newRegion(p).edges
	for i := range edges {
		for k := i + 2; k < len(edges); k++ {
			if i == 0 && k == len(edges)-1 {
				continue
			}
			if _, cross := crossing(edges[i], edges[k]); cross {
				f.add(where, "side %d crosses side %d: list the corners in order around the area", i+1, k+1)
				return
			}
		}
	}
}

// overlaps checks that no place belongs to two panels, and that holes lie inside.
func (f *faults) overlaps(s Slab) {
	regions := make([]*region, len(s.Panels))
	for k, p := range s.Panels {
		regions[k] = p.region()
		outline := newRegion(p.Outline)
		taken := 0.0
		for n, h := range p.Holes {
			hole := newRegion(h)
			if inside := shared(hole, outline); inside < h.Area()*(1-1e-6) {
				f.add(fmt.Sprintf("hole %d of panel %d", n+1, k+1), "%.3g of its %.3g m² lie outside the panel: move its edge into the outline instead", h.Area()-inside, h.Area())
			}
			taken += h.Area()
		}
		if left := shared(regions[k], outline); left < (p.Outline.Area()-taken)*(1-1e-6) || left > (p.Outline.Area()-taken)*(1+1e-6) {
			f.add(fmt.Sprintf("panel %d", k+1), "its holes overlap each other")
		}
	}
	for i := range regions {
		for k := range i {
			if common := shared(regions[i], regions[k]); common > 1e-6*min(s.Panels[i].Outline.Area(), s.Panels[k].Outline.Area()) {
				f.add(fmt.Sprintf("panel %d", i+1), "%.3g m² of it also belong to panel %d: panels may touch, not overlap", common, k+1)
			}
		}
	}
}

func shared(a, b *region) float64 {
	if !a.bounds.meets(b.bounds) {
		return 0
	}
	sum := 0.0
	for _, p := range quadrature(a.bounds, a, b) {
		sum += p.weight
	}
	return sum
}

func (f *faults) connections(s Slab) {
	for k, j := range s.Joints {
		where := fmt.Sprintf("joint %d", k+1)
		if !finite(j.From.X, j.From.Y, j.To.X, j.To.Y) || j.From == j.To {
			f.add(where, "it runs from (%g, %g) to (%g, %g): give two different places", j.From.X, j.From.Y, j.To.X, j.To.Y)
		}
		if !(j.Shear >= 0 && j.Shear <= 1e15) {
			f.add(where, "a shear stiffness of %g N/m² is outside 0 (open) to 1e15", j.Shear)
		}
	}
	for k, h := range s.Holds {
		where := fmt.Sprintf("hold %d", k+1)
		if !finite(h.From.X, h.From.Y, h.To.X, h.To.Y) || h.From.X != h.To.X && h.From.Y != h.To.Y {
			f.add(where, "it runs from (%g, %g) to (%g, %g): a hold runs along x or along y", h.From.X, h.From.Y, h.To.X, h.To.Y)
		}
	}
	if s.LiftOff && s.Weight == 0 {
		f.add("slab", "hold-down weight missing: a slab that may lift off its soil needs its weight (24000 N/m³ for concrete)")
	}
}

// Validate returns everything about the mesh that cannot be used, or nil. Zero values stand for defaults.
func (m Mesh) Validate() []error {
	var f faults
	if !(m.Size >= 0) || math.IsInf(m.Size, 0) {
		f.add("mesh", "an element size of %g m: give a length, or 0 for the default", m.Size)
	}
	if m.PerPatch < 0 || m.PerPatch > mostPerPatch {
		f.add("mesh", "%d elements across a patch are outside 0 (default) to %d", m.PerPatch, mostPerPatch)
	}
	if m.Growth != 0 && !(m.Growth >= 1.05 && m.Growth <= 4) {
		f.add("mesh", "a growth of %g is outside 1.05 to 4 (0 for the default)", m.Growth)
	}
	return append(f, Load{Patches: m.Around}.Validate()...)
}

// Validate returns everything about the load that cannot be computed, or nil. Whether patches lie on the slab is found
// when they are placed.
func (l Load) Validate() []error {
	var f faults
	for k, p := range l.Patches {
		where := fmt.Sprintf("patch %d", k+1)
		if len(p.Area) >= 3 && p.Area.Area() == 0 {
			f.add(where, "a contact area of 0 m²: the pressure would be infinite; give the size of the tyre print or pad")
			continue
		}
		before := len(f)
		f.outline(where, p.Area, p.Area.bounds().size())
		if len(f) == before && !(math.Abs(p.Force)/p.Area.Area() <= mostPressure) {
			f.add(where, "a force of %g N on %.3g m² is no pressure below %g Pa", p.Force, p.Area.Area(), float64(mostPressure))
		}
	}
	for k, v := range l.Temperature {
		where := fmt.Sprintf("temperature level %d", k+1)
		if !(v.Depth >= 0 && v.Depth <= 1) || k > 0 && !(v.Depth > l.Temperature[k-1].Depth) {
			f.add(where, "depth %g: levels go down from 0 (top face) to 1 (bottom face)", v.Depth)
		}
		if !(math.Abs(v.Rise) <= mostRise) {
			f.add(where, "a rise of %g K is outside ±%d K", v.Rise, mostRise)
		}
	}
	return f
}
