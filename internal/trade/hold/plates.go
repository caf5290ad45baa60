package hold

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
)

// plates is the slab taken apart once, on a mesh that is as fine everywhere: all places of all loads are answered from it.
type plates struct {
	m       *model
	flat    *plate.Factored // weightless, on ground that holds both ways: on even ground that changes no stress
	lifting *plate.Factored // with its weight, free to leave the ground
	day     *plate.Result   // curled on a hot afternoon, nothing on it
	dawn    *plate.Result
}

// searchMesh is how many elements the mesh has in a radius of relative stiffness: enough to rank places, and for all that is
// not right under a print.
const searchMesh = 3

func (m *model) plates(ctx context.Context) (*plates, error) {
	p := &plates{m: m}
	var err error
	if p.flat, err = plate.Factor(ctx, m.slab, plate.Mesh{Size: m.pitch, Growth: 2}); err != nil {
		return nil, err
	}
	p.lifting, err = p.flat.LiftOff(concreteWeight)
	return p, err
}

// curl finds how the slab lies with nothing on it on a hot afternoon and at dawn.
func (p *plates) curl(ctx context.Context) error {
	return atOnce(2, func(i int) (err error) {
		into, difference := &p.day, float64(p.m.in.DayWarm.Value)
		if i == 1 {
			into, difference = &p.dawn, -float64(p.m.in.DawnCold.Value)
		}
		*into, err = p.lifting.Solve(ctx, plate.Load{Temperature: plate.Gradient(difference)})
		return err
	})
}

// whole answers a case over the whole slab, and its greatest tension: to a few in a hundred, for no mesh line lies on a print.
func (p *plates) whole(ctx context.Context, c Case) (*plate.Result, float64, error) {
	f, near := p.flat, (*plate.Result)(nil)
	switch {
	case c.Difference > 0:
		f, near = p.lifting, p.day
	case c.Difference < 0:
		f, near = p.lifting, p.dawn
	}
	return p.m.answer(ctx, f, near, c)
}

func (m *model) answer(ctx context.Context, f *plate.Factored, near *plate.Result, c Case) (*plate.Result, float64, error) {
	on, _ := m.placed(c.spot, m.vehicle(c.spot))
	load := plate.Load{Patches: on}
	if c.Difference != 0 {
		load.Temperature = plate.Gradient(c.Difference)
	}
	r, err := f.SolveFrom(ctx, near, load)
	if err != nil {
		return nil, 0, fmt.Errorf("hold: %s: %w", c.Says, err)
	}
	bottom, top := m.extremes(r)
	return r, math.Max(bottom.Value, top.Value), nil
}

// built is the same slab built otherwise, on the same mesh. It takes up the answers of cases on p where they are near.
type built struct {
	m             *model
	from          *plates
	flat, lifting *plate.Factored // nil until a case needs it
}

// rough is the greatest tension of a case on the search mesh, over what it was before: the error of the mesh falls out.
func (b *built) rough(ctx context.Context, c Case) (float64, error) {
	f, base, s := &b.flat, b.from.flat, b.m.slab
	if c.Difference != 0 {
		f, base = &b.lifting, b.from.lifting
		s.Weight, s.LiftOff = concreteWeight, true
	}
	if *f == nil {
		var err error
		if *f, err = base.Changed(ctx, s); err != nil {
			return 0, err
		}
	}
	_, tension, err := b.m.answer(ctx, *f, c.whole, c)
	return math.Max(tension, 1) / c.rough, err
}

// closer is a case answered over the whole slab and again in windows around its worst places, on meshes made for its prints.
type closer struct {
	whole       *plate.Result
	windows     []*plate.Result
	bottom, top plate.Extreme
}

// windowReach is how far a window reaches from its middle, in radii of relative stiffness; rival how near, as a share, the
// first answer under another print must come to the worst for a window of its own.
const (
	windowReach = 1.5
	rival       = 0.93
)

// look answers a case and fills it in.
func (p *plates) look(ctx context.Context, c *Case, mesh plate.Mesh) (closer, error) {
	r, rough, err := p.whole(ctx, *c)
	if err != nil {
		return closer{}, err
	}
	out := closer{whole: r}
	if err := out.zoom(ctx, p.m, c.spot, mesh); err != nil {
		return closer{}, fmt.Errorf("hold: %s: %w", c.Says, err)
	}
	c.rough, c.whole = math.Max(rough, 1), r
	p.m.fill(c, out)
	return out, nil
}

func (a *closer) zoom(ctx context.Context, m *model, s spot, mesh plate.Mesh) error {
	bottom, top := m.extremes(a.whole)
	reach := windowReach * m.slab.Radius()
	places := []plate.Point{bottom.At}
	on, _ := m.placed(s, m.vehicle(s))
	near := func(at plate.Point) bool {
		return slices.ContainsFunc(places, func(q plate.Point) bool { return math.Hypot(q.X-at.X, q.Y-at.Y) < reach/2 })
	}
	for _, print := range on {
		if e := a.whole.Under(print, m.cornerRounds()); e.Value >= rival*bottom.Value && !near(e.At) {
			places = append(places, e.At)
		}
	}
	topToo := top.Value >= rival*bottom.Value
	if topToo && !near(top.At) {
		places = append(places, top.At)
	}
	a.bottom, a.top = plate.Extreme{Value: math.Inf(-1)}, plate.Extreme{Value: math.Inf(-1)}
	if !topToo {
		a.top = top
	}
	for _, at := range places {
		w, err := a.whole.Zoom(ctx, at, reach, mesh)
		if err != nil {
			return err
		}
		b, t := m.extremes(w)
		if b.Value > a.bottom.Value {
			a.bottom = b
		}
		if t.Value > a.top.Value {
			a.top = t
		}
		a.windows = append(a.windows, w)
	}
	return nil
}

// fill writes down what was found of a case.
func (m *model) fill(c *Case, a closer) {
	worst, face := a.bottom, "bottom"
	if a.top.Value > worst.Value {
		worst, face = a.top, "top"
	}
	_, limit := m.limit(c.spot.kind)
	if c.Difference != 0 {
		limit = float64(m.in.Flexural.Value) / float64(m.in.SafetyRare.Value)
	}
	c.Panel, c.At, c.Face = m.in.Panels[worst.Panel].Number, geometry.Point{X: worst.At.X, Y: worst.At.Y}, face
	c.Vehicle, c.Heading, c.Posts, c.Prints = c.spot.at, c.spot.heading, c.spot.posts, nil
	on, _ := m.placed(c.spot, m.vehicle(c.spot))
	for _, p := range on {
		c.Prints = append(c.Prints, centre(p))
	}
	c.Stress, c.Limit = quantity.Stress(math.Max(worst.Value, 0)), quantity.Stress(limit)
	c.Utilisation = float64(c.Stress) / limit
	c.Deflection, c.Contact = quantity.Length(a.whole.Down.Value), a.whole.Contact
	for _, closed := range m.in.ClosedForms {
		if closed.Name == c.Name {
			c.Closed = closed.Stress
		}
	}
}

// atOnce does independent things on all cores, each in its own place, and returns the first error in their order.
func atOnce(n int, do func(i int) error) error {
	errs := make([]error, n)
	var wait sync.WaitGroup
	for i := range n {
		wait.Go(func() { errs[i] = do(i) })
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
