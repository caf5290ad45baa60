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
}

// chain is dimensions on one line, end to end; depth is the room they take outwards from it, to the next chain's line.
type chain struct {
	parts []measured
	depth float64
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
	for i := range chains {
		chains[i].moveClear(chains[:i])
		s.drawChain(&chains[i])
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
	const level = 1e-6
	return along.X > level || math.Abs(along.X) <= level && along.Y > 0
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
	return append(chains, chain{[]measured{d}, rowSpacing})
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
			room := o.depth
			if apart < 0 {
				room = c.depth
			}
			if math.Abs(apart) < room-0.1 {
				move = max(move, o.depth-apart)
			}
		}
	}
	return move
}

func (s *sheet) drawChain(c *chain) {
	for _, d := range c.parts {
		s.dimensionLines(d)
	}
	for _, d := range c.parts {
		s.write(d, c)
	}
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

// write puts the figure over its line; one that is wider than its dimension goes a step outwards or beyond an end.
func (s *sheet) write(d measured, c *chain) {
	if d.mark.Says == "" {
		return
	}
	l := d.figure()
	up := d.along.Left()
	middle := d.a.Lerp(d.b, 0.5).Add(up.Scale(d.offset))
	over := middle.Add(up.Scale(figureLift + labelCap/2))
	if !d.short() {
		s.put(l, over)
		return
	}
	out := figureLift + labelCap/2
	if d.offset >= 0 {
		out += stepOut
	}
	outwards := up.Scale(math.Copysign(1, d.offset))
	beyond := d.along.Scale((d.to-d.from)/2 + l.width()/2 + lineOverrun + 1)
	places := []place{{middle.Add(outwards.Scale(out)), 0}, {over.Add(beyond), 3}, {over.Sub(beyond), 3},
		{middle.Add(outwards.Scale(out + stepOut)), 8}}
	best, least := 0, math.Inf(1)
	for i, p := range places {
		cost := p.cost + s.crowding(l, p.middle, s.lying)
		if i == 1 || i == 2 {
			cost += c.crowding(d, l, p.middle)
		}
		if cost < least {
			best, least = i, cost
		}
	}
	s.put(l, places[best].middle)
	switch best {
	case 0:
		c.depth = max(c.depth, rowSpacing+stepOut)
	case 3:
		c.depth = max(c.depth, rowSpacing+2*stepOut)
	}
}

// crowding is the cost of writing d's figure on the line of other parts of the chain, whose figures may still come.
func (c *chain) crowding(d measured, l label, at page.Point) float64 {
	from, to := d.along.Dot(at)-l.width()/2, d.along.Dot(at)+l.width()/2
	cost := 0.0
	for _, o := range c.parts {
		if o != d && from < o.to-1 && to > o.from+1 {
			cost += labelWeight
		}
	}
	return cost
}
