package slab

import (
	"fmt"
	"math"
)

// loadTransfer is the ratio of the deflections across a joint, unloaded over loaded side.
//
//	LTE = 1/(1 + 1.2 R^−0.849)       R = q/(k l): joint stiffness per length over the bed's
//
// Source: Ioannides and Korovesis, as fitted for AASHTO 1998 and LTPP (recalled). Against plate elements (STR-22) it is up
// to 0.025 high; the load's size matters too, and is left out.
func loadTransfer(r float64) float64 {
	if r <= 0 {
		return 0
	}
	return 1 / (1 + 1.2*math.Pow(r, -0.849))
}

// mostTransfer is the load transfer past which a joint is taken as whole: the curve never reaches 1.
const mostTransfer = 0.99

// jointStiffness is the inverse of loadTransfer: R of a joint with the given load transfer.
func jointStiffness(lte float64) float64 {
	if lte <= 0 {
		return 0
	}
	lte = math.Min(lte, mostTransfer)
	return math.Pow(1.2*lte/(1-lte), 1/0.849)
}

// Joint opening past which the stones of two crack faces no longer bear on one another, m.
const interlockLost = 1.0e-3

// interlock is what a crack without bars carries, by how far it is open [engineering judgement, recalled]: a row holds up
// to its opening.
var interlock = []struct{ opening, r float64 }{
	{0.5e-3, 10},
	{0.9e-3, 1},
	{interlockLost, 0.5},
}

// interlockStiffness is R of a crack open by opening metres; 0, a free edge, past 1 mm.
func interlockStiffness(opening float64) float64 {
	for _, row := range interlock {
		if opening <= row.opening {
			return row.r
		}
	}
	return 0
}

// dowelBar is a smooth bar across a joint.
type dowelBar struct {
	Diameter float64 // m
	Spacing  float64 // m
	E        float64 // Pa
	Support  float64 // what the concrete gives under the bar, Pa/m
}

// The default of Friberg's dowel support, 1 500 000 pci in a range of 300 000 to 1 500 000, and of steel.
const (
	dowelSupport = 407e9
	steelE       = 200e9
)

// stiffness is the shear stiffness of a dowelled joint per length of joint, N/m², and of one bar in its bed, N/m.
//
//	q = (1/s) / (1/DCI + w³/(12 E I))       DCI = 4β³EI/(2 + βw)       β = (K d/(4EI))^¼
//
// w joint opening, s spacing, K dowel support, I = πd⁴/64. Source: Friberg 1940; Tabatabaie and Barenberg (recalled).
func (b dowelBar) stiffness(opening float64) (joint, bar float64) {
	ei := b.E * math.Pi * math.Pow(b.Diameter, 4) / 64
	beta := math.Pow(b.Support*b.Diameter/(4*ei), 0.25)
	bar = 4 * math.Pow(beta, 3) * ei / (2 + beta*opening)
	return 1 / (b.Spacing * (1/bar + math.Pow(opening, 3)/(12*ei))), bar
}

// transferOf is R of a joint of a named kind; opening in m.
func transferOf(kind string, opening float64, bars dowelBar, k, l float64) (float64, error) {
	switch kind {
	case jointFree:
		return 0, nil
	case jointPlain:
		return jointStiffness(plainTransfer), nil
	case jointInterlock:
		return interlockStiffness(opening), nil
	case jointDowels:
		q, _ := bars.stiffness(opening)
		return q / (k * l), nil
	}
	return 0, fmt.Errorf("slab: joint %q is not known", kind)
}

// Kinds of joint inside the slab.
const (
	jointPlain     = "saw cut"             // opening not known: 50 % for thickness design
	jointInterlock = "saw cut, known open" // aggregate interlock by its opening
	jointDowels    = "dowels"
	jointFree      = "free edge" // isolation, or a joint nothing crosses
)

// plainTransfer is the load transfer of a saw cut open 0 to 4 mm and without bars, for thickness design [conservative,
// recalled].
const plainTransfer = 0.50
