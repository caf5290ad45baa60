package grade

import (
	"errors"

	"slabwright/internal/engines/quantity"
)

// waterDensity is that of water as soil tests take it, kg/m³.
const waterDensity = 1000.0

// sandCone is the density of soil in place by the sand that fills the hole it came from.
//
//	V = m_sand/ρ_sand,   γ_wet = m_wet/V,   γ_d = γ_wet/(1 + w)
//
// m_sand mass of sand in the hole (cone taken off), ρ_sand its poured density, m_wet mass of soil out of the hole, w its
// water by dry mass. Source: ASTM D1556. Checked: SITE-17.
func sandCone(sand quantity.Mass, poured quantity.Density, wet quantity.Mass, w float64) (v quantity.Volume, wetDensity, dry quantity.Density, err error) {
	if err := errors.Join(positive("sand in the hole", float64(sand)), positive("density of the sand", float64(poured)), positive("wet soil", float64(wet))); err != nil {
		return 0, 0, 0, err
	}
	if !(w >= 0 && w < 5) {
		return 0, 0, 0, errors.New("water in the soil is a share of its dry mass, 0 to 500 %")
	}
	v = quantity.Volume(float64(sand) / float64(poured))
	wetDensity = quantity.Density(float64(wet) / float64(v))
	return v, wetDensity, quantity.Density(float64(wetDensity) / (1 + w)), nil
}

// zeroAirVoids is the heaviest a soil can be at a water content: every void full of water. A report above it is an error.
//
//	γ_zav = Gs·γ_w/(1 + w·Gs)
//
// Gs specific gravity of the grains (2.6 to 2.8), w water by dry mass. Source: soil phases. Checked: SITE-18.
func zeroAirVoids(gs, w float64) (quantity.Density, error) {
	if !(gs > 1 && gs < 5) || !(w >= 0 && w < 5) {
		return 0, errors.New("grains are 1 to 5 times as heavy as water, and water is 0 to 500 % of the dry mass")
	}
	return quantity.Density(gs * waterDensity / (1 + w*gs)), nil
}

// swell is how volumes change when ground is dug and when it is rolled.
//
//	Sw = γ_bank/γ_loose − 1,   LF = 1/(1 + Sw),   Sh = 1 − γ_bank/γ_comp
//
// All dry, so that mass is kept. Source: definition. Checked: SITE-15.
func swell(bank, loose, compacted quantity.Density) (sw, load, shrink float64, err error) {
	err = errors.Join(positive("bank density", float64(bank)), positive("loose density", float64(loose)), positive("compacted density", float64(compacted)))
	if err != nil {
		return 0, 0, 0, err
	}
	sw = float64(bank)/float64(loose) - 1
	return sw, float64(loose) / float64(bank), 1 - float64(bank)/float64(compacted), nil
}

// sag is how far a stretched string hangs at its middle.
//
//	f = w·L²/(8·T)
//
// w weight per length, N/m; L span, m; T pull, N. Source: statics of a flat parabola; for a sag under a tenth of the span.
func sag(w quantity.LineLoad, span quantity.Length, pull quantity.Force) (quantity.Length, error) {
	err := errors.Join(positive("weight of the string", float64(w)), positive("span", float64(span)), positive("pull", float64(pull)))
	if err != nil {
		return 0, err
	}
	f := float64(w) * float64(span) * float64(span) / (8 * float64(pull))
	if f > float64(span)/10 {
		return 0, errors.New("that string hangs more than a tenth of its span; pull harder or add a pin")
	}
	return quantity.Length(f), nil
}
