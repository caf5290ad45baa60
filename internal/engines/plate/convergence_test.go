package plate

import (
	"math"
	"testing"
)

// levy is the middle of a simply supported square under uniform load: w D/(q a⁴) and M/(q a²), by Lévy's single series
// (S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, art. 30; recalled).
func levy(nu float64) (w, moment float64) {
	sign := 1.0
	for m := 1.0; m < 4000; m += 2 {
		a := m * math.Pi / 2
		p := (a*math.Tanh(a) + 2) / (2 * math.Cosh(a))
		c := 4 / math.Pow(math.Pi*m, 5) * sign
		w += c * (1 - p)
		k := m * math.Pi
		xx, yy := -c*k*k*(1-p), c*k*k*(1/math.Cosh(a)-p)
		moment -= xx + nu*yy
		sign = -sign
	}
	return w, moment
}

// Observed order of the method against an exact solution. The elements promise fourth order in deflection and second in
// their own curvature; recovery lifts the moment to fourth.
func TestOrderOfConvergence(t *testing.T) {
	wantW, wantM := levy(0.3)
	var w, own, recovered []float64
	for _, cells := range []float64{8, 16, 32} {
		s := supported(slabA())
		s.Support, s.Poisson = 0, 0.3
		r := solve(t, s, Load{Patches: []Patch{Rectangle(Point{2, 2}, 4, 4, 16e3)}}, Mesh{Size: 4 / cells, PerPatch: 1})
		c := state(t, r, 0, 2, 2)
		d := s.Rigidity(s.Thickness)
		k := r.f.m.elementAt(0, Point{2.001, 2.001}, 1e-9)
		v := r.f.m.elements[k].of(r.u)
		raw := r.f.m.raw(&r.f.m.elements[k], &v, 0, 0)
		w = append(w, math.Abs(c.Deflection*d/(1e3*256)-wantW))
		recovered = append(recovered, math.Abs(c.MomentX/16e3-wantM))
		own = append(own, math.Abs(-d*(raw.xx+0.3*raw.yy)/16e3-wantM))
	}
	for _, q := range []struct {
		name  string
		error []float64
		order float64
	}{{"deflection", w, 3.8}, {"moment of the elements", own, 1.9}, {"recovered moment", recovered, 3.7}} {
		for i := 1; i < len(q.error); i++ {
			order := math.Log2(q.error[i-1] / q.error[i])
			t.Logf("%s: error %.2e to %.2e, order %.2f", q.name, q.error[i-1], q.error[i], order)
			if order < q.order {
				t.Errorf("%s: order %.2f, want %.1f", q.name, order, q.order)
			}
		}
	}
}

// On cut elements the order is the same as far as the varying cuts let it be seen: from mesh to mesh four times finer the
// deflection of a curled slab that lies across the grid gains at least 4³.
func TestOrderOfConvergenceOfCutElements(t *testing.T) {
	l := Load{Temperature: Gradient(10)}
	fine := solve(t, slabA(), l, Mesh{Size: 0.05})
	s, _, place := turned(0.5)
	var errors []float64
	for _, size := range []float64{0.6, 0.15} {
		r := solve(t, s, l, Mesh{Size: size})
		worst := 0.0
		for _, q := range []Point{{2, 2}, {0, 0}, {0, 2}, {1, 1}, {3, 0.5}} {
			p := place(q.X, q.Y)
			worst = math.Max(worst, math.Abs(state(t, r, 0, p.X, p.Y).Deflection-state(t, fine, 0, q.X, q.Y).Deflection))
		}
		errors = append(errors, worst/fine.Down.Value)
	}
	order := math.Log(errors[0]/errors[1]) / math.Log(4)
	t.Logf("error %.2e to %.2e of the deflection, order %.2f", errors[0], errors[1], order)
	if order < 3 {
		t.Errorf("order %.2f, want 3", order)
	}
}

// The contact share settles with the mesh: refining once moves it by less than the 0.008 of the check table.
func TestContactSettlesWithTheMesh(t *testing.T) {
	s := slabA()
	s.Weight, s.LiftOff = 24e3, true
	coarse := solve(t, s, Load{Temperature: Gradient(-10)}, Mesh{})
	fine := solve(t, s, Load{Temperature: Gradient(-10)}, Mesh{Size: 0.1})
	t.Logf("%.4f then %.4f, in %d and %d rounds", coarse.Contact, fine.Contact, coarse.Accuracy.Rounds, fine.Accuracy.Rounds)
	if math.Abs(coarse.Contact-fine.Contact) > 0.008 {
		t.Errorf("contact %.4f, finer %.4f", coarse.Contact, fine.Contact)
	}
	if math.Abs(coarse.Up.Value/fine.Up.Value-1) > 1e-3 {
		t.Errorf("corner %g, finer %g", coarse.Up.Value, fine.Up.Value)
	}
}

// By how much halving the mesh moves the answer covers the error that is left, for patches on mesh lines and off them.
func TestChangeCoversTheError(t *testing.T) {
	for _, around := range [][]Patch{nil, {}} {
		l := Load{Patches: []Patch{Rectangle(Point{0.1, 2.03}, 0.2, 0.2, 20e3)}}
		r, change := solveTwice(t, slabA(), l, Mesh{Around: around})
		fine := solve(t, slabA(), l, Mesh{PerPatch: 12})
		left := math.Abs(r.Bottom.Value/fine.Bottom.Value - 1)
		t.Logf("changed %.2e, left %.2e, recovery %.2e", change, left, r.Accuracy.Recovery)
		if left > change {
			t.Errorf("changed by %.2e, but %.2e is left", change, left)
		}
	}
}
