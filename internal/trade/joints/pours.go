package joints

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

// Pour is what one crew places and finishes in one day, between construction joints.
type Pour struct {
	Number int             `json:"number"` // in the order of placing
	Panels []int           `json:"panels"` // by number
	Area   quantity.Area   `json:"area"`
	Volume quantity.Volume `json:"volume"` // neat
	Loads  int             `json:"loads"`  // trucks
	Last   quantity.Volume `json:"last"`   // in the last one
}

// dayAreas are what a crew of so many hands places and finishes in a day, broom finish: two to three hands up to 250 ft²,
// three to four up to 600, four to five up to 1200, five to seven up to 2000. Source: common practice.
var dayAreas = []struct{ hands, squareFeet float64 }{{2, 250}, {3, 600}, {4, 1200}, {5, 2000}, {7, 2400}}

// DayArea returns how much slab a crew of so many hands places and finishes in a day. Error below one hand.
func DayArea(hands quantity.Number) (quantity.Area, error) {
	if !(hands >= 1) || hands > 100 {
		return 0, fmt.Errorf("joints: a crew of %g hands cannot pour: type 2 or more", float64(hands))
	}
	most := dayAreas[0].squareFeet
	for _, row := range dayAreas {
		if float64(hands) >= row.hands {
			most = row.squareFeet
		}
	}
	return quantity.Of[quantity.Area](most, "ft2"), nil
}

// dayArea is the one given, or by the crew.
func (in Input) dayArea() float64 {
	if in.DayArea.Given() {
		return in.DayArea.Value.SquareMetres()
	}
	area, err := DayArea(in.Hands.Value)
	if err != nil {
		return math.Inf(1)
	}
	return area.SquareMetres()
}

// part is some panels of a layout, by index.
type part []int

func (c choice) area(p part) float64 {
	sum := 0.0
	for _, i := range p {
		sum += c.panels[i].Area()
	}
	return sum
}

// pour splits a layout into days at joints, marks those joints as construction joints, and adds the days above the least to
// its score. stops are lines where a person has said that placing stops.
func (c *choice) pour(in Input, f frame) {
	all := make(part, len(c.panels))
	for i := range all {
		all[i] = i
	}
	parts := []part{all}
	for _, stop := range in.stops(f) {
		var next []part
		for _, p := range parts {
			left, right, ok := c.parted(p, stop)
			if !ok {
				next = append(next, p)
				continue
			}
			next = append(next, left, right)
		}
		parts = next
	}
	day := in.dayArea()
	var days []part
	for _, p := range parts {
		days = append(days, c.days(p, day)...)
	}
	c.pours = days
	c.stopAt()
	least := max(1, int(math.Ceil(c.area(all)/day-1e-9)))
	c.score += weightPours * (float64(len(days))/float64(least) - 1)
}

// parted splits panels by the line of a joint: each must lie on one side of it. ok is false where one does not, or all lie
// on one side.
func (c choice) parted(p part, joint geometry.Segment) (left, right part, ok bool) {
	line := geometry.LineThrough(joint.A, joint.B)
	for _, i := range p {
		low, high := math.Inf(1), math.Inf(-1)
		for _, q := range c.panels[i].Outer {
			d := line.Offset(q)
			low, high = min(low, d), max(high, d)
		}
		switch {
		case low > -2*skewLimit:
			left = append(left, i)
		case high < 2*skewLimit:
			right = append(right, i)
		default:
			return nil, nil, false
		}
	}
	return left, right, len(left) > 0 && len(right) > 0
}

// days splits panels that are more than a day's work, along the joint that leaves the fewest days, then is shortest, then
// halves best, and so on with each half.
func (c choice) days(p part, day float64) []part {
	if c.area(p) <= day*1.001 || len(p) == 1 {
		return []part{p}
	}
	type split struct {
		left, right   part
		days          int
		length, apart float64
	}
	need := func(a float64) int { return int(math.Ceil(a/day - 1e-3)) }
	var best *split
	for _, j := range c.joints {
		left, right, ok := c.parted(p, j.Segment)
		if !ok {
			continue
		}
		a, b := c.area(left), c.area(right)
		s := &split{left, right, need(a) + need(b), c.border(left, j.Segment), math.Abs(a - b)}
		if best == nil || cmp.Or(cmp.Compare(s.days, best.days), compareNear(s.length, best.length), compareNear(s.apart, best.apart)) < 0 {
			best = s
		}
	}
	if best == nil {
		return []part{p}
	}
	return append(c.days(best.left, day), c.days(best.right, day)...)
}

func compareNear(a, b float64) int {
	if math.Abs(a-b) < 0.01 {
		return 0
	}
	return cmp.Compare(a, b)
}

// border is the length of panel sides on the line of a joint that parts these panels from others.
func (c choice) border(p part, joint geometry.Segment) float64 {
	line := geometry.LineThrough(joint.A, joint.B)
	sum := 0.0
	for _, i := range p {
		for _, e := range c.panels[i].Edges() {
			if math.Abs(line.Offset(e.A)) < 2*skewLimit && math.Abs(line.Offset(e.B)) < 2*skewLimit {
				sum += e.Length()
			}
		}
	}
	return sum
}

// holding is the panel that holds a place, -1 if none does.
func (c choice) holding(q geometry.Point) int {
	return slices.IndexFunc(c.panels, func(p geometry.Polygon) bool { return p.Bounds().Contains(q) && p.Contains(q) })
}

// stopAt makes joints between two days construction joints, cut where they go on inside one day.
func (c *choice) stopAt() {
	var out []joint
	for _, j := range c.joints {
		j.construction = false
		if len(c.pours) > 1 {
			out = append(out, c.sections(j)...)
			continue
		}
		out = append(out, j)
	}
	c.joints = out
}

// sections cuts a joint where it passes from between two days into one day.
func (c choice) sections(j joint) []joint {
	stations := []float64{0, j.Length()}
	for _, o := range c.joints {
		if how, at := j.Meet(o.Segment); how != geometry.Apart {
			t, _ := j.Offset(at)
			stations = append(stations, min(max(t, 0), j.Length()))
		}
	}
	slices.Sort(stations)
	aside := j.Direction().Left().Scale(0.02)
	var out []joint
	for k := 1; k < len(stations); k++ {
		from, to := stations[k-1], stations[k]
		if to-from < 2*slack {
			continue
		}
		mid := j.At((from + to) / 2 / j.Length())
		a, b := c.dayOf(mid.Add(aside)), c.dayOf(mid.Sub(aside))
		piece := joint{Segment: geometry.Segment{A: j.At(from / j.Length()), B: j.At(to / j.Length())}, construction: a != b && a >= 0 && b >= 0, foot: j.foot}
		if n := len(out); n > 0 && out[n-1].construction == piece.construction {
			out[n-1].B = piece.B
			continue
		}
		out = append(out, piece)
	}
	return out
}

func (c choice) dayOf(q geometry.Point) int {
	panel := c.holding(q)
	return slices.IndexFunc(c.pours, func(p part) bool { return slices.Contains(p, panel) })
}

// inOrder puts the days in the order of placing: farthest from where trucks stand first, so that no truck or hose crosses
// fresh concrete; without a stand, from the tape corner on.
func (c choice) inOrder(in Input, f frame, corner geometry.Point) []part {
	stands := in.Stands
	sign := -1.0
	if len(stands) == 0 {
		stands, sign = []geometry.Point{corner}, 1
	}
	reach := func(p part) float64 {
		near := math.Inf(1)
		for _, i := range p {
			for _, q := range stands {
				near = min(near, c.panels[i].Centroid().Distance(f.enter(q)))
			}
		}
		return sign * near
	}
	out := slices.Clone(c.pours)
	slices.SortStableFunc(out, func(a, b part) int { return cmp.Compare(reach(a), reach(b)) })
	return out
}

// pourPlan is the days as people read them.
func (c choice) pourPlan(in Input, f frame, corner geometry.Point) []Pour {
	var out []Pour
	for i, p := range c.inOrder(in, f, corner) {
		pour := Pour{Number: i + 1, Area: quantity.Area(c.area(p))}
		for _, k := range p {
			pour.Panels = append(pour.Panels, k+1)
		}
		slices.Sort(pour.Panels)
		pour.Volume = quantity.Volume(pour.Area.SquareMetres() * in.Thickness.Value.Metres())
		truck := in.TruckHolds.Value
		pour.Loads = max(1, int(math.Ceil(float64(pour.Volume)/float64(truck)-1e-9)))
		pour.Last = pour.Volume - quantity.Volume(float64(pour.Loads-1))*truck
		out = append(out, pour)
	}
	return out
}
