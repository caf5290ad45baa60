package site

import (
	"math"
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// TestABowedSideIsRound: area, edge and corners of a slab whose front bulges, and of one whose front is hollow.
func TestABowedSideIsRound(t *testing.T) {
	for rise, sign := range map[float64]float64{3: 1, -3: -1} {
		in := sized(24, 16)
		in.Curves = []Curve{{Side: "ba", Rise: feet(rise)}}
		r := mustDesign(t, in)
		// R = 24²/24 + 1.5 = 25.5 ft; the segment is R²·(θ − sin θ)/2, θ = 2·asin(12/25.5).
		theta := 2 * math.Asin(12/25.5)
		segment := 25.5 * 25.5 / 2 * (theta - math.Sin(theta))
		// Chords 3 mm off at most: under a hundredth of a foot along 25 ft of arc.
		if got, want := r.Area.SquareFeet(), 24*16+sign*segment; math.Abs(got-want) > 0.2 {
			t.Errorf("rise %v: %v ft², not %v", rise, got, want)
		}
		if got, want := r.Perimeter.Feet(), 16+16+24+25.5*theta; math.Abs(got-want) > 0.02 {
			t.Errorf("rise %v: edge of %v ft, not %v", rise, got, want)
		}
		if len(r.plain()) != 4 || len(r.Corners) < 10 || len(r.diagonals()) != 2 {
			t.Errorf("%d corners, %d of them plain", len(r.Corners), len(r.plain()))
		}
		b := r.Bows[0]
		if b.Name != "AB" || r.Corners[b.First].Name != "A" || r.Corners[b.Last].Name != "B" || math.Abs(b.Radius.Feet()-25.5) > 1e-9 {
			t.Errorf("bow %+v", b)
		}
		for _, row := range Picture(in, r)[0].Table.Rows {
			if strings.HasPrefix(row[0], "side AB") {
				t.Errorf("a chord of the curve is listed as a side: %v", row)
			}
		}
	}
}

func TestTwoCurvesAndTheClosingSide(t *testing.T) {
	in := sized(24, 16)
	in.Curves = []Curve{{Side: "DA", Rise: feet(2)}, {Side: "BC", Rise: feet(2)}}
	r := mustDesign(t, in)
	for _, b := range r.Bows {
		for i := range r.Corners {
			if b.between(i, len(r.Corners)) {
				// Every corner put in stands on the arc.
				mid := b.Chord.Midpoint().Add(b.Chord.Direction().Left().Scale(b.Radius.Metres() - b.Rise.Value.Metres()))
				if gap := r.Corners[i].At.Distance(mid) - b.Radius.Metres(); math.Abs(gap) > 1e-9 {
					t.Errorf("corner %s of %s stands %v m off the arc", r.Corners[i].Name, b.Name, gap)
				}
			}
		}
	}
	if len(r.plain()) != 4 {
		t.Errorf("%d plain corners", len(r.plain()))
	}
}

func TestCurvesThatCannotBe(t *testing.T) {
	for says, c := range map[string]Curve{
		"no side of this slab":        {Side: "AC", Rise: feet(1)},
		"has no rise":                 {Side: "AB"},
		"more than half a circle":     {Side: "BC", Rise: feet(9)},
		"the outline cannot be built": {Side: "AB", Rise: known.Say(quantity.Feet(-12))},
	} {
		in := sized(24, 10)
		in.Curves = []Curve{c}
		if _, err := Design(in); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", says, err)
		}
	}
	in := sized(24, 16)
	in.Curves = []Curve{{Side: "AB", Rise: feet(1)}, {Side: "BA", Rise: feet(2)}}
	if _, err := Design(in); err == nil || !strings.Contains(err.Error(), "bowed twice") {
		t.Error(err)
	}
}
