package plate

import (
	"context"
	"reflect"
	"slices"

	"slabwright/internal/engines/sparse"
)

// LiftOff is the same slab with the weight of its material, N/m³, and free to leave the soil. It shares mesh and factor, and
// costs little.
func (f *Factored) LiftOff(weight float64) (*Factored, error) {
	g, m := *f, *f.m
	m.slab.Weight, m.slab.LiftOff = weight, true
	if faults := m.slab.Validate(); len(faults) > 0 {
		return nil, faults[0]
	}
	g.m, g.weight, g.contact = &m, m.weightVector(), m.contactPoints()
	return &g, nil
}

// own is the factor of this slab.
func (f *Factored) own(ctx context.Context) (*sparse.Factor, error) {
	if f.loan {
		return f.decompose(ctx, f.full)
	}
	return f.factor, nil
}

// Changed is the same panels on the same mesh with other thickness, modulus, support, weight or stiffness of joints. Without
// thickenings, areas of other soil and holds it shares the mesh and borrows the factor of f to guide it: for a few
// solutions a third of the work of a factor of its own, which Factor makes otherwise.
func (f *Factored) Changed(ctx context.Context, s Slab) (*Factored, error) {
	old := f.m.slab
	plain := func(s Slab) bool { return len(s.Thickenings)+len(s.Soils)+len(s.Holds) == 0 }
	alike := func(a, b Joint) bool { return a.From == b.From && a.To == b.To && (a.Shear > 0) == (b.Shear > 0) }
	if !plain(s) || !plain(old) || f.m.window != nil || !slices.EqualFunc(s.Joints, old.Joints, alike) || !reflect.DeepEqual(s.Panels, old.Panels) {
		return Factor(ctx, s, f.mesh)
	}
	if faults := s.Validate(); len(faults) > 0 {
		return nil, faults[0]
	}
	m := f.m.like(s)
	recovery := *f.recovery
	recovery.thickness = []float64{s.Thickness}
	g := &Factored{m: m, mesh: f.mesh, full: f.full.Pattern().Matrix(), factor: f.factor, loan: true, weight: m.weightVector(),
		recovery: &recovery, samples: f.samples, inside: f.inside}
	m.bendingStiffness(g.full)
	m.soilStiffness(g.full)
	if s.LiftOff {
		g.contact = m.contactPoints()
	}
	return g, m.loose()
}
