//go:build reference

package survey

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
)

// TestSameAdjustmentAsSciPy compares random networks with a general least-squares solver. Run it with
// go test -tags reference; PYTHON names an interpreter with SciPy (default python3).
func TestSameAdjustmentAsSciPy(t *testing.T) {
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 9))
		n := Network{Points: []NetworkPoint{{FixedX: true, FixedY: true}, {At: geometry.Point{X: 20}, FixedX: true, FixedY: true}}}
		truth := []geometry.Point{{}, {X: 20}}
		free := []int{}
		for i := range 6 {
			p := geometry.Point{X: 20 * r.Float64(), Y: 3 + 12*r.Float64()}
			truth = append(truth, p)
			free = append(free, i+2)
			n.Points = append(n.Points, NetworkPoint{At: p.Add(geometry.Point{X: 0.2 * r.NormFloat64(), Y: 0.2 * r.NormFloat64()})})
		}
		var ends [][2]int
		var tapes, sigma []float64
		for i := range truth {
			for j := i + 1; j < len(truth); j++ {
				if j == 1 {
					continue
				}
				s := 0.003 + 0.0001*truth[i].Distance(truth[j])
				d := truth[i].Distance(truth[j]) + s*r.NormFloat64()
				n.Observations = append(n.Observations, Observation{Kind: Distance, From: i, To: j, Value: d, Sigma: s})
				ends, tapes, sigma = append(ends, [2]int{i, j}), append(tapes, d), append(sigma, s)
			}
		}
		points := [][2]float64{}
		for _, p := range n.Points {
			points = append(points, [2]float64{p.At.X, p.At.Y})
		}
		text, err := json.Marshal(map[string]any{"points": points, "free": free, "ends": ends, "tapes": tapes, "sigma": sigma})
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(cmp.Or(os.Getenv("PYTHON"), "python3"), "testdata/reference.py")
		cmd.Stdin, cmd.Stderr = bytes.NewReader(text), os.Stderr
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		var want struct {
			Points [][2]float64
			S0     float64
			Sigma  []float64
		}
		if err := json.Unmarshal(out, &want); err != nil {
			t.Fatal(err)
		}
		a, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "s0", a.S0, want.S0, 1e-9)
		for i, p := range want.Points {
			near(t, "x", a.Points[i].At.X, p[0], 1e-7) // both stop at steps below a tenth of a micrometre
			near(t, "y", a.Points[i].At.Y, p[1], 1e-7)
			if i >= 2 {
				near(t, "σx", math.Sqrt(a.Points[i].QXX), want.Sigma[2*(i-2)], 1e-6)
				near(t, "σy", math.Sqrt(a.Points[i].QYY), want.Sigma[2*(i-2)+1], 1e-6)
			}
		}
	}
}
