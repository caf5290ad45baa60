package heat

import "math"

// freeze takes over what water freezes in the layers: cells that begin below 0 °C begin frozen.
func (b *Body) freeze(layers []Layer) {
	wet := false
	for _, l := range layers {
		wet = wet || l.Latent > 0
	}
	if !wet {
		return
	}
	b.latent, b.ice = make([]float64, 0, len(b.dz)), make([]float64, len(b.dz))
	for _, l := range layers {
		cells, _ := l.cells()
		for range cells {
			b.latent = append(b.latent, l.Latent)
		}
	}
	for i, t := range b.Temps {
		if t < 0 && b.latent[i] > 0 {
			b.ice[i] = 1
		}
	}
}

// turn lets water freeze or ice melt in the cells that passed 0 °C in the step: the heat of the change holds the cell at 0 °C until all
// of it has changed. No heat is made or lost. Source: the temperature-recovery method (Rolphe and Bathe 1982), recalled. Checked:
// HEAT-F1 to HEAT-F3.
func (b *Body) turn() {
	for i, l := range b.latent {
		if l == 0 {
			continue
		}
		t, c := b.Temps[i], b.c[i]
		if t > 0 && b.ice[i] == 0 || t < 0 && b.ice[i] == 1 {
			continue
		}
		change := math.Max(b.ice[i]-1, math.Min(b.ice[i], c*t/l)) // share that melts; below zero: freezes
		b.ice[i] = math.Max(0, math.Min(1, b.ice[i]-change))
		b.Temps[i] -= change * l / c
	}
}

// Frozen is the thickness of ice-bound ground, each cell counted by its share of ice, m.
func (b *Body) Frozen() float64 {
	sum := 0.0
	for i, share := range b.ice {
		if b.latent[i] > 0 {
			sum += share * b.dz[i]
		}
	}
	return sum
}

// FrostDepth is how deep deep ground at 0 °C has frozen under a face held below 0 °C.
//
//	X = 2λ√(at)      λ exp(λ²) erf λ = St/√π      St = c Ts/L
//
// Below in K under 0 °C, latent heat L in J/m³, capacity c in J/m³K; m. Thawing goes by the same rule with the values of thawed ground.
// Source: Stefan's problem as Neumann solved it; Carslaw and Jaeger, recalled.
func FrostDepth(below, conductivity, capacity, latent, t float64) float64 {
	if !(below > 0 && t > 0) {
		return 0
	}
	stefanNumber := capacity * below / latent
	low, high := 0.0, 10.0
	for range 200 {
		mid := (low + high) / 2
		if mid*math.Exp(mid*mid)*math.Erf(mid) < stefanNumber/math.SqrtPi {
			low = mid
		} else {
			high = mid
		}
	}
	return 2 * low * math.Sqrt(conductivity/capacity*t)
}
