package site

import (
	"math"
	"strings"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/check"
)

func shot(name string, x, y, z float64) Shot {
	return Shot{Name: name, X: feet(x), Y: feet(y), Elevation: feet(z)}
}

// slope is a slab on ground that falls 2 ft in 100 along x, shot at its corners and round it.
func slope() Input {
	in := sized(40, 20)
	for i, p := range [][2]float64{{-20, -20}, {60, -20}, {60, 40}, {-20, 40}, {0, 0}, {40, 0}, {40, 20}, {0, 20}} {
		in.Shots = append(in.Shots, shot(letter(i), p[0], p[1], 100-0.02*p[0]))
	}
	return in
}

func TestContoursStandWhereTheGroundHasTheirLevel(t *testing.T) {
	r := mustDesign(t, slope())
	if len(r.Contours) < 4 || len(r.Contours) > mostContours+1 {
		t.Fatalf("%d contours", len(r.Contours))
	}
	box := r.window()
	for _, c := range r.Contours {
		for _, line := range c.Lines {
			for _, p := range line {
				level := quantity.Feet(100).Metres() - 0.02*p.X
				// 1e-6 m: a contour is nudged off shots, its ends are cut at the window.
				if math.Abs(level-c.Level.Metres()) > 1e-6 || !box.Expand(1e-9).Contains(p) {
					t.Fatalf("contour %v passes %v, where the ground is %v", c.Level, p, level)
				}
			}
		}
	}
	if marks := Picture(slope(), r)[0].Marks; len(marks) == 0 {
		t.Error("no marks")
	}
}

func TestBreaklinesByNameBendTheGround(t *testing.T) {
	in := slope()
	in.Shots = append(in.Shots, shot("C1", 10, -5, 99), shot("C2", 30, -4, 98.6))
	in.Breaks = []Breakline{{Name: "old curb", Shots: []string{"C1", "C2"}}}
	r := mustDesign(t, in)
	if len(r.Breaklines) != 1 || r.Ground[r.Breaklines[0][1]].Name != "C2" {
		t.Errorf("breaklines %v", r.Breaklines)
	}
	in.Breaks[0].Shots[1] = "C9"
	if _, err := Design(in); err == nil || !strings.Contains(err.Error(), "C9") {
		t.Errorf("a shot that is not there: %v", err)
	}
	in.Breaks = []Breakline{{Shots: []string{"C1", "C2"}}, {Shots: []string{"E", "X"}}}
	in.Shots = append(in.Shots, shot("X", 20, -12, 99))
	in.Breaks = []Breakline{{Shots: []string{"C1", "C2"}}, {Shots: []string{"B", "H"}}, {Shots: []string{"X", "F"}}}
	if _, err := Design(in); err == nil || !strings.Contains(err.Error(), "without a shot they share") {
		t.Errorf("breaklines that cross: %v", err)
	}
}

func TestOnePlaceReadTwiceIsToldOf(t *testing.T) {
	in := slope()
	in.Shots = append(in.Shots, shot("again", 40, 0, 97.75))
	r := mustDesign(t, in)
	c := find(r.Checks, "site.shot-twice")
	if c.Level != check.Care || !strings.Contains(c.Says, "1.45 ft") || len(r.Ground) != 8 {
		t.Errorf("%d levels, %+v", len(r.Ground), c)
	}
	in.Shots[8].Elevation = feet(99.21)
	if c := find(mustDesign(t, in).Checks, "site.shot-twice"); c.Level != check.NotComputed {
		t.Errorf("a hundredth apart is told off: %+v", c)
	}
}

func TestASurveyJoinsTheShots(t *testing.T) {
	in := slope()
	in.SurveyFile.File = "lot.csv"
	var s Survey
	for i := range 12 {
		for k := range 9 {
			x, y := -10+5.1*float64(i), -9+4.7*float64(k)
			z := 100 - 0.02*x
			if i == 6 && k == 4 {
				z += 1 // the six read for a five
			}
			s.Shots = append(s.Shots, terrain.Shot{Name: "s" + letter(i*9+k), X: quantity.Feet(x).Metres(), Y: quantity.Feet(y).Metres(), Z: quantity.Feet(z).Metres()})
		}
	}
	s.Lines = [][]int{{0, 1, 2}}
	s.Says = "read in ft"
	in.Survey = s
	r := mustDesign(t, in)
	if len(r.Ground) != 8+108 || len(r.Breaklines) != 1 || r.Ground[r.Breaklines[0][2]].Name != s.Shots[2].Name {
		t.Fatalf("%d levels, breaklines %v", len(r.Ground), r.Breaklines)
	}
	if c := find(r.Checks, "site.shot-off"); c.Where != s.Shots[6*9+4].Name || !strings.Contains(c.Says, "1.00 ft above its neighbours") {
		t.Errorf("the wrong shot: %+v", c)
	}
	if step, ok := r.Working.Find(surveyStep); !ok || step.Value.String(quantity.US) != "read in ft" {
		t.Errorf("step %+v", step)
	}
	if n := len(r.shown()); n < 8 || n > 8+shotsAcross*shotsAcross {
		t.Errorf("%d levels are drawn", n)
	}
}

func TestWithinCutsASegmentAtTheFrame(t *testing.T) {
	frame := geometry.Rectangle(4, 2)
	for _, c := range []struct {
		s    geometry.Segment
		a, b geometry.Point
		ok   bool
	}{
		{geometry.Segment{A: geometry.Point{X: -1, Y: 1}, B: geometry.Point{X: 5, Y: 1}}, geometry.Point{Y: 1}, geometry.Point{X: 4, Y: 1}, true},
		{geometry.Segment{A: geometry.Point{X: 1, Y: 1}, B: geometry.Point{X: 2, Y: 1}}, geometry.Point{X: 1, Y: 1}, geometry.Point{X: 2, Y: 1}, true},
		{geometry.Segment{A: geometry.Point{X: -1, Y: 3}, B: geometry.Point{X: 5, Y: 3}}, geometry.Point{}, geometry.Point{}, false},
		{geometry.Segment{A: geometry.Point{X: -1, Y: 1}, B: geometry.Point{X: 1, Y: 3.5}}, geometry.Point{}, geometry.Point{}, false},
	} {
		if a, b, ok := within(c.s, frame); ok != c.ok || ok && (a.Distance(c.a) > 1e-12 || b.Distance(c.b) > 1e-12) {
			t.Errorf("%v: %v to %v, %v", c.s, a, b, ok)
		}
	}
}
