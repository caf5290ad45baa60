package hold

import (
	"cmp"
	"context"
	"math"
	"slices"

	"slabwright/internal/engines/quantity"
)

// Rung is one thickness that could be built, and what the worst cases use on it.
type Rung struct {
	Thickness   quantity.Length `json:"thickness"`
	Utilisation float64         `json:"utilisation"`
	Closed      float64         `json:"closed,omitempty"` // what closed forms say of it; 0: not said

	checked float64 // the thickness that was solved, m
	ratio   float64 // tension of the worst case over that at the thickness to build
}

// stepsBeside is how many steps of thickness are looked at to each side of the one to build, where nobody says which.
const stepsBeside = 2

// thicknesses are those of the ladder: the ones the closed forms judged, and the steps beside the one to build.
func (m *model) thicknesses() []quantity.Length {
	h, step := m.in.Thickness.Value, inch(m.in.Units)
	out := []quantity.Length{h}
	for _, c := range m.in.ByClosedForm {
		out = append(out, c.Thickness)
	}
	beside := stepsBeside
	if len(m.in.ByClosedForm) > 0 {
		beside = 1 // for the chance, which leans on both
	}
	for i := 1; i <= beside; i++ {
		out = append(out, h-quantity.Length(i)*step, h+quantity.Length(i)*step)
	}
	out = slices.DeleteFunc(out, func(h quantity.Length) bool { return h.Metres() < leastThickness || h.Metres() > mostThickness })
	slices.Sort(out)
	return slices.CompactFunc(out, same)
}

// same says that two thicknesses are one.
func same(a, b quantity.Length) bool { return math.Abs((a - b).Metres()) < 1e-6 }

// ladder answers the worst cases at every thickness that could be built.
func (m *model) ladder(ctx context.Context, p *plates, worst []Case) ([]Rung, error) {
	list := m.thicknesses()
	out := make([]Rung, len(list))
	return out, atOnce(len(list), func(i int) (err error) {
		changed := *m
		changed.in.Thickness.Value = list[i]
		changed.slab.Thickness = checked(changed.in)
		changed.setJoints(float64(m.in.JointStiffness.Value))
		out[i] = Rung{Thickness: list[i], checked: changed.slab.Thickness}
		for _, c := range m.in.ByClosedForm {
			if same(c.Thickness, list[i]) {
				out[i].Closed = c.Utilisation
			}
		}
		if same(list[i], m.in.Thickness.Value) {
			out[i].Utilisation, out[i].ratio = worst[0].Utilisation, 1
			return nil
		}
		out[i].Utilisation, out[i].ratio, err = use(ctx, &built{m: &changed, from: p}, worst)
		return err
	})
}

// thinnest is the least thickness of the ladder from which on every one holds; 0 if none does.
func thinnest(rungs []Rung) quantity.Length {
	var least quantity.Length
	for _, r := range slices.Backward(rungs) {
		if r.Utilisation > 1 {
			break
		}
		least = r.Thickness
	}
	return least
}

// byThickness is how the tension of the worst case goes with thickness near the one to build, in logarithms.
func byThickness(rungs []Rung, at float64) parabola {
	near := slices.DeleteFunc(slices.Clone(rungs), func(r Rung) bool { return r.ratio == 1 })
	away := func(r Rung) float64 { return math.Abs(math.Log(r.checked / at)) }
	slices.SortStableFunc(near, func(a, b Rung) int { return cmp.Compare(away(a), away(b)) })
	if len(near) < 2 {
		return parabola{slope: -2} // as 1/h², a little less than a slab on springs gains
	}
	x, y := math.Log(near[0].checked/at), math.Log(near[0].ratio)
	u, v := math.Log(near[1].checked/at), math.Log(near[1].ratio)
	return through(x, y, u, v)
}
