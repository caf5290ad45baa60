package hydration

import "math"

// Tables are the two curves that heat asks for at every cell and step, worked out once: degree of hydration by age and pace of
// the clocks by temperature. Cubic pieces with the curves' own slopes; within 1e-7 of the formulas (see TestTablesAgainstTheFormulas).
type Tables struct {
	curve    Curve
	degree   pieces // over the fourth root of age, h
	heat     pieces // pace of the hydration clock over temperature, °C
	strength pieces // pace of the strength clock
}

// The ends and pieces of the tables. Beyond them the formulas answer.
const (
	oldestRoot               = 8.0 // 4096 h
	rootPieces               = 320
	coldestPace, hottestPace = Frozen, 90.0
	pacePieces               = 200
)

// NewTables works them out for a blend.
func NewTables(c Curve) *Tables {
	t := &Tables{curve: c}
	t.degree = newPieces(0, oldestRoot, rootPieces, func(u float64) float64 { return c.Degree(u * u * u * u) },
		func(u float64) float64 { return 4 * u * u * u * c.Rate(u*u*u*u) })
	t.heat = pacePiecesOf(c.Energy, HydrationRef)
	t.strength = pacePiecesOf(StrengthEnergy, StrengthRef)
	return t
}

func pacePiecesOf(energy, ref float64) pieces {
	return newPieces(coldestPace, hottestPace, pacePieces, func(t float64) float64 { return AgeFactor(t, energy, ref) },
		func(t float64) float64 {
			return AgeFactor(t, energy, ref) * energy / GasConstant / ((t + kelvin) * (t + kelvin))
		})
}

// Degree is Curve.Degree.
func (t *Tables) Degree(te float64) float64 {
	if u := math.Sqrt(math.Sqrt(te)); u < oldestRoot {
		return t.degree.at(u)
	}
	return t.curve.Degree(te)
}

// HeatPace is AgeFactor of the hydration clock.
func (t *Tables) HeatPace(temp float64) float64 {
	if temp >= coldestPace && temp < hottestPace {
		return t.heat.at(temp)
	}
	return AgeFactor(temp, t.curve.Energy, HydrationRef)
}

// StrengthPace is AgeFactor of the strength clock.
func (t *Tables) StrengthPace(temp float64) float64 {
	if temp >= coldestPace && temp < hottestPace {
		return t.strength.at(temp)
	}
	return AgeFactor(temp, StrengthEnergy, StrengthRef)
}

// pieces are cubics over equal intervals from low on.
type pieces struct {
	low, perUnit float64
	c            [][4]float64
}

func newPieces(low, high float64, n int, f, slope func(float64) float64) pieces {
	h := (high - low) / float64(n)
	p := pieces{low: low, perUnit: 1 / h, c: make([][4]float64, n)}
	y, d := f(low), h*slope(low)
	for i := range p.c {
		x := low + float64(i+1)*h
		y1, d1 := f(x), h*slope(x)
		p.c[i] = [4]float64{y, d, 3*(y1-y) - 2*d - d1, 2*(y-y1) + d + d1}
		y, d = y1, d1
	}
	return p
}

func (p *pieces) at(x float64) float64 {
	u := (x - p.low) * p.perUnit
	i := int(u)
	u -= float64(i)
	c := &p.c[i]
	return c[0] + u*(c[1]+u*(c[2]+u*c[3]))
}
