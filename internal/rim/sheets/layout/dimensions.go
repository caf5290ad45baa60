package layout

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/trade/draft"
)

// How dimensions are drawn, millimetres: an oblique tick at each end, extension lines that leave the object by a gap and
// pass the dimension line, figures standing over the line and read from the bottom or the right edge.
const (
	labelCap     = draft.LabelHeight
	tickHalf     = 1.3
	tickPen      = 0.6
	extensionGap = 1.5
	extensionEnd = 2.0
	lineOverrun  = 1.3
	figureLift   = 1.2
	rowSpacing   = 7.5
)

// measured is a dimension on paper, turned so that it reads along +along.
type measured struct {
	mark     drawing.Dimension
	a, b     page.Point // on the object, a before b along the reading direction
	along    page.Point
	offset   float64 // of the dimension line from a, to the left of along
	from, to float64 // stations of a and b along along
	level    float64 // place of the dimension line across along
	step     int     // how many steps outwards the figure stands: none when it fits over the line
}

// chain is dimensions on one line, end to end.
type chain struct{ parts []measured }

// settle sorts the parts along the line and gives each short one a step outwards, the second when its figure would cover
// that of a short one before it.
func (c chain) settle() {
	slices.SortStableFunc(c.parts, func(a, b measured) int { return cmp.Compare(a.from, b.from) })
	until := [3]float64{0, math.Inf(-1), math.Inf(-1)}
	for i, d := range c.parts {
		if !d.short() {
			continue
		}
		half, middle := d.figure().width()/2+1, (d.from+d.to)/2
		step := 1
		if middle-half < until[1] && until[2] < until[1] {
			step = 2
		}
		until[step] = middle + half
		c.parts[i].step = step
	}
}

// depth is the room the chain takes outwards from its line, to the next chain's line.
func (c chain) depth() float64 {
	most := 0
	for _, d := range c.parts {
		most = max(most, d.step)
	}
	return rowSpacing + float64(most)*stepOut
}

// stepOut is how far beyond the row a figure stands that its dimension is too short for.
const stepOut = labelCap + 1.5

// short says whether the figure is wider than the dimension.
func (d measured) short() bool { return d.figure().width()+2 > d.to-d.from }

func (d measured) figure() label {
	return label{ink: inkOf(d.mark.Layer, d.mark.Ref), says: []string{d.mark.Says}, cap: labelCap, anchor: drawing.Middle,
		angle: d.along.Heading()}
}

func (s *sheet) dimensions(marks []drawing.Dimension) {
	var all []measured
	for _, m := range marks {
		if d, ok := s.measure(m); ok {
			all = append(all, d)
		}
	}
	running, rest := runs(all)
	var chains []chain
	for _, d := range rest {
		chains = joined(chains, d)
	}
	slices.SortStableFunc(chains, func(a, b chain) int {
		return cmp.Or(cmp.Compare(math.Abs(a.parts[0].offset), math.Abs(b.parts[0].offset)), cmp.Compare(a.length(), b.length()))
	})
	for _, c := range chains {
		c.settle()
	}
	for i := range chains {
		chains[i].moveClear(chains[:i])
		for _, d := range chains[i].parts {
			s.dimensionLines(d)
		}
	}
	for _, c := range chains {
		for _, d := range c.parts {
			s.write(d, c)
		}
	}
	for _, r := range running {
		s.drawRun(r, chains)
	}
}

func (s *sheet) measure(m drawing.Dimension) (measured, bool) {
	a, b, offset := s.view.On(m.A), s.view.On(m.B), m.Offset
	along := b.Sub(a).Unit()
	if along == (page.Point{}) {
		return measured{}, false
	}
	if !readsUpright(along) {
		a, b, along, offset = b, a, along.Scale(-1), -offset
	}
	d := measured{mark: m, a: a, b: b, along: along, offset: offset}
	d.from, d.to = along.Dot(a), along.Dot(b)
	d.level = along.Cross(a) + offset
	return d, true
}

// readsUpright says whether lettering along a direction reads from the bottom or the right edge of the sheet.
func readsUpright(along page.Point) bool {
	const leaning = 0.035 // sin 2°: a side taped as upright is upright
	return along.X > leaning || math.Abs(along.X) <= leaning && along.Y > 0
}

func (d measured) sameLine(o measured) bool {
	return d.along.Distance(o.along) < 1e-3 && math.Abs(d.level-o.level) < 0.5 && (d.offset < 0) == (o.offset < 0)
}

// joined adds d to the chain it continues, or as a chain of its own.
func joined(chains []chain, d measured) []chain {
	for i, c := range chains {
		if c.parts[0].sameLine(d) && !slices.ContainsFunc(c.parts, func(o measured) bool {
			return d.from < o.to-0.5 && o.from < d.to-0.5
		}) {
			chains[i].parts = append(chains[i].parts, d)
			return chains
		}
	}
	return append(chains, chain{parts: []measured{d}})
}

func (c chain) length() float64 {
	sum := 0.0
	for _, d := range c.parts {
		sum += d.to - d.from
	}
	return sum
}

// moveClear moves the chain outwards until it lies clear of the chains before it.
func (c *chain) moveClear(before []chain) {
	for range before {
		move := 0.0
		for _, o := range before {
			move = max(move, c.overlap(o))
		}
		if move <= 0 {
			return
		}
		out := math.Copysign(move, c.parts[0].offset)
		for i := range c.parts {
			c.parts[i].offset += out
			c.parts[i].level += out
		}
	}
}

// overlap is how far c must move outwards to clear o, zero when it does.
func (c *chain) overlap(o chain) float64 {
	move := 0.0
	for _, d := range c.parts {
		for _, e := range o.parts {
			if d.along.Distance(e.along) > 1e-3 || d.from > e.to-0.5 || e.from > d.to-0.5 {
				continue
			}
			apart := (d.level - e.level) * math.Copysign(1, d.offset)
			room := o.depth()
			if apart < 0 {
				room = c.depth()
			}
			if math.Abs(apart) < room-0.1 {
				move = max(move, o.depth()-apart)
			}
		}
	}
	return move
}

func (s *sheet) dimensionLines(d measured) {
	up := d.along.Left()
	a, b := d.a.Add(up.Scale(d.offset)), d.b.Add(up.Scale(d.offset))
	side := math.Copysign(1, d.offset)
	lines := []page.Line{{Points: []page.Point{a.Sub(d.along.Scale(lineOverrun)), b.Add(d.along.Scale(lineOverrun))}}}
	if math.Abs(d.offset) > extensionGap {
		for _, foot := range []page.Point{d.a, d.b} {
			lines = append(lines, page.Line{Points: []page.Point{
				foot.Add(up.Scale(side * extensionGap)), foot.Add(up.Scale(d.offset + side*extensionEnd))}})
		}
	}
	ink := inkOf(d.mark.Layer, d.mark.Ref)
	width := max(d.mark.Layer.Width, 0.2)
	slant := d.along.Add(up).Unit().Scale(tickHalf * math.Sqrt2)
	s.signs = append(s.signs,
		page.Stroke{Ink: ink, Width: width, Lines: lines},
		page.Stroke{Ink: ink, Width: tickPen, Lines: []page.Line{
			{Points: []page.Point{a.Sub(slant), a.Add(slant)}}, {Points: []page.Point{b.Sub(slant), b.Add(slant)}}}})
	for _, l := range lines {
		s.lies(l, thinWeight)
	}
}

// write puts the figure over its line where it is free: in the middle, or towards an end; one that is wider than its
// dimension goes a step outwards or beyond an end. Where nothing is free it stands on a leader.
func (s *sheet) write(d measured, c chain) {
	if d.mark.Says == "" {
		return
	}
	l := d.figure()
	places := d.over(l)
	if d.step > 0 {
		places = d.beyond(l)
	}
	best, least := places[0].middle, math.Inf(1)
	for _, p := range places {
		cost := p.cost + s.crowding(l, p.middle, s.lying, math.Inf(1)) + c.crowding(d, l, p.middle)
		if cost < least {
			best, least = p.middle, cost
		}
	}
	if least >= labelWeight {
		l.at, l.angle = d.a.Lerp(d.b, 0.5).Add(d.along.Left().Scale(d.offset)), 0
		best, _ = s.bestOf(l, l.places(far))
		s.lead(l, best)
	}
	s.put(l, best)
}

// over are the places over the dimension line.
func (d measured) over(l label) []place {
	middle := d.a.Lerp(d.b, 0.5).Add(d.along.Left().Scale(d.offset + figureLift + labelCap/2))
	out := []place{{middle, 0}}
	spare := (d.to-d.from)/2 - l.width()/2 - 1
	for _, share := range []float64{0.35, 0.7, 1} {
		out = append(out, place{middle.Add(d.along.Scale(share * spare)), share}, place{middle.Sub(d.along.Scale(share * spare)), share})
	}
	return out
}

// beyond are the places of a figure that is wider than its dimension.
func (d measured) beyond(l label) []place {
	up := d.along.Left()
	middle := d.a.Lerp(d.b, 0.5).Add(up.Scale(d.offset))
	over := middle.Add(up.Scale(figureLift + labelCap/2))
	out := figureLift + labelCap/2 + float64(d.step-1)*stepOut
	if d.offset >= 0 {
		out += stepOut
	}
	outwards := up.Scale(math.Copysign(1, d.offset))
	aside := d.along.Scale((d.to-d.from)/2 + l.width()/2 + lineOverrun + 1)
	return []place{{middle.Add(outwards.Scale(out)), 0}, {over.Add(aside), 3}, {over.Sub(aside), 3}}
}

// crowding is the cost of writing d's figure over the line of other parts of the chain, whose figures may still come.
func (c chain) crowding(d measured, l label, at page.Point) float64 {
	from, to := d.along.Dot(at)-l.width()/2, d.along.Dot(at)+l.width()/2
	cost := 0.0
	if rise := d.along.Cross(at) - d.level; rise < 0 || rise > figureLift+labelCap {
		return 0
	}
	for _, o := range c.parts {
		if o != d && from < o.to-1 && to > o.from+1 {
			cost += labelWeight
		}
	}
	return cost
}
