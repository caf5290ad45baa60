package plate

import (
	"context"
	"math"
	"sync"
	"testing"
)

// solveTwice solves on the mesh and on one twice as fine. It returns the finer answer and how much the governing stress moved, as a
// share: the error that is left is as a rule several times smaller.
func solveTwice(t testing.TB, s Slab, l Load, mesh Mesh) (*Result, float64) {
	first := solve(t, s, l, mesh)
	second := solve(t, s, l, halved(mesh.filled(s)))
	return second, math.Abs(governing(first)-governing(second)) / governing(second)
}

func governing(r *Result) float64 { return max(r.Top.Value, r.Bottom.Value) }

// halved is a filled mesh with elements half as long.
func halved(m Mesh) Mesh {
	m.Size, m.PerPatch = m.Size/2, min(2*m.PerPatch, mostPerPatch)
	return m
}

// roundPatch is a round patch: a polygon of 48 sides with the area of the circle.
func roundPatch(centre Point, radius, force float64) Patch {
	const sides = 48
	step := 2 * math.Pi / sides
	r := radius * math.Sqrt(step/math.Sin(step))
	p := Patch{Force: force}
	for i := range sides {
		s, c := math.Sincos(step * float64(i))
		p.Area = append(p.Area, Point{centre.X + r*c, centre.Y + r*s})
	}
	return p
}

// travelled is a drive whose worst positions are solved again on meshes made for them, with lift-off if the slab has it.
func travelled(t testing.TB, s Slab, d Drive, mesh Mesh) (*Envelope, [quantities]*Result) {
	f, err := Factor(context.Background(), s, mesh)
	must(t, err)
	search, err := f.drive(context.Background(), d)
	must(t, err)
	e := search.envelope()
	var results [quantities]*Result
	var errs [quantities]error
	var wait sync.WaitGroup
	for q, w := range e.worst() {
		wait.Go(func() { *w, results[q], errs[q] = search.solved(q) })
	}
	wait.Wait()
	for _, err := range errs {
		must(t, err)
	}
	return e, results
}

// solved solves the two worst positions for a quantity on meshes of their own and returns the worse. With lift-off, which
// the search does not know, all that were kept are solved.
func (s *search) solved(q int) (worst Worst, result *Result, err error) {
	best := s.best(q)
	if !s.f.m.slab.LiftOff {
		best = best[:min(2, len(best))]
	}
	mesh := s.f.mesh
	mesh.Around = nil
	for _, k := range best {
		p := &s.positions[k]
		r, err := Solve(context.Background(), s.f.m.slab, Load{Patches: p.patches, Temperature: s.d.Temperature}, mesh)
		if err != nil {
			return Worst{}, nil, err
		}
		value := [quantities]Extreme{r.Top, r.Bottom, r.Down}[q]
		if result == nil || value.Value > worst.Extreme.Value {
			worst, result = Worst{p.at, p.heading, p.patches, value}, r
		}
	}
	return worst, result, nil
}
