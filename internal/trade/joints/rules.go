package joints

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// breach is a hard rule broken, in frame axes.
type breach struct {
	rule    string
	panel   int // index from 0, -1: none
	at      geometry.Point
	found   float64 // the value that breaks it: metres, a ratio or radians, by rule
	outline bool
	lacks   int // joints missing in a panel that is too long
}

// The angles of the rules: an inside corner bends by more than 10°; no panel corner is sharper than 60°; a joint meets an
// edge within 60 to 120°; joints touch a post from two sides at least 120° apart. Source: common practice.
const (
	insideCorner  = 10 * math.Pi / 180
	sharpest      = 60 * math.Pi / 180
	acrossPost    = 120 * math.Pi / 180
	angleRounding = 0.5 * math.Pi / 180
)

// breaches holds a built layout against the hard rules H1 to H9.
func (f frame) breaches(c choice, meet []geometry.Point, rules limits) []breach {
	var out []breach
	for _, j := range c.joints {
		out = append(out, f.endBreaches(j, c.joints)...)
	}
	turns := turns(c.joints)
	for i, p := range c.panels {
		out = append(out, f.panelBreaches(p, i, rules, turns)...)
	}
	for _, q := range f.posts {
		if b, ok := f.postBreach(q, c.joints); ok {
			out = append(out, b)
		}
	}
	for _, q := range meet {
		at := f.enter(q)
		if !slices.ContainsFunc(c.joints, func(j joint) bool { return min(j.A.Distance(at), j.B.Distance(at)) < 2*skewLimit }) {
			out = append(out, breach{rule: "H9", panel: -1, at: at})
		}
	}
	return out
}

// endBreaches checks H1, the end lies on an edge, and H6, it meets the edge squarely enough. At a corner of the slab a
// joint meets two edges at once and H6 asks nothing.
func (f frame) endBreaches(j joint, all []joint) []breach {
	var out []breach
	for _, end := range []geometry.Point{j.A, j.B} {
		at, edge, ok := f.outline.NearestEdge(end)
		if !ok || at.Distance(end) > 4*slack {
			if continues(j, end, all) {
				continue
			}
			out = append(out, breach{rule: "H1", panel: -1, at: end})
			continue
		}
		if min(edge.A.Distance(end), edge.B.Distance(end)) < 4*slack || edge.Ring > 0 {
			continue
		}
		lean := math.Abs(quarterTurn(j.Direction().Heading() - edge.Direction().Heading()))
		if lean < sharpest-angleRounding {
			out = append(out, breach{rule: "H6", panel: -1, at: end, found: lean})
		}
	}
	return out
}

// continues says that a joint goes on from this end: round a bend, or with its last foot turned square to the edge.
func continues(j joint, end geometry.Point, all []joint) bool {
	return slices.ContainsFunc(all, func(o joint) bool {
		return o.Segment != j.Segment && min(o.A.Distance(end), o.B.Distance(end)) < 2*slack
	})
}

// quarterTurn is the angle between two lines, in [0, 90°].
func quarterTurn(h float64) float64 {
	h = math.Abs(math.Mod(h, math.Pi))
	return min(h, math.Pi-h)
}

// panelBreaches checks H2 length, H3 aspect, H4 inside corners, H5 sharp corners and H8 slivers of one panel.
func (f frame) panelBreaches(p geometry.Polygon, i int, rules limits, turns []geometry.Point) []breach {
	var out []breach
	box := geometry.MinimumRectangle(p.Outer)
	add := func(rule string, at geometry.Point, found float64, outline bool) {
		out = append(out, breach{rule: rule, panel: i, at: at, found: found, outline: outline})
	}
	if box.Length > rules.spacing+2*skewLimit {
		add("H2", p.Centroid(), box.Length, false)
		out[len(out)-1].lacks = parts(box.Length, rules.spacing)*parts(box.Width, rules.spacing) - 1
	}
	if ratio := box.Length / box.Width; ratio > rules.aspect+0.01 && !f.triangular(p) {
		add("H3", p.Centroid(), ratio, false)
	}
	for _, corner := range p.Corners() {
		if corner.Ring > 0 || f.onRoundPost(corner.At) || slices.ContainsFunc(turns, func(q geometry.Point) bool { return q.Distance(corner.At) < 2*slack }) {
			continue
		}
		if corner.Angle > math.Pi+insideCorner {
			add("H4", corner.At, corner.Angle, false)
		}
		if corner.Angle < sharpest-angleRounding {
			add("H5", corner.At, corner.Angle, f.sharpAnyway(corner.At))
		}
	}
	if box.Width < rules.narrowest-2*slack || p.Area() < rules.leastArea {
		add("H8", p.Centroid(), box.Width, false)
	}
	if len(p.Holes) > 0 && !slices.ContainsFunc(f.posts, func(q post) bool { return geometry.Polygon{Outer: p.Holes[0]}.Contains(q.at) }) {
		add("H4", p.Holes[0][0], 2*math.Pi, false)
	}
	return out
}

// triangular panels at a sharp corner of the outline are as long as the corner makes them.
func (f frame) triangular(p geometry.Polygon) bool {
	return len(p.Outer) == 3 && slices.ContainsFunc(p.Outer, f.sharpAnyway)
}

// onRoundPost says that a corner is only a chord point of a round box-out: round forms have no corners.
func (f frame) onRoundPost(at geometry.Point) bool {
	return slices.ContainsFunc(f.posts, func(q post) bool { return q.round && at.Distance(q.at) < q.reach+slack })
}

// sharpAnyway says that the outline itself has a sharp corner here.
func (f frame) sharpAnyway(at geometry.Point) bool {
	return slices.ContainsFunc(f.ground.Corners(), func(c geometry.Corner) bool {
		return c.At.Distance(at) < 4*slack && c.Angle < sharpest-angleRounding
	})
}

// postBreach checks H7: joints touch the box-out from two roughly opposite sides.
func (f frame) postBreach(q post, all []joint) (breach, bool) {
	var ways []float64
	for _, j := range all {
		for _, end := range []geometry.Point{j.A, j.B} {
			if (geometry.Polygon{Outer: f.outline.Holes[q.hole]}).BoundaryDistance(end) < 4*slack {
				ways = append(ways, end.Sub(q.at).Heading())
			}
		}
	}
	for i, a := range ways {
		for _, b := range ways[:i] {
			if d := math.Abs(math.Remainder(a-b, 2*math.Pi)); d >= acrossPost {
				return breach{}, false
			}
		}
	}
	return breach{rule: "H7", panel: -1, at: q.at, found: float64(len(ways))}, true
}

// breachesOnSite writes the breaches as people read them.
func (c choice) breachesOnSite(f frame) []Breach {
	var out []Breach
	for _, b := range c.breaches {
		says, then := b.words()
		out = append(out, Breach{Rule: b.rule, Panel: b.panel + 1, At: f.site(b.at), Says: says, Then: then, Outline: b.outline})
	}
	return out
}

func (b breach) words() (says, then string) {
	degrees := b.found * 180 / math.Pi
	panel := fmt.Sprintf("panel %d", b.panel+1)
	switch b.rule {
	case "H1":
		return "a joint ends inside the slab", "Run it on to the next edge."
	case "H2":
		return panel + " is longer than the joint spacing", "Add a joint, or make the slab thicker."
	case "H3":
		return fmt.Sprintf("%s is %.2f times as long as wide", panel, b.found), "Add a joint across it, or change the outline."
	case "H4":
		return panel + " has an inside corner", "Run a joint from that corner; turn a square box-out to a diamond, or form it round."
	case "H5":
		if b.outline {
			return fmt.Sprintf("outline corner %.1f° is sharper than 60°", degrees), "Clip it back, or thicken and reinforce it."
		}
		return fmt.Sprintf("%s has a corner of %.1f°, sharper than 60°", panel, degrees), "Turn the last foot of the joint square to the edge, or clip the outline."
	case "H6":
		return fmt.Sprintf("a joint meets the edge at %.1f°", degrees), "Turn its last foot (0.3 m) square to the edge."
	case "H7":
		return "a box-out is not met by joints from two sides", "Move a joint to its middle, or turn a square box-out to a diamond."
	case "H8":
		return panel + " is a sliver", "Move or drop a joint beside it."
	}
	return "a joint of the slab tied to this one has no joint to meet", "Line one up with it, or isolate the two slabs."
}
