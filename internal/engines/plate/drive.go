package plate

import (
	"context"
)

// Drive moves patches together over a slab: the tyres of a vehicle, the feet of a jack stand.
type Drive struct {
	Patches  []Patch   // about the origin, x ahead
	Headings []float64 // radians from x; nil stands for the four along the axes
	// Step is the distance between positions along edges and joints, m; in the open twice as much is taken. 0 stands for
	// half the radius of relative stiffness. The worst positions are then narrowed down to an eighth of it.
	Step        float64
	Temperature Temperature // acts all the time
}

// Worst is the worst position for one quantity.
type Worst struct {
	At      Point   // where the origin of the vehicle is
	Heading float64 // radians from x
	Patches []Patch // those on the slab there
	Extreme Extreme // the greatest value, and where in the slab
}

// Peak is the greatest of each quantity at one place over all positions.
type Peak struct {
	Panel             int
	At                Point
	Top, Bottom, Down float64 // Pa, Pa, m
}

// Envelope is what a drive does to a slab.
type Envelope struct {
	Top, Bottom, Down Worst
	Field             []Peak // every node of the mesh
	Positions         int    // computed
	Straddling        int    // left out, with a patch partly off the slab
}

// Drive finds the worst positions of a drive from coarse to fine. First the vehicle is put on a raster and against every edge,
// joint and corner; then the worst are narrowed down. All are answered from the one factorisation at hand, with the soil
// holding everywhere. Patches that are off the slab are taken as gone; positions in which one is partly on it are left out,
// the one against the edge being worse.
func (f *Factored) Drive(ctx context.Context, d Drive) (*Envelope, error) {
	search, err := f.drive(ctx, d)
	if err != nil {
		return nil, err
	}
	return search.envelope(), nil
}

func (e *Envelope) worst() [quantities]*Worst { return [quantities]*Worst{&e.Top, &e.Bottom, &e.Down} }

// Validate returns everything about the drive that cannot be computed, or nil.
func (d Drive) Validate() []error {
	f := faults(Load{Patches: d.Patches, Temperature: d.Temperature}.Validate())
	if len(d.Patches) == 0 {
		f.add("vehicle", "it has no contact areas: give at least one")
	}
	if !(d.Step >= 0 && d.Step <= 1e3) || d.Step > 0 && d.Step < 1e-3 {
		f.add("vehicle", "a step of %g m is outside 0.001 to 1000 (0 for the default)", d.Step)
	}
	if !finite(d.Headings...) {
		f.add("vehicle", "headings %v hold something that is no angle", d.Headings)
	}
	return f
}
