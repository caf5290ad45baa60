//go:build reference

package rollout

import (
	"encoding/json"
	"math"
	"os/exec"
	"strings"
	"testing"

	"slabwright/internal/engines/geometry"
)

// TestShapesReference compares clearance and swept ground with an independent geometry library over the same poses.
//
//	go test -tags reference -run ShapesReference -v ./internal/engines/rollout
func TestShapesReference(t *testing.T) {
	if out, err := exec.Command("/usr/bin/python3", "-c", "import shapely").CombinedOutput(); err != nil {
		t.Skipf("no shapely here: apt-get install python3-shapely (%s)", out)
	}
	r := travelTrailer()
	k := planned(yardTask(4))
	d := found(t, k)
	type thing struct {
		Radius float64
		Solid  bool
		Line   [][2]float64
	}
	question := struct {
		Bodies [][][2]float64 // pairs of neighbouring poses of one body follow one another
		Things []thing
	}{}
	for body := range 2 {
		for _, p := range r.Along(d, 0.02) {
			question.Bodies = append(question.Bodies, pairs(r.Bodies(p)[body].Outer))
		}
	}
	for _, o := range k.Obstacles {
		line := o.Line
		if len(line) == 0 {
			line = []geometry.Point{o.At, o.At}
		}
		question.Things = append(question.Things, thing{o.Radius, o.Solid, pairs(line)})
	}
	input, err := json.Marshal(question)
	if err != nil {
		t.Fatal(err)
	}
	script := `
import json, sys
from shapely.geometry import Polygon, LineString, Point
from shapely.ops import unary_union
q = json.load(sys.stdin)
bodies = [Polygon(b) for b in q["Bodies"]]
least = 1e9
for t in q["Things"]:
    if t["Solid"]: g = Polygon(t["Line"])
    elif t["Line"][0] == t["Line"][-1]: g = Point(t["Line"][0])
    else: g = LineString(t["Line"])
    for b in bodies: least = min(least, b.distance(g) - t["Radius"])
print(json.dumps([least, unary_union(bodies).area]))`
	cmd := exec.Command("/usr/bin/python3", "-c", script)
	cmd.Stdin = strings.NewReader(string(input))
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want [2]float64
	if err := json.Unmarshal(out, &want); err != nil {
		t.Fatal(err)
	}
	swept, err := r.Swept(d, 0.15)
	if err != nil {
		t.Fatal(err)
	}
	area := 0.0
	for _, p := range swept {
		area += p.Area()
	}
	clear := r.Clearance(d, k.Obstacles).Clearance
	t.Logf("clearance %.5f m against %.5f; swept %.4f m² against %.4f", clear, want[0], area, want[1])
	if math.Abs(clear-want[0]) > 0.002 {
		t.Errorf("clearance %g, library %g", clear, want[0])
	}
	// Hulls of neighbouring poses bridge the hollow side of a turn by a millimetre or two over some 100 m of edge.
	if math.Abs(area-want[1]) > 2e-3*want[1] {
		t.Errorf("swept %g, library %g", area, want[1])
	}
}

func pairs(points []geometry.Point) [][2]float64 {
	out := make([][2]float64, len(points))
	for i, p := range points {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}
