//go:build reference

package grade

import (
	"bytes"
	"cmp"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/known"
)

// These tests compare a folded slab's dig with GEOS by Shapely, panel by panel: the other program knows nothing of the surface
// that is laid over the folds here. Run them with go test -tags reference; PYTHON names an interpreter that has Shapely.

// overlaid is cut and fill between the ground's triangles and the subgrade of each panel, by the other program.
func overlaid(t *testing.T, ground *terrain.Surface, r Result, drop float64) (cut, fill float64) {
	t.Helper()
	var triangles [][3][3]float64
	for i := range ground.Len() {
		var tri [3][3]float64
		for k, v := range ground.Triangle(i) {
			s := ground.Shots()[v]
			tri[k] = [3]float64{s.X, s.Y, s.Z}
		}
		triangles = append(triangles, tri)
	}
	for _, p := range r.Panels {
		var wide [3][3]float64 // one triangle of the panel's plane, past everything
		for k, q := range []geometry.Point{{X: -900, Y: -900}, {X: 900, Y: -900}, {Y: 1500}} {
			wide[k] = [3]float64{q.X, q.Y, p.Plane.At(q) - drop}
		}
		var ring [][2]float64
		for _, q := range p.Outline.Outer {
			ring = append(ring, [2]float64{q.X, q.Y})
		}
		text, err := json.Marshal(map[string]any{"one": triangles, "two": [][3][3]float64{wide}, "boundary": ring})
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(cmp.Or(os.Getenv("PYTHON"), "python3"), "../../engines/terrain/testdata/reference.py")
		cmd.Stdin, cmd.Stderr = bytes.NewReader(text), os.Stderr
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		var answer struct{ Volumes [2]float64 }
		if err := json.Unmarshal(out, &answer); err != nil {
			t.Fatal(err)
		}
		cut, fill = cut+answer.Volumes[0], fill+answer.Volumes[1]
	}
	return cut, fill
}

func TestTheDigUnderAFoldedSlabIsThatOfGEOS(t *testing.T) {
	at := func(x, y float64) Spotted {
		return Spotted{X: known.Say(quantity.Length(x)), Y: known.Say(quantity.Length(y))}
	}
	ell := geometry.Polygon{Outer: []geometry.Point{{}, {X: 12}, {X: 12, Y: 5}, {X: 6, Y: 5}, {X: 6, Y: 11}, {Y: 11}}}
	for says, c := range map[string]struct {
		outline geometry.Polygon
		folds   []Fold
		drains  []Drain
	}{
		"hip":               {geometry.Rectangle(12, 6), []Fold{{at(0, 3), at(12, 3), Hip}}, nil},
		"valley":            {geometry.Rectangle(12, 6), []Fold{{at(0, 3), at(12, 3), Valley}}, nil},
		"hip and valley":    {geometry.Rectangle(15, 6), []Fold{{at(5, 0), at(5, 6), Hip}, {at(10, 6), at(10, 0), Valley}}, nil},
		"ell with a hip":    {ell, []Fold{{at(6, 5), at(0, 0), Hip}}, nil},
		"four to one drain": {geometry.Rectangle(8, 6), []Fold{{at(0, 0), at(4, 3), Valley}, {at(8, 0), at(4, 3), Valley}, {at(8, 6), at(4, 3), Valley}, {at(0, 6), at(4, 3), Valley}}, []Drain{{Name: "pit", Kind: Inlet, At: at(4, 3)}}},
	} {
		random := rand.New(rand.NewPCG(4, uint64(len(says))))
		in := Defaults()
		in.Outline, in.Folds, in.Drains = c.outline, c.folds, c.drains
		in.Thickness, in.Margin = known.Say(quantity.Millimetres(150)), known.Say(quantity.Length(0))
		for i := range 40 {
			p := geometry.Point{X: 20*random.Float64() - 3, Y: 18*random.Float64() - 3}
			if i < 4 {
				p = []geometry.Point{{X: -4, Y: -4}, {X: 18.5, Y: -4.5}, {X: 18, Y: 16}, {X: -4.5, Y: 15}}[i]
			}
			in.Ground = append(in.Ground, Spot{At: p, Elevation: known.Say(quantity.Length(50 + 0.01*p.X + 0.3*random.Float64()))})
		}
		r, err := Design(in)
		if err != nil {
			t.Errorf("%s: %v", says, err)
			continue
		}
		w := newWork(in)
		if err := w.survey(); err != nil {
			t.Fatal(err)
		}
		cut, fill := overlaid(t, w.ground.surface.(*terrain.Surface), r, in.depth())
		// 1e-6 relative: both are exact; folds end within rounding of the edge.
		if math.Abs(float64(r.Cut)-cut) > 1e-6*cut || math.Abs(float64(r.Fill)-fill) > 1e-6*(cut+fill) || len(r.Panels) < 2 {
			t.Errorf("%s: cut %v and %v, fill %v and %v, %d panels", says, r.Cut, cut, r.Fill, fill, len(r.Panels))
		}
	}
}
