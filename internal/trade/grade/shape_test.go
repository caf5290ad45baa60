package grade

import (
	"math"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

func inches(v float64) known.Length { return known.Say(quantity.Inches(v)) }

// TestConcreteBeyondTheFlatSlab holds every extra to a volume worked out by hand, in cubic feet.
func TestConcreteBeyondTheFlatSlab(t *testing.T) {
	ft3 := quantity.Feet(1).Metres() * quantity.Feet(1).Metres() * quantity.Feet(1).Metres()
	plain := float64(mustDesign(t, pad()).NetVolume)
	for _, c := range []struct {
		says   string
		change func(*Input)
		extra  float64
	}{
		// Ring of 1 ft round 40 × 14 ft: 560 − 38·12 = 104 ft², half a foot deeper.
		{"thick edge all round", func(in *Input) { in.ThickEdges = []ThickEdge{{Depth: inches(12), Width: inches(12)}} }, 104 * 0.5},
		// One long side, 1 ft flat and 1 ft taper: (40 + 80)/2 · 0.5.
		{"thick edge with taper", func(in *Input) {
			in.ThickEdges = []ThickEdge{{Side: "AB", Depth: inches(12), Width: inches(12), Taper: inches(12)}}
		}, 30},
		{"curb", func(in *Input) { in.Curbs = []Curb{{Side: "BC", Height: inches(6), Width: inches(6)}} }, 14 * 0.5 * 0.5},
		// Three risers of 6 in, 12 in treads, 4 ft wide: 0.5 · 1 · 4 · 6.
		{"steps", func(in *Input) {
			in.Steps = []Steps{{Count: 3, Rise: inches(6), Run: inches(12), Wide: feet(4)}}
		}, 12},
		// From 6 in at the ends AD to 8 in at BC: an inch more on the mean.
		{"thicker to one end", func(in *Input) {
			in.ThicknessAt = []ThickSpot{{lettered("A"), inches(6)}, {lettered("D"), inches(6)}, {lettered("B"), inches(8)}, {lettered("C"), inches(8)}}
		}, 560.0 / 12},
		{"two thicknesses make a wedge", func(in *Input) {
			in.ThicknessAt = []ThickSpot{{lettered("A"), inches(6)}, {lettered("B"), inches(8)}}
		}, 560.0 / 12},
	} {
		in := pad()
		c.change(&in)
		r := mustDesign(t, in)
		// 1e-6 relative: overlays are exact to rounding.
		if got := (float64(r.NetVolume) - plain) / ft3; math.Abs(got/c.extra-1) > 1e-6 {
			t.Errorf("%s: %v ft³, not %v", c.says, got, c.extra)
		}
	}
}

func TestAThickerEndIsDugDeeperThere(t *testing.T) {
	in := apron()
	flat := mustDesign(t, in)
	in.ThicknessAt = []ThickSpot{{lettered("A"), inches(6)}, {lettered("D"), inches(6)}, {lettered("B"), inches(8)}, {lettered("C"), inches(8)}}
	r := mustDesign(t, in)
	for i, more := range []float64{0, 2, 2, 0} {
		if got := (r.Corners[i].Depth - flat.Corners[i].Depth).Inches(); math.Abs(got-more) > 1e-3 {
			t.Errorf("corner %s is dug %v in deeper", r.Corners[i].Name, got)
		}
	}
	if r.Cut <= flat.Cut {
		t.Error("a thicker slab is dug no deeper")
	}
}

func TestShapesThatCannotBe(t *testing.T) {
	for field, change := range map[string]func(*Input){
		"grade.thick_edges[1].depth": func(in *Input) { in.ThickEdges = []ThickEdge{{Depth: inches(4), Width: inches(12)}} },
		"grade.thick_edges[1].side": func(in *Input) {
			in.ThickEdges = []ThickEdge{{Side: "AC", Depth: inches(12), Width: inches(12)}}
		},
		"grade.curbs[1].height": func(in *Input) { in.Curbs = []Curb{{Width: inches(6)}} },
		"grade.steps[1].count":  func(in *Input) { in.Steps = []Steps{{Rise: inches(6), Run: inches(12), Wide: feet(4)}} },
		"grade.thickness_at": func(in *Input) {
			in.ThicknessAt = []ThickSpot{{At: lettered("A"), Thickness: inches(6)}, {At: Spotted{X: feet(5), Y: feet(0)}, Thickness: inches(5)}}
		},
		"grade.thickness_at[2]": func(in *Input) {
			in.ThicknessAt = []ThickSpot{{At: lettered("A"), Thickness: inches(6)}, {At: lettered("A"), Thickness: inches(8)}}
		},
	} {
		in := pad()
		change(&in)
		if _, err := Design(in); !isFault(err, field) {
			t.Errorf("%s: %v", field, err)
		}
	}
}
