package plate

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"slabwright/internal/engines/sparse"
)

// position is one place of the vehicle and what it does there.
type position struct {
	at      Point
	heading float64
	patches []Patch // on the slab
	valid   bool
	peak    Peaks
}

// search is the state of a drive over a factored slab.
type search struct {
	f         *Factored
	d         Drive
	factor    *sparse.Factor
	shape     *Result   // carries the temperature
	base      []float64 // weight and temperature
	field     [][quantities]float64
	positions []position
}

func (f *Factored) drive(ctx context.Context, d Drive) (*search, error) {
	if faults := d.Validate(); len(faults) > 0 {
		return nil, faults[0]
	}
	if d.Headings == nil {
		d.Headings = []float64{0, math.Pi / 2, math.Pi, 3 * math.Pi / 2}
	}
	if d.Step == 0 {
		d.Step = f.m.slab.Radius() / 2
		if b := f.m.slab.bounds().size(); !(d.Step < b/4) {
			d.Step = b / 4
		}
	}
	l := Load{Temperature: d.Temperature}
	base, err := f.vector(l)
	if err != nil {
		return nil, err
	}
	factor, err := f.own(ctx)
	if err != nil {
		return nil, err
	}
	s := &search{f: f, d: d, factor: factor, shape: f.result(l), base: base, field: newField(len(f.m.nodes))}
	first := s.f.m.raster(d)
	if len(first) > mostPositions {
		return nil, &Fault{"vehicle", fmt.Sprintf("a step of %.3g m makes %d positions, more than %d: give a longer step or fewer headings", d.Step, len(first), mostPositions)}
	}
	if err := s.try(ctx, first); err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(s.positions, func(p position) bool { return p.valid }) {
		return nil, &Fault{"vehicle", "it finds no place with each contact area wholly on or wholly off the slab: is the slab smaller than one of them?"}
	}
	for step := d.Step / 2; step > d.Step/9; step /= 2 {
		if err := s.try(ctx, s.around(step)); err != nil {
			return nil, err
		}
	}
	return s, nil
}

func newField(n int) [][quantities]float64 {
	field := make([][quantities]float64, n)
	for k := range field {
		field[k] = [quantities]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	}
	return field
}

// mostPositions bounds the first raster.
const mostPositions = 50_000

// kept is how many of the worst positions for each quantity are narrowed down.
const kept = 4

// best lists the kept worst positions for a quantity, no two closer than half a step with one heading.
func (s *search) best(q int) []int {
	order := make([]int, 0, len(s.positions))
	for k := range s.positions {
		if s.positions[k].valid {
			order = append(order, k)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(s.positions[b].peak[q].Value, s.positions[a].peak[q].Value)
	})
	var out []int
	for _, k := range order {
		p := &s.positions[k]
		near := func(o int) bool {
			r := &s.positions[o]
			return r.heading == p.heading && math.Hypot(r.at.X-p.at.X, r.at.Y-p.at.Y) < s.d.Step/2
		}
		if !slices.ContainsFunc(out, near) {
			if out = append(out, k); len(out) == kept {
				break
			}
		}
	}
	return out
}

// around are the eight neighbours of the best positions at a distance.
func (s *search) around(step float64) []position {
	var out []position
	for q := range quantities {
		for _, k := range s.best(q) {
			p := &s.positions[k]
			for dx := -1.0; dx <= 1; dx++ {
				for dy := -1.0; dy <= 1; dy++ {
					if dx != 0 || dy != 0 {
						out = append(out, position{at: Point{p.at.X + dx*step, p.at.Y + dy*step}, heading: p.heading})
					}
				}
			}
		}
	}
	return distinct(out)
}

// distinct leaves out positions within a millimetre of an earlier one.
func distinct(list []position) []position {
	type key struct {
		heading float64
		x, y    int64
	}
	seen := make(map[key]bool, len(list))
	return slices.DeleteFunc(list, func(p position) bool {
		k := key{p.heading, int64(math.Round(p.at.X * 1e3)), int64(math.Round(p.at.Y * 1e3))}
		before := seen[k]
		seen[k] = true
		return before
	})
}

// chunk is the number of positions that a worker takes at a time.
const chunk = 32

// try computes positions on all cores and keeps them.
func (s *search) try(ctx context.Context, list []position) error {
	var wait sync.WaitGroup
	var lock sync.Mutex
	var failed error
	chunks := make(chan []position)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			field := newField(len(s.field))
			for part := range chunks {
				if err := s.compute(ctx, part, field); err != nil {
					lock.Lock()
					failed = err
					lock.Unlock()
				}
			}
			lock.Lock()
			defer lock.Unlock()
			for k := range field { // the greatest of all is the same whatever the order
				for q := range quantities {
					s.field[k][q] = max(s.field[k][q], field[k][q])
				}
			}
		})
	}
	for part := range slices.Chunk(list, chunk) {
		if ctx.Err() != nil {
			break
		}
		chunks <- part
	}
	close(chunks)
	wait.Wait()
	s.positions = append(s.positions, list...)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return failed
}

func (s *search) compute(ctx context.Context, part []position, field [][quantities]float64) error {
	var answers [][]float64
	var which []int
	for k := range part {
		v := append([]float64(nil), s.base...)
		if part[k].valid = s.place(&part[k], v); part[k].valid {
			s.f.release(v, s.f.full)
			answers, which = append(answers, v), append(which, k)
		}
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if _, err := s.factor.SolveSum(answers); err != nil {
		return s.f.named(err)
	}
	for n, k := range which {
		part[k].peak = s.shape.peaks(answers[n], part[k].patches, field, nil)
	}
	return nil
}

// place puts the vehicle on the slab and tells whether every patch is wholly on or wholly off it.
func (s *search) place(p *position, v []float64) bool {
	for _, patch := range s.d.Patches {
		patch = patch.Place(p.at, p.heading)
		switch covered := s.f.m.spread(v, patch); {
		case covered > 1-onSlab:
			p.patches = append(p.patches, patch)
		case covered > onSlab:
			return false
		}
	}
	return len(p.patches) > 0
}

func (s *search) envelope() *Envelope {
	e := &Envelope{}
	for q, w := range e.worst() {
		p := &s.positions[s.best(q)[0]]
		*w = Worst{At: p.at, Heading: p.heading, Patches: p.patches, Extreme: p.peak[q]}
	}
	for n, nd := range s.f.m.nodes {
		if v := s.field[n]; s.f.inside[n] {
			e.Field = append(e.Field, Peak{nd.panel, Point{s.f.m.xs[nd.i], s.f.m.ys[nd.j]}, v[0], v[1], v[2]})
		}
	}
	for _, p := range s.positions {
		if p.valid {
			e.Positions++
		} else if len(p.patches) > 0 {
			e.Straddling++
		}
	}
	return e
}
