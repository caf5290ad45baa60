package terrain

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// WarningKind says what a surface should be looked at for.
type WarningKind string

// The warnings.
const (
	AmbiguousDiagonal WarningKind = "ambiguous diagonal"
	Sliver            WarningKind = "sliver"
	FlatOnBreakline   WarningKind = "flat on breakline"
	LongHullEdge      WarningKind = "long hull edge"
	CloseShots        WarningKind = "close shots"
	Outlier           WarningKind = "outlier"
)

// Warning is something about the surface that may be right but often is not. One warning covers all places of its kind,
// the worst first; an outlier has one of its own.
type Warning struct {
	Kind   WarningKind
	Says   string
	Places [][]int   // positions of the shots at each place
	Sizes  []float64 // how bad each place is, in the unit of the kind: m between the two grounds, between heights or of length; m²; rad
}

// Limits of the warnings. Source: common practice of triangulated ground.
const (
	flatGap        = 1e-6              // m between two diagonals: less makes no difference to any volume
	sliverAngle    = 5 * math.Pi / 180 // a triangle with a smaller angle interpolates between far-off shots
	longEdgeFactor = 3                 // a hull edge longer than this times the median edge spans ground nobody measured
	closeDistance  = 0.010             // m: closer shots with different heights make a cliff
	outlierSigmas  = 4                 // robust standard deviations off the plane of the neighbours
	leastScatter   = 0.010             // m: ground is never smoother than this to a rod
	madToSigma     = 1.4826            // a normal distribution's standard deviation over its median absolute deviation
)

// Warnings looks the surface over: fours of shots on one circle whose two diagonals give different ground, slivers, flats
// against a breakline, long edges of the hull, shots nearly in one place, and shots that stand out of their neighbours.
func (s *Surface) Warnings() []Warning {
	var out []Warning
	add := func(kind WarningKind, places []place, says func(worst place, n int) string) {
		if len(places) == 0 {
			return
		}
		slices.SortStableFunc(places, func(a, b place) int { return cmp.Compare(b.measure, a.measure) })
		w := Warning{Kind: kind, Says: says(places[0], len(places))}
		for _, p := range places {
			w.Places, w.Sizes = append(w.Places, p.shots), append(w.Sizes, p.measure)
		}
		out = append(out, w)
	}
	ambiguous, volume := s.ambiguous()
	add(AmbiguousDiagonal, ambiguous, func(p place, n int) string {
		return fmt.Sprintf("%d fours of shots lie on one circle but not in one plane; which diagonal folds the ground is a guess, worst %.3f m at shots %s. Together the guesses may shift volumes by up to %.3g m³. Add a breakline or a shot in the middle.",
			n, p.measure, s.names(p.shots), volume)
	})
	add(Sliver, s.slivers(), func(p place, n int) string {
		return fmt.Sprintf("%d thin triangles (an angle under 5°), the thinnest at shots %s; heights there rest on far-off shots.", n, s.names(p.shots))
	})
	add(FlatOnBreakline, s.flats(), func(p place, n int) string {
		return fmt.Sprintf("%d level triangles lean on a breakline, the largest at shots %s; shots beside the line are missing.", n, s.names(p.shots))
	})
	add(LongHullEdge, s.longEdges(), func(p place, n int) string {
		return fmt.Sprintf("%d edges of the outline are over three times the usual spacing, the longest %.2f m at shots %s; the ground along them was not measured.", n, p.measure, s.names(p.shots))
	})
	add(CloseShots, s.closeShots(), func(p place, n int) string {
		return fmt.Sprintf("%d pairs of shots are closer than 10 mm, with up to %.3f m between their heights (shots %s); a step needs its foot and top further apart.", n, p.measure, s.names(p.shots))
	})
	for _, p := range s.outliers() {
		add(Outlier, []place{p}, func(p place, _ int) string { return s.outlierSays(p) })
	}
	return out
}

// place is where a warning applies and how bad it is there.
type place struct {
	shots   []int
	measure float64
}

func (s *Surface) names(shots []int) string {
	text := ""
	for i, v := range shots {
		if i > 0 {
			text += ", "
		}
		text += shotName(s.shots, v)[len("Shot "):]
	}
	return text
}

// ambiguous finds the ties whose choice matters and bounds what all choices together can do to a volume: each pair of
// diagonals encloses a tetrahedron.
func (s *Surface) ambiguous() (places []place, volume float64) {
	for _, k := range s.ties {
		a, b, c, d := k[0], k[1], k[2], k[3]
		f := s.facetOf(a, b, c)
		gap := math.Abs(s.z(d) - f.over(s.point(d)))
		near := geometry.SignedArea(f.corners[:])
		far := geometry.SignedArea([]geometry.Point{s.point(a), s.point(d), s.point(b)})
		if between := gap * near / (near + far); between > flatGap {
			places = append(places, place{[]int{int(a), int(b), int(c), int(d)}, between})
			volume += near * gap / 3
		}
	}
	return places, volume
}

func (s *Surface) corners(t int) []int {
	c := s.Triangle(t)
	return c[:]
}

func (s *Surface) slivers() (places []place) {
	for t := range s.Len() {
		f := s.facet(int32(t))
		least := math.Pi
		for k := range 3 {
			u, v := f.corners[(k+1)%3].Sub(f.corners[k]), f.corners[(k+2)%3].Sub(f.corners[k])
			least = min(least, math.Atan2(u.Cross(v), u.Dot(v)))
		}
		if least < sliverAngle {
			places = append(places, place{s.corners(t), sliverAngle - least})
		}
	}
	return places
}

func (s *Surface) flats() (places []place) {
	for t := range s.Len() {
		c := s.Triangle(t)
		level := s.shots[c[0]].Z == s.shots[c[1]].Z && s.shots[c[1]].Z == s.shots[c[2]].Z
		if level && (s.fixed[3*t] || s.fixed[3*t+1] || s.fixed[3*t+2]) {
			f := s.facet(int32(t))
			places = append(places, place{s.corners(t), geometry.SignedArea(f.corners[:])})
		}
	}
	return places
}

func (s *Surface) longEdges() (places []place) {
	lengths := make([]float64, 0, len(s.halves))
	for h := range s.halves {
		if h := int32(h); h > s.twin(h) {
			lengths = append(lengths, s.point(s.from(h)).Distance(s.point(s.to(h))))
		}
	}
	limit := longEdgeFactor * median(lengths)
	for h := range s.halves {
		if h := int32(h); s.twin(h) < 0 {
			if l := s.point(s.from(h)).Distance(s.point(s.to(h))); l > limit {
				places = append(places, place{[]int{int(s.from(h)), int(s.to(h))}, l})
			}
		}
	}
	return places
}

func (s *Surface) closeShots() (places []place) {
	for h := range s.halves {
		h := int32(h)
		if h < s.twin(h) {
			continue
		}
		a, b := s.from(h), s.to(h)
		if s.point(a).Distance(s.point(b)) < closeDistance {
			places = append(places, place{[]int{int(a), int(b)}, math.Abs(s.z(a) - s.z(b))})
		}
	}
	return places
}

// median returns the middle value, sorting its argument; zero for none.
func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	slices.Sort(x)
	return x[len(x)/2]
}
