package site

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Curve is a side that is bowed: its chord is the straight side, and the edge leaves it.
type Curve struct {
	Side string       `yaml:"side" says:"side that is its chord, like AB"`
	Rise known.Length `yaml:"rise" says:"how far its middle stands out past the chord; below zero it is hollow" unit:"ft|m" usual:"-30..30|-10..10" show:"side"`
}

// Bow is a curved side as it is built: chords between corners that follow one another on its arc.
type Bow struct {
	Name   string           `json:"name"` // of the side
	First  int              `json:"first"`
	Last   int              `json:"last"` // positions in Corners; the corners between were put in
	Chord  geometry.Segment `json:"chord"`
	Rise   known.Length     `json:"rise"`
	Radius quantity.Length  `json:"radius"`
}

// flexRise is how far a form bent round a curve may stand off it, m: an eighth of an inch, finer than anybody sees.
// Source: common practice of flexible forms.
const flexRise = 0.003

func (in Input) curveFaults(corners []string) check.Faults {
	var faults check.Faults
	seen := map[string]bool{}
	for i, c := range in.Curves {
		f := check.Fault{Field: fmt.Sprintf("site.curves[%d]", i+1), Given: c.Side}
		a, b, ok := sideEnds(corners, c.Side)
		key := nameAt(corners, a) + nameAt(corners, b)
		switch {
		case len(in.Tapes) > 0 && len(in.Corners) == 0:
			f.Why, f.Type = "wants the corners by name; tapes alone do not say their order.", "Give the corners roughly as well; the tapes move them."
		case !ok:
			f.Why, f.Type = "is no side of this slab.", "Type two neighbouring corners, like "+nameAt(corners, 0)+nameAt(corners, 1)+"."
		case seen[key]:
			f.Why, f.Type = "is bowed twice.", "Keep one of the two."
		case !c.Rise.Given() || math.Abs(c.Rise.Value.Metres()) < quantity.Inches(0.25).Metres():
			f.Why, f.Type = "has no rise.", "Give how far its middle stands off the chord, like rise: 2 ft."
		default:
			seen[key] = true
			continue
		}
		faults = append(faults, f)
	}
	return faults
}

func nameAt(corners []string, i int) string {
	if len(corners) == 0 {
		return ""
	}
	return corners[i%len(corners)]
}

// sideEnds finds the corners of a side by its name, in the order of the outline.
func sideEnds(corners []string, side string) (first, last int, ok bool) {
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if strings.EqualFold(side, a+b) || strings.EqualFold(side, b+a) {
			return i, (i + 1) % len(corners), true
		}
	}
	return 0, 0, false
}

// bow puts the chords of curved sides into the outline: R = C²/(8m) + m/2, no chord off the arc by more than flexRise.
func (r *Result) bow(in Input) check.Faults {
	for i, c := range in.Curves {
		names := make([]string, len(r.Corners))
		for k, p := range r.Corners {
			names[k] = p.Name
		}
		first, last, ok := sideEnds(names, c.Side)
		chord := geometry.Segment{A: r.Corners[first].At, B: r.Corners[last].At}
		rise := c.Rise.Value.Metres()
		radius, err := geometry.RadiusFromMidOrdinate(chord.Length(), math.Abs(rise))
		outward := chord.Direction().Left().Scale(-rise) // corners run with the slab on their left
		arc, round := geometry.ArcThrough(chord.A, chord.Midpoint().Add(outward), chord.B)
		if !ok || err != nil || !round || math.Abs(rise) > chord.Length()/2 {
			return check.Faults{{Field: fmt.Sprintf("site.curves[%d].rise", i+1), Given: c.Rise.Text, Why: "is more than half its chord: that is more than half a circle.", Type: fmt.Sprintf("Give at most %s, or a corner where it turns back.", side(chord.Length()/2, in.Units))}}
		}
		points := arc.Points(flexRise)
		var inner []Place
		for k, p := range points[1 : len(points)-1] {
			inner = append(inner, Place{Name: fmt.Sprintf("%s%d", r.Corners[first].Name+r.Corners[last].Name, k+1), At: p})
		}
		b := Bow{Name: r.Corners[first].Name + r.Corners[last].Name, Chord: chord, Rise: c.Rise, Radius: quantity.Length(radius)}
		r.Corners = slices.Insert(r.Corners, first+1, inner...)
		r.Bows = append(r.Bows, b)
		given := working.Given(&r.Working, "rise_"+b.Name, "m", "rise of the curve on "+b.Name, c.Rise, quantity.AsSide)
		r.Working.Show(working.Step{Name: "radius_" + b.Name, Symbol: "R", Says: "radius of the curve on " + b.Name, Formula: "C²/(8m) + m/2", Value: quantity.Show(b.Radius, quantity.AsSide), From: []string{given}, Source: sources.PlaneGeometry})
	}
	for i, b := range r.Bows {
		r.Bows[i].First = slices.IndexFunc(r.Corners, func(p Place) bool { return p.At == b.Chord.A })
		r.Bows[i].Last = slices.IndexFunc(r.Corners, func(p Place) bool { return p.At == b.Chord.B })
	}
	return nil
}

// between says whether corner i was put in by a curve.
func (b Bow) between(i, n int) bool {
	return i != b.First && i != b.Last && (i-b.First+n)%n < (b.Last-b.First+n)%n
}

// plain are the positions of the corners a person knows: those no curve put in.
func (r *Result) plain() []int {
	var out []int
	for i := range r.Corners {
		if !slices.ContainsFunc(r.Bows, func(b Bow) bool { return b.between(i, len(r.Corners)) }) {
			out = append(out, i)
		}
	}
	return out
}

// onCurve is the curve side i belongs to, if any.
func (r *Result) onCurve(i int) (Bow, bool) {
	n := len(r.Corners)
	for _, b := range r.Bows {
		if i == b.First || b.between(i, n) {
			return b, true
		}
	}
	return Bow{}, false
}
