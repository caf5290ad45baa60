package plate

import (
	"math"
)

// JointShear is the shear stiffness of a joint from its dimensionless measure R, N/m²:
//
//	q = R k l
//
// R is near 0 for an open joint, 10 for a tight crack whose faces interlock (A. M. Ioannides and G. T. Korovesis,
// "Aggregate interlock: a pure-shear load transfer mechanism", Transportation Research Record 1286, 1990; recalled).
// Checked: STR-22.
func (s Slab) JointShear(ratio float64) float64 {
	if ratio == 0 {
		return 0
	}
	return ratio * s.Support * s.Radius()
}

// Dowels are smooth round bars across a joint.
type Dowels struct {
	Diameter float64 // m
	Modulus  float64 // of the bars, Pa; steel 200e9
	Spacing  float64 // along the joint, m
	Opening  float64 // of the joint, m
	Bedding  float64 // reaction of the concrete per depth that a bar presses into it, N/m³; 407e9 (1.5e6 pci) is usual
}

// JointShear is the shear stiffness that the bars give a joint, N/m². Each bar is a beam that lies in the concrete as on
// springs and bridges the opening:
//
//	q = (1/s) / (1/DCI + ω³/(12 E I)),  DCI = 4β³EI/(2 + βω),  β = (K d/(4EI))^¼,  I = πd⁴/64
//
// s spacing, ω opening, d diameter, E modulus, K bedding (B. F. Friberg, "Design of dowels in transverse joints of concrete
// pavements", Trans. ASCE 105, 1940; A. M. Tabatabaie and E. J. Barenberg 1978; recalled). The beam must be long against
// 1/β: embed it 8 diameters or more. It returns a *Fault for numbers that describe no dowel.
func (d Dowels) JointShear() (float64, error) {
	var f faults
	if !(d.Diameter >= 0.003 && d.Diameter <= 0.1) {
		f.add("dowels", "a diameter of %g m is outside 0.003 to 0.1: 0.025 is 25 mm or 1 in", d.Diameter)
	}
	if !(d.Modulus >= 1e9 && d.Modulus <= 1e12) {
		f.add("dowels", "a modulus of %g Pa is outside 1e9 to 1e12: steel has 200e9", d.Modulus)
	}
	if !(d.Spacing > d.Diameter && d.Spacing <= 10) {
		f.add("dowels", "a spacing of %g m is outside the diameter to 10 m: 0.3 is usual", d.Spacing)
	}
	if !(d.Opening >= 0 && d.Opening <= 0.1) {
		f.add("dowels", "a joint opening of %g m is outside 0 to 0.1", d.Opening)
	}
	if !(d.Bedding >= 1e9 && d.Bedding <= 1e13) {
		f.add("dowels", "a bedding of %g N/m³ is outside 1e9 to 1e13: 407e9 is 1.5e6 pci", d.Bedding)
	}
	if len(f) > 0 {
		return 0, f[0]
	}
	inertia := math.Pi * math.Pow(d.Diameter, 4) / 64
	ei := d.Modulus * inertia
	beta := math.Pow(d.Bedding*d.Diameter/(4*ei), 0.25)
	bearing := 4 * beta * beta * beta * ei / (2 + beta*d.Opening)
	return 1 / d.Spacing / (1/bearing + d.Opening*d.Opening*d.Opening/(12*ei)), nil
}
