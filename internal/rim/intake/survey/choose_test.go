package survey

import (
	"math"
	"strings"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/site"
)

// lot is a field book with codes: a pad, a curb that is shot along its foot and its top, a trunk, a wall's two ends, bare ground.
const lot = `point,easting_m,northing_m,elev_m,code
1,10,20,5.00,PAD
2,22,20,5.02,PAD
3,22,26,5.01,PAD
4,10,26,4.99,PAD
5,8,18,4.90,GND
6,24,18,4.95,GND
7,24,28,5.05,GND
8,8,17,4.80,FOOT
9,24,17,4.82,FOOT
10,8,16.9,4.95,TOP
11,24,16.9,4.97,TOP
12,25,22,5.00,OAK
13,9,27,5.1,SILL
14,23,27,5.1,SILL
`

func TestAPersonSaysWhatIsWhat(t *testing.T) {
	in := mustRead(t, "lot.csv", lot, Told{})
	taken := mustTake(t, in, site.SurveyFile{File: "lot.csv", Outline: "pad", Ground: []string{"gnd", "Foot", "TOP"}, Breaklines: []string{"FOOT", "TOP"}, Origin: "1",
		Things: []site.Surveyed{{In: "SILL", Kind: site.Wall}, {In: "OAK", Kind: site.Tree, Name: "the oak"}}}, false)
	if c := taken.Corners; len(c) != 4 || float64(c[2].X.Value) != 12 || float64(c[2].Y.Value) != 6 || c[0].X.Reason != "survey file lot.csv" {
		t.Errorf("corners %+v", c)
	}
	s := taken.Survey
	if len(s.Shots) != 7 || len(s.Lines) != 2 || s.Shots[s.Lines[1][1]].Name != "11" || math.Abs(s.Shots[s.Lines[1][1]].Y+3.1) > 1e-12 {
		t.Errorf("survey %+v", s)
	}
	o := taken.Obstacles
	if len(o) != 2 || o[0].Kind != site.Wall || len(o[0].Line) != 2 || o[0].Name != "SILL" || float64(o[0].Line[1].X.Value) != 13 || o[1].Name != "the oak" || float64(o[1].X.Value) != 15 {
		t.Errorf("things %+v", o)
	}
	for _, word := range []string{"read in m", "outline of 4 corners", "7 ground shots with 2 breaklines", "2 things", "E 10.000, N 20.000"} {
		if !strings.Contains(s.Says, word) {
			t.Errorf("%q does not say %q", s.Says, word)
		}
	}
}

func TestWithoutNamesEverythingWithAHeightIsGroundButTheOutlineAndThings(t *testing.T) {
	in := mustRead(t, "lot.csv", lot, Told{})
	s := mustTake(t, in, site.SurveyFile{Outline: "PAD", Things: []site.Surveyed{{In: "OAK", Kind: site.Tree}}}, false).Survey
	if len(s.Shots) != 9 || len(s.Lines) != 0 { // 14 less four corners and the oak
		t.Errorf("%d shots, %d lines", len(s.Shots), len(s.Lines))
	}
	if s := mustTake(t, in, site.SurveyFile{}, true); len(s.Corners) != 0 || len(s.Survey.Shots) != 14 {
		t.Errorf("a job with its own size took %d corners, %d shots", len(s.Corners), len(s.Survey.Shots))
	}
}

func TestWhatIsNotThereIsAskedFor(t *testing.T) {
	in := mustRead(t, "lot.csv", lot, Told{})
	for field, f := range map[string]site.SurveyFile{
		"outline":    {},
		"ground":     {Outline: "PAD", Ground: []string{"TOPO"}},
		"breaklines": {Outline: "PAD", Breaklines: []string{"OAK"}}, // one point is no line
		"things":     {Outline: "PAD", Things: []site.Surveyed{{In: "ELM", Kind: site.Tree}}},
		"origin":     {Outline: "PAD", Origin: "peg 9"},
	} {
		_, err := in.Take(f, false)
		faults, ok := err.(Faults)
		if !ok || faults[0].Field != field || faults[0].Why == "" || faults[0].Type == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
	if _, err := in.Take(site.SurveyFile{Outline: "SILL"}, false); err == nil || err.(Faults)[0].Field != "outline" {
		t.Errorf("two points are an outline: %v", err)
	}
}

func TestThinningKeepsTheGroundWhereItWas(t *testing.T) {
	var in Import
	in.Unit = site.Metres
	const side = 400 // 160,000 shots, a shot every 0.1 m
	for i := range side {
		for k := range side {
			x, y := float64(i)*0.1, float64(k)*0.1
			in.Points = append(in.Points, Point{At: geometry.Point{X: x, Y: y}, Z: 100 + 0.02*x - 0.01*y, HasZ: true})
		}
	}
	s := mustTake(t, in, site.SurveyFile{}, true).Survey
	if n := len(s.Shots); n > mostShots*11/10 || n < mostShots/2 {
		t.Fatalf("%d shots are left of %d", n, len(in.Points))
	}
	box := geometry.EmptyBox()
	for _, p := range s.Shots {
		box = box.Grow(p.Point())
		if math.Abs(p.Z-(100+0.02*p.X-0.01*p.Y)) > 1e-9 {
			t.Fatalf("shot %+v was moved", p)
		}
	}
	if box.Width() < 39.5 || box.Height() < 39.5 {
		t.Errorf("the edge is gone: %v", box)
	}
	if !strings.Contains(s.Says, "thinned from 160000") {
		t.Errorf("says %q", s.Says)
	}
}

func TestGroupsListWhatAFileHolds(t *testing.T) {
	in := mustRead(t, "lot.csv", lot, Told{})
	groups := in.Groups()
	if len(groups) != 6 || groups[0].Name != "PAD" || groups[0].Points != 4 || groups[0].Low != 4.99 || groups[0].High != 5.02 {
		t.Errorf("groups %+v", groups)
	}
	if e, n := in.Size(); e != 17 || math.Abs(n-11.1) > 1e-9 {
		t.Errorf("reaches %v by %v", e, n)
	}
}

// curved is a parcel with a round corner: a quarter of a circle of radius 3 about (6, 3), turning left.
const curved = `<LandXML><Units><Metric linearUnit="meter"/></Units><PlanFeatures><PlanFeature name="pad"><CoordGeom>
 <Line><Start>0 0</Start><End>0 6</End></Line><Curve rot="ccw"><Start>0 6</Start><Center>3 6</Center><End>3 9</End></Curve>
 <Line><Start>3 9</Start><End>8 9</End></Line><Line><Start>8 9</Start><End>8 0</End></Line><Line><Start>8 0</Start><End>0 0</End></Line>
</CoordGeom></PlanFeature></PlanFeatures></LandXML>`

func TestCurvesOfLandXMLAreRound(t *testing.T) {
	area := ring(mustRead(t, "pad.xml", curved, Told{}).Lines[0]).Area()
	// 9 × 8 less the corner outside the quarter circle; chords half a millimetre off.
	if want := 72 - 9*(1-math.Pi/4); math.Abs(area-want) > 3e-3 {
		t.Errorf("area %v, not %v", area, want)
	}
	cw := strings.Replace(strings.Replace(curved, `rot="ccw"`, `rot="cw"`, 1), "<Center>3 6</Center>", "<Center>0 9</Center>", 1)
	if area, want := ring(mustRead(t, "pad.xml", cw, Told{}).Lines[0]).Area(), 72-9*math.Pi/4; math.Abs(area-want) > 3e-3 {
		t.Errorf("a corner bitten out leaves %v, not %v", area, want)
	}
	chord := mustRead(t, "pad.xml", strings.Replace(curved, "<Center>3 6</Center>", "", 1), Told{})
	if area := ring(chord.Lines[0]).Area(); math.Abs(area-67.5) > 1e-9 || len(chord.Skipped) != 1 {
		t.Errorf("without its centre %v, skipped %+v", area, chord.Skipped)
	}
}
