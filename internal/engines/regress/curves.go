package regress

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// Curves answers a process along the columns of its terms' Times factors: the mean at a row for a fixed list of such places at once.
// Rows that differ only in those columns are summed beforehand.
type Curves struct {
	kernel Kernel
	rows   [][]float64
	kind   []int // of each row
	terms  []curveTerm
	places int
}

// curveTerm is one term with the kinds of row it has seen.
type curveTerm struct {
	read    *reader
	columns []int       // used ones, the shortest scale first
	scale   []float64   // of each of them
	seen    [][]float64 // of each kind of row, those columns in length scales
	sums    [][]float64 // of each kind of row, by place
}

// CurvesAt prepares a process, given by its kernel, rows and weights, for places that give the columns of the Times factors.
func CurvesAt(k Kernel, rows [][]float64, weights []float64, places [][]float64) *Curves {
	c := &Curves{kernel: k, rows: rows, places: len(places)}
	var kinds [][]float64
	kinds, c.kind = kindsOf(k, rows)
	for _, t := range k.Terms {
		term := curveTerm{read: readers[t.Shape], columns: usedColumns(t.Scale)}
		for _, col := range term.columns {
			term.scale = append(term.scale, t.Scale[col])
		}
		for _, row := range kinds {
			term.seen, term.sums = append(term.seen, term.scaled(row)), append(term.sums, make([]float64, len(places)))
		}
		for i, row := range rows {
			for p, at := range places {
				term.sums[c.kind[i]][p] += t.Variance * weights[i] * math.Exp(-distance(row, at, t.Times)/2)
			}
		}
		c.terms = append(c.terms, term)
	}
	return c
}

// kindsOf lists rows that differ in more than the columns of the Times factors, and which of them each row is.
func kindsOf(k Kernel, rows [][]float64) (kinds [][]float64, kind []int) {
	timed := map[int]bool{}
	for _, t := range k.Terms {
		for col, s := range t.Times {
			timed[col] = timed[col] || s > 0
		}
	}
	kind = make([]int, len(rows))
	for i, row := range rows {
		kind[i] = slices.IndexFunc(kinds, func(r []float64) bool { return sameBut(r, row, timed) })
		if kind[i] < 0 {
			kind[i] = len(kinds)
			kinds = append(kinds, row)
		}
	}
	return kinds, kind
}

// scaled is a row's used columns in length scales.
func (t curveTerm) scaled(row []float64) []float64 {
	out := make([]float64, len(t.columns))
	for i, c := range t.columns {
		out[i] = row[c] / t.scale[i]
	}
	return out
}

func sameBut(a, b []float64, but map[int]bool) bool {
	for c := range a {
		if a[c] != b[c] && !but[c] {
			return false
		}
	}
	return true
}

func usedColumns(scale []float64) []int {
	var out []int
	for c, s := range scale {
		if s > 0 {
			out = append(out, c)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return scale[out[i]] < scale[out[j]] })
	return out
}

// Near is how near the nearest row seen is to each of rows by the shape of one term: 1 at a row seen, 0 far from all. The columns of
// the Times factors are not read.
func (c *Curves) Near(term int, rows [][]float64) []float64 {
	t, out := c.terms[term], make([]float64, len(rows))
	for i, row := range rows {
		asked, least := t.scaled(row), t.read.far
		for _, seen := range t.seen {
			q := 0.0
			for k, v := range asked {
				d := v - seen[k]
				if q += d * d; q > least {
					break
				}
			}
			least = min(least, q)
		}
		if least < t.read.far {
			out[i] = t.read.at(least)
		}
	}
	return out
}

// Sweep is the mean at many rows for the first so many places, quick when the rows differ in few columns: distances in the others
// are worked out once. The columns of the Times factors are not read from the rows.
func (c *Curves) Sweep(rows [][]float64, places int) [][]float64 {
	means := make([][]float64, len(rows))
	for i := range rows {
		means[i] = make([]float64, places)
	}
	for _, term := range c.terms {
		asked := make([][]float64, len(rows))
		for i, row := range rows {
			asked[i] = term.scaled(row)
		}
		fixed, moving := split(asked)
		far := term.read.far
		for r, seen := range term.seen {
			q := partial(asked[0], seen, fixed, far)
			if q > far {
				continue
			}
			for i, row := range asked {
				at := q + partial(row, seen, moving, far)
				if at > far {
					continue
				}
				value := term.read.at(at)
				for p, s := range term.sums[r][:places] {
					means[i][p] += value * s
				}
			}
		}
	}
	return means
}

// split parts columns into those in which all rows agree and the others.
func split(rows [][]float64) (fixed, moving []int) {
	for c, v := range rows[0] {
		if slices.ContainsFunc(rows, func(row []float64) bool { return row[c] != v }) {
			moving = append(moving, c)
		} else {
			fixed = append(fixed, c)
		}
	}
	return fixed, moving
}

// partial is the squared distance over some columns; it stops where it is past far.
func partial(a, b []float64, columns []int, far float64) float64 {
	q := 0.0
	for _, c := range columns {
		d := a[c] - b[c]
		if q += d * d; q > far {
			break
		}
	}
	return q
}

// NearbyVariance is the variance of the smooth part at a row when only the rows with the highest covariance to it, count of
// them, are taken as seen. It never falls below the variance given all rows, and comes near it when the kernel is short against
// the spread of the rows.
func (c *Curves) NearbyVariance(row []float64, count int) float64 {
	list := make([]neighbour, len(c.rows))
	for i := range c.rows {
		list[i].row = i
	}
	for t, term := range c.terms {
		asked := term.scaled(row)
		all, _ := split([][]float64{asked})
		shapes := make([]float64, len(term.seen))
		for r, seen := range term.seen {
			if q := partial(asked, seen, all, term.read.far); q <= term.read.far {
				shapes[r] = c.kernel.Terms[t].Variance * term.read.at(q)
			}
		}
		for i, r := range c.rows {
			if shape := shapes[c.kind[i]]; shape > tooSmall {
				list[i].near += shape * math.Exp(-distance(row, r, c.kernel.Terms[t].Times)/2)
			}
		}
	}
	slices.SortFunc(list, func(a, b neighbour) int {
		return cmp.Or(cmp.Compare(b.near, a.near), cmp.Compare(a.row, b.row))
	})
	list = list[:min(count, len(list))]
	n := len(list)
	cov, right := make([]float64, n*n), make([]float64, n)
	for a, one := range list {
		right[a] = one.near
		for b := range a {
			cov[a*n+b] = c.kernel.At(c.rows[one.row], c.rows[list[b].row])
		}
		cov[a*n+a] = c.kernel.At(c.rows[one.row], c.rows[one.row]) + c.kernel.Noise
	}
	return max(c.kernel.At(row, row)-explained(cov, right), 0)
}

// tooSmall is the covariance below which a row is not looked at closer.
const tooSmall = 1e-3

type neighbour struct {
	near float64
	row  int
}

// explained is yᵀ C⁻¹ y for a positive matrix C given by its lower half, row by row; both are overwritten. Noise on the diagonal keeps
// every pivot above zero.
func explained(c, y []float64) float64 {
	n, sum := len(y), 0.0
	for i := range n {
		for j := range i + 1 {
			s := c[i*n+j]
			for k := range j {
				s -= c[i*n+k] * c[j*n+k]
			}
			if i == j {
				c[i*n+i] = math.Sqrt(s)
			} else {
				c[i*n+j] = s / c[j*n+j]
			}
		}
		for k := range i {
			y[i] -= c[i*n+k] * y[k]
		}
		y[i] /= c[i*n+i]
		sum += y[i] * y[i]
	}
	return sum
}
