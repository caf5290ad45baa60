package joints

import (
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// verdict is what the search thinks of a set of joint lines.
type verdict struct {
	panels []patch
	broken int     // hard rules broken, each panel and place for itself
	depth  float64 // by how much, so that a lesser evil is seen as one
	score  float64 // the stated cost J, less is better
}

// patch is a panel as the search needs it: its bounds and whether it breaks a rule.
type patch struct {
	box geometry.Box
	bad bool
}

// energy is what the search brings down: broken rules first, then panels (or the score, where squarest is preferred).
func (v verdict) energy(rules limits, least int) float64 {
	hard := brokenWorth*float64(v.broken) + 2*v.depth
	if rules.squarest {
		return hard + float64(least)*v.score
	}
	return hard + float64(len(v.panels)) + v.score/4
}

// assayer judges joint lines on a ground.
type assayer interface {
	assay(lines []geometry.Segment) verdict
}

// grid judges lines on ground of square corners: corners and lines make a grid of cells, cells with no line between them a
// panel. One look takes some microseconds.
type grid struct {
	f       frame
	rules   limits
	least   int
	walls   []geometry.Segment // upright edges of the ground
	corners []geometry.Corner  // inside corners
	baseX   []float64
	baseY   []float64
	xs, ys  []float64
	inside  []bool
	label   []int
	right   []bool // a line runs along the right side of the cell
	upper   []bool
	stack   []int
}

func newGrid(f frame, rules limits, least int) *grid {
	g := &grid{f: f, rules: rules, least: least, corners: f.square.ReentrantCorners()}
	for _, e := range f.square.Edges() {
		if math.Abs(e.A.X-e.B.X) < slack/2 {
			g.walls = append(g.walls, e.Segment)
		}
		g.baseX, g.baseY = append(g.baseX, e.A.X), append(g.baseY, e.A.Y)
	}
	return g
}

func (g *grid) assay(lines []geometry.Segment) verdict {
	g.rule(lines)
	g.cells(lines)
	v := g.patches()
	g.knots(lines, &v)
	sawn := 0.0
	for _, s := range lines {
		sawn += s.Length()
	}
	v.score = score(v.areas(), v.aspects(), sawn, loadsOn(lines, g.rules.loads), v.slivers(g.rules), g.rules, g.least)
	return v
}

// rule lays the coordinates of the grid: corners and lines, those within a pencil line of one another once.
func (g *grid) rule(lines []geometry.Segment) {
	g.xs, g.ys = append(g.xs[:0], g.baseX...), append(g.ys[:0], g.baseY...)
	for _, s := range lines {
		if upright(s) {
			g.xs = append(g.xs, s.A.X)
		} else {
			g.ys = append(g.ys, s.A.Y)
		}
	}
	close := func(a, b float64) bool { return math.Abs(b-a) < slack }
	slices.Sort(g.xs)
	slices.Sort(g.ys)
	g.xs, g.ys = slices.CompactFunc(g.xs, close), slices.CompactFunc(g.ys, close)
}

func indexOf(list []float64, v float64) int {
	i, _ := slices.BinarySearch(list, v-slack)
	return min(i, len(list)-1)
}

// cells marks what is slab and where lines run.
func (g *grid) cells(lines []geometry.Segment) {
	nx, ny := len(g.xs)-1, len(g.ys)-1
	n := nx * ny
	if cap(g.inside) < n {
		g.inside, g.label, g.right, g.upper = make([]bool, n), make([]int, n), make([]bool, n), make([]bool, n)
	}
	g.inside, g.label, g.right, g.upper = g.inside[:n], g.label[:n], g.right[:n], g.upper[:n]
	clear(g.inside)
	clear(g.right)
	clear(g.upper)
	for _, w := range g.walls {
		low, high := min(w.A.Y, w.B.Y), max(w.A.Y, w.B.Y)
		from := indexOf(g.xs, w.A.X)
		for j := indexOf(g.ys, low); j < ny && g.ys[j] < high-slack; j++ {
			for i := from; i < nx; i++ {
				g.inside[j*nx+i] = !g.inside[j*nx+i]
			}
		}
	}
	for _, s := range lines {
		if upright(s) {
			i, low, high := indexOf(g.xs, s.A.X), min(s.A.Y, s.B.Y), max(s.A.Y, s.B.Y)
			for j := indexOf(g.ys, low); i > 0 && j < ny && g.ys[j] < high-slack; j++ {
				g.right[j*nx+i-1] = true
			}
			continue
		}
		j, low, high := indexOf(g.ys, s.A.Y), min(s.A.X, s.B.X), max(s.A.X, s.B.X)
		for i := indexOf(g.xs, low); j > 0 && i < nx && g.xs[i] < high-slack; i++ {
			g.upper[(j-1)*nx+i] = true
		}
	}
}

// patches floods the cells and holds every panel against the rules of size and shape.
func (g *grid) patches() verdict {
	nx, ny := len(g.xs)-1, len(g.ys)-1
	v := verdict{panels: make([]patch, 0, 64)}
	for i := range g.label {
		g.label[i] = -1
	}
	for c := range g.label {
		if !g.inside[c] || g.label[c] >= 0 {
			continue
		}
		area, left, right, low, high := 0.0, nx, 0, ny, 0
		g.stack = append(g.stack[:0], c)
		g.label[c] = len(v.panels)
		reach := func(to int) {
			if g.inside[to] && g.label[to] < 0 {
				g.label[to] = len(v.panels)
				g.stack = append(g.stack, to)
			}
		}
		for len(g.stack) > 0 {
			at := g.stack[len(g.stack)-1]
			g.stack = g.stack[:len(g.stack)-1]
			i, j := at%nx, at/nx
			left, right, low, high = min(left, i), max(right, i+1), min(low, j), max(high, j+1)
			area += (g.xs[i+1] - g.xs[i]) * (g.ys[j+1] - g.ys[j])
			if i+1 < nx && !g.right[at] {
				reach(at + 1)
			}
			if i > 0 && !g.right[at-1] {
				reach(at - 1)
			}
			if j+1 < ny && !g.upper[at] {
				reach(at + nx)
			}
			if j > 0 && !g.upper[at-nx] {
				reach(at - nx)
			}
		}
		box := geometry.Box{Min: geometry.Point{X: g.xs[left], Y: g.ys[low]}, Max: geometry.Point{X: g.xs[right], Y: g.ys[high]}}
		v.panels = append(v.panels, patch{box, v.weigh(box, area, g.rules)})
	}
	return v
}

// weigh adds what a panel of these bounds and area breaks: length, aspect, narrowness, an inside corner.
func (v *verdict) weigh(box geometry.Box, area float64, rules limits) (bad bool) {
	long, short := max(box.Width(), box.Height()), min(box.Width(), box.Height())
	breach := func(by float64) {
		v.broken++
		v.depth += min(by, 3)
		bad = true
	}
	if more := parts(long, rules.spacing)*parts(short, rules.spacing) - 1; more > 0 {
		breach(long/rules.spacing - 1)
		v.broken += more - 1
	}
	if long > rules.aspect*short+slack {
		breach(long/short - rules.aspect)
	}
	if short < rules.narrowest-slack || area < rules.leastArea {
		breach(1 - short/max(rules.narrowest, short))
	}
	if area < long*short-slack*(long+short) {
		breach(0.5 + 1 - area/(long*short))
	}
	return bad
}

// knots adds inside corners that no line leaves, and what lines do to box-outs: run into them off their middle, or leave
// them out.
func (g *grid) knots(lines []geometry.Segment, v *verdict) {
	for _, c := range g.corners {
		if !slices.ContainsFunc(lines, func(s geometry.Segment) bool { return s.Distance(c.At) < near/2 }) {
			v.broken++
		}
	}
	for _, q := range g.f.posts {
		var served [2]bool
		for _, s := range lines {
			d := s.Distance(q.at)
			switch {
			case d < near && upright(s):
				served[0] = true
			case d < near:
				served[1] = true
			case d < q.reach+slack:
				v.broken++
				v.depth += 1 - d/q.reach/2
			}
		}
		if !served[0] && !served[1] || !q.round && !(served[0] && served[1]) {
			v.broken++
			v.depth++
		}
	}
}

func (v verdict) areas() []float64 {
	out := make([]float64, len(v.panels))
	for i, p := range v.panels {
		out[i] = p.box.Width() * p.box.Height()
	}
	return out
}

func (v verdict) aspects() []float64 {
	out := make([]float64, len(v.panels))
	for i, p := range v.panels {
		out[i] = max(p.box.Width(), p.box.Height()) / min(p.box.Width(), p.box.Height())
	}
	return out
}

func (v verdict) slivers(rules limits) int {
	n := 0
	for _, p := range v.panels {
		if min(p.box.Width(), p.box.Height()) < rules.narrowest-slack || p.box.Width()*p.box.Height() < rules.leastArea {
			n++
		}
	}
	return n
}
