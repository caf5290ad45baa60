package plate

import (
	"context"
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"
)

//go:embed testdata/checks.csv
var checks string

// slabA is the reference slab of the check table: 4 × 4 m, free on all sides.
func slabA() Slab {
	return Slab{Panels: []Panel{{Outline: Polygon{{0, 0}, {4, 0}, {4, 4}, {0, 4}}}},
		Thickness: 0.15, Modulus: 27.6e9, Poisson: 0.15, Support: 54e6, Expansion: 1e-5}
}

type numbers map[string]float64

// calculations answer the rows of the check table, by name.
var calculations = map[string]func(t *testing.T, in numbers) numbers{
	"radius": func(t *testing.T, in numbers) numbers { return numbers{"l": slabA().Radius()} },
	"disc": func(t *testing.T, in numbers) numbers {
		w, s, err := boundlessA().UnderDisc(in["force"], in["a"])
		must(t, err)
		return numbers{"w": w, "tension": s}
	},
	"point": func(t *testing.T, in numbers) numbers {
		w, err := boundlessA().UnderPoint(in["force"], 0)
		must(t, err)
		return numbers{"w": w}
	},
	"supported-square":  supportedSquare,
	"curl":              curl,
	"patch":             patchOnA,
	"joint":             joint,
	"free-curl":         freeCurl,
	"open-joint":        openJoint,
	"supported-on-soil": supportedOnSoil,
}

func boundlessA() Boundless {
	return Boundless{Thickness: 0.15, Modulus: 27.6e9, Poisson: 0.15, Support: 54e6}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func solve(t testing.TB, s Slab, l Load, m Mesh) *Result {
	t.Helper()
	r, err := Solve(context.Background(), s, l, m)
	must(t, err)
	balanced(t, r)
	return r
}

// balanced holds every answer to what every answer must do.
func balanced(t interface {
	Helper()
	Errorf(string, ...any)
}, r *Result) {
	t.Helper()
	b := r.Balance
	if r.Status != Solved || !(b.Force < 1e-8) || !(b.Moment < 1e-8) || !(b.Energy < 1e-8) || !(r.Accuracy.Residual < 1e-9) {
		t.Errorf("status %d, out of balance: force %.2g, moment %.2g, energy %.2g, residual %.2g", r.Status, b.Force, b.Moment, b.Energy, r.Accuracy.Residual)
	}
}

func state(t testing.TB, r *Result, panel int, x, y float64) State {
	t.Helper()
	s, err := r.At(panel, Point{x, y})
	must(t, err)
	return s
}

// supported holds the edges of slab A.
func supported(s Slab) Slab {
	p := s.Panels[0].Outline
	for i, a := range p {
		s.Holds = append(s.Holds, Hold{From: a, To: p[(i+1)%len(p)]})
	}
	return s
}

func supportedSquare(t *testing.T, in numbers) numbers {
	s := supported(slabA())
	s.Support, s.Poisson = 0, in["nu"]
	const q, a = 1e3, 4.0
	r := solve(t, s, Load{Patches: []Patch{Rectangle(Point{2, 2}, a, a, q*a*a)}}, Mesh{Size: a / in["cells"], PerPatch: 1})
	c := state(t, r, 0, 2, 2)
	return numbers{"w": c.Deflection * s.Rigidity(s.Thickness) / (q * a * a * a * a), "m": c.MomentX / (q * a * a)}
}

func curl(t *testing.T, in numbers) numbers {
	s := slabA()
	s.Weight, s.LiftOff = in["weight"], in["lift"] == 1
	r := solve(t, s, Load{Temperature: Gradient(in["difference"])}, Mesh{Size: 0.1})
	c, m := state(t, r, 0, 2, 2), state(t, r, 0, 0, 2)
	return numbers{"w_centre": c.Deflection, "w_mid": m.Deflection, "w_corner": state(t, r, 0, 0, 0).Deflection,
		"s_centre": c.Bottom.X, "s_mid": m.Bottom.Y, "contact": r.Contact, "reaction": r.Balance.Soil}
}

func patchOnA(t *testing.T, in numbers) numbers {
	r := solve(t, slabA(), Load{Patches: []Patch{Rectangle(Point{in["x"], in["y"]}, 0.2, 0.2, 20e3)}}, Mesh{})
	c, m := state(t, r, 0, 2, 2), state(t, r, 0, 0, 2)
	top, far := 0.0, 0.0
	for d := 0.2; d < 2; d += 0.01 {
		if g, _, _ := state(t, r, 0, d/math.Sqrt2, d/math.Sqrt2).Top.Principal(); g > top {
			top, far = g, d
		}
	}
	return numbers{"w_centre": c.Deflection, "sx_centre": c.Bottom.X, "w_mid": m.Deflection, "sx_mid": m.Bottom.X, "sy_mid": m.Bottom.Y,
		"w_corner": state(t, r, 0, 0, 0).Deflection, "w_quarter": state(t, r, 0, 0, 1).Deflection, "w_along": state(t, r, 0, 1, 0).Deflection,
		"top_diagonal": top, "r_diagonal": far}
}

func twoPanels(r float64) Slab {
	s := slabA()
	s.Panels, s.Joints = Bays([]float64{0, 3, 6}, []float64{0, 4}, nil, r*s.Support*s.Radius())
	return s
}

func joint(t *testing.T, in numbers) numbers {
	r := solve(t, twoPanels(in["r"]), Load{Patches: []Patch{Rectangle(Point{2.9, 2}, 0.2, 0.2, 20e3)}}, Mesh{})
	l, u := state(t, r, 0, 3, 2), state(t, r, 1, 3, 2)
	return numbers{"w_l": l.Deflection, "w_u": u.Deflection, "lte": u.Deflection / l.Deflection, "s_l": l.Bottom.Y, "s_u": u.Bottom.Y}
}

func freeCurl(t *testing.T, _ numbers) numbers {
	s := slabA()
	s.Panels[0].Outline = Polygon{{0, 0}, {3, 0}, {3, 3}, {0, 3}}
	s.Thickness, s.Modulus, s.Support = 0.125, 25e9, 0
	s.Holds = []Hold{{Point{1.5, 1.5}, Point{1.5, 1.5}, true}}
	r := solve(t, s, Load{Temperature: Gradient(-8)}, Mesh{})
	return numbers{"w_corner": state(t, r, 0, 0, 0).Deflection, "stress": max(r.Top.Value, r.Bottom.Value)}
}

// openJoint compares, all on one mesh: the loaded one of two panels with an open joint and a single panel; the far panel
// with rest; and, for several joints, the sums over both sides with the free edge.
func openJoint(t *testing.T, _ numbers) numbers {
	load := Load{Patches: []Patch{Rectangle(Point{2.9, 2}, 0.2, 0.2, 20e3)}}
	lone := twoPanels(0)
	lone.Panels = lone.Panels[:1]
	lone.Joints = nil
	mesh := Mesh{Size: 0.2, Growth: 4}
	one := state(t, solve(t, lone, load, mesh), 0, 3, 2)
	// The mirror image of the near panel's mesh lies on the far panel if both carry a patch there.
	far := Rectangle(Point{3.1, 2}, 0.2, 0.2, 1)
	mesh.Around = append([]Patch{far}, load.Patches...)
	two := solve(t, twoPanels(0), load, mesh)
	out := numbers{"difference": state(t, two, 0, 3, 2).Deflection/one.Deflection - 1, "far": state(t, two, 1, 3, 2).Deflection}
	free := state(t, two, 0, 3, 2)
	for _, r := range []float64{0.1, 3, 100} {
		res := solve(t, twoPanels(r), load, mesh)
		l, u := state(t, res, 0, 3, 2), state(t, res, 1, 3, 2)
		out["sum_w"] = max(out["sum_w"], math.Abs((l.Deflection+u.Deflection)/free.Deflection-1))
		out["sum_s"] = max(out["sum_s"], math.Abs((l.Bottom.Y+u.Bottom.Y)/free.Bottom.Y-1))
	}
	return out
}

func supportedOnSoil(t *testing.T, _ numbers) numbers {
	r := solve(t, supported(slabA()), Load{Patches: []Patch{Rectangle(Point{2, 2}, 0.2, 0.2, 20e3)}}, Mesh{})
	c := state(t, r, 0, 2, 2)
	return numbers{"w": c.Deflection, "s": c.Bottom.X}
}

func TestChecks(t *testing.T) {
	reader := csv.NewReader(strings.NewReader(checks))
	rows, err := reader.ReadAll()
	must(t, err)
	if want := "id what calculation inputs expect tolerance why source"; strings.Join(rows[0], " ") != want {
		t.Fatalf("columns are %v, want %s", rows[0], want)
	}
	seen := map[string]bool{}
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) {
			if seen[row[0]] || row[6] == "" {
				t.Fatal("an id twice, or no reason for the tolerance")
			}
			seen[row[0]] = true
			calculation, ok := calculations[row[2]]
			if !ok {
				t.Fatalf("no calculation %q", row[2])
			}
			got := calculation(t, parse(t, row[3], "="))
			expect := parse(t, row[4], "=")
			relative, absolute := parse(t, row[5], "~"), parse(t, row[5], "±")
			for name, want := range expect {
				limit, ok := absolute[name]
				if r, rel := relative[name]; rel {
					limit, ok = r*math.Abs(want), true
				}
				v, given := got[name]
				if !ok || !given {
					t.Errorf("%s: no tolerance or no such number", name)
				}
				if !(math.Abs(v-want) <= limit) {
					t.Errorf("%s: %.7g, want %.7g ± %.2g", name, v, want, limit)
				}
				t.Logf("%s: %.7g, expected %.7g, off by %.2g of %.2g", name, v, want, v-want, limit)
			}
		})
	}
}

// parse reads "name=value; name=value" with the given sign, leaving out parts with another sign.
func parse(t *testing.T, text, sign string) numbers {
	out := numbers{}
	for part := range strings.SplitSeq(text, ";") {
		name, value, ok := strings.Cut(strings.TrimSpace(part), sign)
		if !ok {
			continue
		}
		v, err := strconv.ParseFloat(value, 64)
		must(t, err)
		out[name] = v
	}
	return out
}
