package grade

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/check"
)

// aim is a direction in which the water may be sent.
type aim struct {
	toward geometry.Point // unit vector
	says   string
	said   bool // a person named it
}

// tried is how many directions are tried when nothing says where the water goes.
const tried = 16

// aims lists the directions to try, in turn: the one a person named; else straight away from the walls; else all round, none
// of them toward a wall.
func (w *work) aims() ([]aim, error) {
	if word := strings.TrimSpace(w.in.Drain.Value); word != "" {
		a, ok := w.spoken(word)
		if !ok {
			return nil, check.Faults{{Field: "grade.drain", Given: word, Why: "is no direction known here.",
				Type: fmt.Sprintf("Type away from wall, to side %s, a compass word like south, or degrees from north like 135.", w.sideName(0))}}
		}
		return []aim{a}, nil
	}
	if a, ok := w.awayFromWalls(""); ok {
		return []aim{a}, nil
	}
	return w.round(), nil
}

// round is every direction of the compass rose, counted from the way out over the longest side; none toward a wall.
func (w *work) round() []aim {
	_, outward := w.axis()
	var out []aim
	for k := range tried {
		d := outward.Rotate(geometry.Point{}, 2*math.Pi*float64(k)/tried)
		toward := false
		for _, e := range w.walls() {
			toward = toward || d.Dot(e.Outward) > 1e-9
		}
		if !toward {
			out = append(out, aim{toward: d, says: w.wayWords(d)})
		}
	}
	return out
}

// walls lists the sides that run along something.
func (w *work) walls() []geometry.Edge {
	var out []geometry.Edge
	for _, e := range w.slab.Edges() {
		if e.Ring == 0 && w.in.wall(e.Index) != "" {
			out = append(out, e)
		}
	}
	return out
}

// awayFromWalls is straight away from the longest wall (of that name, if one is given), if no other wall stands there.
func (w *work) awayFromWalls(name string) (aim, bool) {
	var best geometry.Edge
	for _, e := range w.walls() {
		if (name == "" || strings.EqualFold(name, w.in.wall(e.Index))) && e.Length() > best.Length()*(1+1e-9) {
			best = e
		}
	}
	d := best.Outward.Scale(-1)
	if best.Length() == 0 {
		return aim{}, false
	}
	for _, e := range w.walls() {
		if d.Dot(e.Outward) > 1e-9 {
			return aim{}, false
		}
	}
	return aim{toward: d, says: "away from " + w.in.wall(best.Index)}, true
}

// compass names the headings clockwise from north, in steps of 45°.
var compass = []string{"north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest"}

// spoken understands a direction in words.
func (w *work) spoken(text string) (aim, bool) {
	word := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if name, ok := strings.CutPrefix(word, "away from "); ok {
		name = strings.TrimPrefix(name, "the ")
		a, found := w.awayFromWalls(name)
		if !found && (name == "wall" || name == "house" || name == "building") {
			a, found = w.awayFromWalls("")
		}
		a.said = true
		return a, found
	}
	if name, ok := strings.CutPrefix(strings.TrimPrefix(word, "to "), "side "); ok {
		e, found := w.side(name)
		return aim{toward: e.Outward, says: "to side " + w.sideName(e.Index), said: true}, found
	}
	if azimuth, ok := azimuthOf(strings.TrimPrefix(word, "to ")); ok {
		d := geometry.Direction(math.Pi/2 - float64(w.in.North.Value) - azimuth)
		return aim{toward: d, says: w.wayWords(d), said: true}, true
	}
	return aim{}, false
}

// azimuthOf reads a compass word or degrees clockwise from north.
func azimuthOf(word string) (float64, bool) {
	for i, name := range compass {
		short := strings.NewReplacer("north", "n", "south", "s", "east", "e", "west", "w").Replace(name)
		if word == name || word == short {
			return float64(i) * math.Pi / 4, true
		}
	}
	for _, unit := range []string{"degrees", "degree", "deg", "°"} {
		word = strings.TrimSpace(strings.TrimSuffix(word, unit))
	}
	deg, err := strconv.ParseFloat(word, 64)
	if err != nil || !(deg >= -360) || !(deg <= 360) {
		return 0, false
	}
	return deg * math.Pi / 180, true
}

// side finds a side of the outer edge by its corners' names, either way round.
func (w *work) side(name string) (geometry.Edge, bool) {
	for _, e := range w.slab.Edges() {
		n := len(w.names)
		a, b := w.names[e.Index%n], w.names[(e.Index+1)%n]
		if e.Ring == 0 && (strings.EqualFold(name, a+b) || strings.EqualFold(name, b+a)) {
			return e, true
		}
	}
	return geometry.Edge{}, false
}

// sideName is a side by its corners; a piece of a curve goes by the curve's.
func (w *work) sideName(i int) string {
	n := len(w.names)
	for _, c := range w.in.Curves {
		if (i-c.First+n)%n < (c.Last-c.First+n)%n {
			return c.Side
		}
	}
	return w.names[i] + w.names[(i+1)%n]
}

// straight is how near a direction must be to a side's, as a cosine, to be called by that side: 15°.
var straight = math.Cos(math.Pi / 12)

// wayWords says a direction as the side or the corner the water leaves by and, when it turns its back on a wall, that wall.
func (w *work) wayWords(d geometry.Point) string {
	best, says := straight, "toward corner "+w.names[w.farthest(d)]
	for _, e := range w.slab.Edges() {
		if lead := d.Dot(e.Outward); e.Ring == 0 && lead > best+1e-9 {
			best, says = lead, "to side "+w.sideName(e.Index)
		}
	}
	for _, e := range w.walls() {
		if d.Dot(e.Outward) < -straight {
			return says + ", away from " + w.in.wall(e.Index)
		}
	}
	return says
}

// farthest is the corner farthest that way.
func (w *work) farthest(d geometry.Point) int {
	best := 0
	for i, p := range w.slab.Outer {
		if p.Sub(w.slab.Outer[best]).Dot(d) > 1e-9 {
			best = i
		}
	}
	return best
}
