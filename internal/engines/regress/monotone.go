package regress

// Isotonic is the rising sequence nearest to values in weighted squares: neighbours that fall are pooled into their weighted
// mean. Weights are above zero. Source: pool-adjacent-violators, Barlow et al. 1972, Statistical Inference under Order Restrictions.
func Isotonic(values, weights []float64) []float64 {
	type pool struct {
		mean, weight float64
		count        int
	}
	pools := make([]pool, 0, len(values))
	for i, v := range values {
		pools = append(pools, pool{v, weights[i], 1})
		for n := len(pools); n > 1 && pools[n-2].mean > pools[n-1].mean; n = len(pools) {
			a, b := pools[n-2], pools[n-1]
			w := a.weight + b.weight
			pools[n-2] = pool{(a.mean*a.weight + b.mean*b.weight) / w, w, a.count + b.count}
			pools = pools[:n-1]
		}
	}
	out := make([]float64, 0, len(values))
	for _, p := range pools {
		for range p.count {
			out = append(out, p.mean)
		}
	}
	return out
}

// Between reads a broken line through points at rising places x; outside them its ends.
func Between(x, y []float64, at float64) float64 {
	if at <= x[0] {
		return y[0]
	}
	for i := 1; i < len(x); i++ {
		if at <= x[i] {
			share := (at - x[i-1]) / (x[i] - x[i-1])
			return y[i-1] + share*(y[i]-y[i-1])
		}
	}
	return y[len(y)-1]
}
