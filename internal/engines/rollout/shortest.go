package rollout

import (
	"math"

	"slabwright/internal/engines/geometry"
)

// Shortest is the shortest drive of a vehicle without trailer between two poses when nothing is in the way, turning no
// tighter than radius (m) and free to change direction: pieces of full left, full right and straight.
//
// J. A. Reeds and L. A. Shepp, Optimal paths for a car that goes both forwards and backwards, Pacific J. Math. 145 (1990):
// a shortest path is among 48 words of at most five pieces. The words are made from nine families by driving them with
// left for right, forwards for backwards, and from the other end. Every candidate is driven to its end and counts only if
// it arrives, so no answer is wrong; it is the shortest as far as the families are complete. Checked: SITE-37.
func Shortest(from, to Pose, radius float64) Drive {
	local := to.At.Sub(from.At).Rotate(geometry.Point{}, -from.Heading).Scale(1 / radius)
	goal := turned{local.X, local.Y, wrap(to.Heading - from.Heading)}
	best, length := word{}, math.Inf(1)
	for _, flip := range []bool{false, true} {
		for _, mirror := range []bool{false, true} {
			for _, back := range []bool{false, true} {
				g := goal.view(flip, mirror, back)
				for _, family := range families {
					w, ok := family(g)
					if !ok || w.length() >= length-1e-12 || !w.reaches(g) {
						continue
					}
					best, length = w.unview(flip, mirror, back), w.length()
				}
			}
		}
	}
	drive := Drive{From: from}
	for i := range best.n {
		drive.Pieces = append(drive.Pieces, Piece{best.side[i] / radius, best.run[i] * radius})
	}
	return drive.Joined()
}

// turned is a pose at unit radius, seen from the start.
type turned struct{ x, y, phi float64 }

// view is the goal of the word that is driven with forwards for backwards (flip), left for right (mirror), from the other
// end (back).
func (g turned) view(flip, mirror, back bool) turned {
	if back {
		s, c := math.Sincos(g.phi)
		g.x, g.y = g.x*c+g.y*s, g.x*s-g.y*c
	}
	if flip {
		g.x, g.phi = -g.x, -g.phi
	}
	if mirror {
		g.y, g.phi = -g.y, -g.phi
	}
	return g
}

// word is a candidate: side 1 left, −1 right, 0 straight; run is the signed length of each piece at unit radius.
type word struct {
	n    int
	side [5]float64
	run  [5]float64
}

func wordOf(sides string, runs ...float64) word {
	w := word{n: len(runs)}
	for i, s := range sides {
		switch s {
		case 'L':
			w.side[i] = 1
		case 'R':
			w.side[i] = -1
		}
		w.run[i] = runs[i]
	}
	return w
}

func (w word) length() float64 {
	sum := 0.0
	for _, r := range w.run[:w.n] {
		sum += math.Abs(r)
	}
	return sum
}

// reaches says whether the word, driven from the origin, ends at the goal.
func (w word) reaches(g turned) bool {
	x, y, h := 0.0, 0.0, 0.0
	for i := range w.n {
		s, c := math.Sincos(h)
		if k := w.side[i]; k != 0 {
			s1, c1 := math.Sincos(h + k*w.run[i])
			x, y, h = x+(s1-s)/k, y-(c1-c)/k, h+k*w.run[i]
		} else {
			x, y = x+w.run[i]*c, y+w.run[i]*s
		}
	}
	const arrived = 1e-7
	return math.Abs(x-g.x) < arrived && math.Abs(y-g.y) < arrived && math.Abs(wrap(h-g.phi)) < arrived
}

// unview drives the word found for the viewed goal toward the goal itself.
func (w word) unview(flip, mirror, back bool) word {
	for i := range w.n {
		if flip {
			w.run[i] = -w.run[i]
		}
		if mirror {
			w.side[i] = -w.side[i]
		}
	}
	if back {
		for i, j := 0, w.n-1; i < j; i, j = i+1, j-1 {
			w.run[i], w.run[j] = w.run[j], w.run[i]
			w.side[i], w.side[j] = w.side[j], w.side[i]
		}
	}
	return w
}

// families are the paper's equations 8.1 to 8.11, each giving one word; without their sign conditions, since a word with
// other signs that arrives is a drive as good as any.
var families = []func(turned) (word, bool){
	leftStraightLeft, leftStraightRight, leftRightLeft, leftRightLeftLast, fourEqualAndOpposite, fourEqual, turnStraightSame,
	turnStraightOther, fiveTurns,
}

func polar(x, y float64) (r, angle float64) { return math.Hypot(x, y), math.Atan2(y, x) }

// near and far are the goal's offsets when the last turn is to the side of the first, and to the other side.
func (g turned) near() (xi, eta float64) { return g.x - math.Sin(g.phi), g.y - 1 + math.Cos(g.phi) }
func (g turned) far() (xi, eta float64)  { return g.x + math.Sin(g.phi), g.y - 1 - math.Cos(g.phi) }

func leftStraightLeft(g turned) (word, bool) {
	u, t := polar(g.near())
	return wordOf("LSL", t, u, wrap(g.phi-t)), true
}

func leftStraightRight(g turned) (word, bool) {
	rho, angle := polar(g.far())
	if rho < 2 {
		return word{}, false
	}
	u := math.Sqrt(rho*rho - 4)
	t := wrap(angle + math.Atan2(2, u))
	return wordOf("LSR", t, u, wrap(t-g.phi)), true
}

func leftRightLeft(g turned) (word, bool) {
	rho, angle := polar(g.near())
	if rho > 4 {
		return word{}, false
	}
	u := -2 * math.Asin(rho/4)
	t := wrap(angle + u/2 + math.Pi)
	return wordOf("LRL", t, u, wrap(g.phi-t+u)), true
}

// leftRightLeftLast is the word of the same three turns whose middle one runs on round the far side.
func leftRightLeftLast(g turned) (word, bool) {
	w, ok := leftRightLeft(g)
	if !ok {
		return w, false
	}
	u := 2*math.Pi + w.run[1]
	return wordOf("LRL", w.run[0], u, w.run[2]), true
}

func fourEqualAndOpposite(g turned) (word, bool) {
	xi, eta := g.far()
	rho := (2 + math.Hypot(xi, eta)) / 4
	if rho > 1 {
		return word{}, false
	}
	u := math.Acos(rho)
	t, v := outer(u, -u, xi, eta, g.phi)
	return wordOf("LRLR", t, u, -u, v), true
}

func fourEqual(g turned) (word, bool) {
	xi, eta := g.far()
	rho := (20 - xi*xi - eta*eta) / 16
	if rho < 0 || rho > 1 {
		return word{}, false
	}
	u := -math.Acos(rho)
	t, v := outer(u, u, xi, eta, g.phi)
	return wordOf("LRLR", t, u, u, v), true
}

// outer solves the first and last of four turns from the two between them.
func outer(u, v, xi, eta, phi float64) (t, w float64) {
	delta := wrap(u - v)
	a, b := math.Sin(u)-math.Sin(delta), math.Cos(u)-math.Cos(delta)-1
	t = math.Atan2(eta*a-xi*b, xi*a+eta*b)
	if 2*(math.Cos(delta)-math.Cos(v)-math.Cos(u))+3 < 0 {
		t += math.Pi
	}
	t = wrap(t)
	return t, wrap(t - u + v - phi)
}

func turnStraightSame(g turned) (word, bool) {
	rho, angle := polar(g.near())
	if rho < 2 {
		return word{}, false
	}
	r := math.Sqrt(rho*rho - 4)
	t := wrap(angle + math.Atan2(r, -2))
	return wordOf("LRSL", t, -math.Pi/2, 2-r, wrap(g.phi-math.Pi/2-t)), true
}

func turnStraightOther(g turned) (word, bool) {
	xi, eta := g.far()
	rho, t := polar(-eta, xi)
	if rho < 2 {
		return word{}, false
	}
	return wordOf("LRSR", t, -math.Pi/2, 2-rho, wrap(t+math.Pi/2-g.phi)), true
}

func fiveTurns(g turned) (word, bool) {
	xi, eta := g.far()
	rho := math.Hypot(xi, eta)
	if rho < 2 {
		return word{}, false
	}
	u := 4 - math.Sqrt(rho*rho-4)
	t := wrap(math.Atan2((4-u)*xi-2*eta, -2*xi+(u-4)*eta))
	return wordOf("LRSLR", t, -math.Pi/2, u, -math.Pi/2, wrap(t-g.phi)), true
}
