package order

import (
	"math"

	"slabwright/internal/engines/quantity"
)

// Progress is a pour half done.
type Progress struct {
	Placed quantity.Volume // in the forms
	Done   float64         // share of the area
}

// doneError is how far off a foreman's share of the area is, as a deviation. Source: common practice, paced off.
const doneError = 0.02

// Rest is what the rest of the pour will need, learned from what the part done has taken:
//
//	x = (placed - a V₁)/(a A)        σ_x² = r² cell/(a A) + ((yield · placed)² + (d V₁)²)/(a A)²
//	1/σ'² = 1/σ² + 1/σ_x²            m' = σ'² (m/σ² + x/σ_x²)
//	rest = (1 - a)(V₁ + A m') + waste
//
// a share done, V₁ net and form bow, A area, m and σ mean and deviation of the base's level (and of what open stone takes) before the
// pour, r roughness, d error of the share done. The level is one and the same for both parts, so the part done tells of the rest.
// Source: normal distributions, textbook. Checked: CON-REST rows, and against simulated pours.
func (u Uncertain) Rest(p Progress) (mean, sd quantity.Volume) {
	a, area := p.Done, float64(u.Area)
	bow := float64(u.Perimeter) * float64(u.Bow) * float64(u.Depth)
	drawn := float64(u.Net) + bow
	level, deviation := float64(u.BaseMean+u.Penetration), math.Hypot(float64(u.BaseLevel), float64(u.PenSD))
	rough := float64(u.Roughness) * float64(u.Roughness) * float64(u.Cell)
	if a > 0 && deviation > 0 {
		done := a * area
		seen := (float64(p.Placed) - a*drawn) / done
		scatter := rough/done + (square(u.Yield*float64(p.Placed))+square(doneError*drawn))/(done*done)
		after := 1 / (1/(deviation*deviation) + 1/scatter)
		level, deviation = after*(level/(deviation*deviation)+seen/scatter), math.Sqrt(after)
	}
	left := 1 - a
	rest := left*(drawn+area*level) + float64(u.Waste)
	scatter := square(left*area*deviation) + rough*left*area + square(u.Yield*left*drawn) + square(left*bow/2) + square(float64(u.WasteSD)) + square(doneError*drawn)
	return quantity.Volume(math.Max(rest, 0)), quantity.Volume(math.Sqrt(scatter))
}

func square(v float64) float64 { return v * v }

// Balance is the load to call while the pour runs.
type Balance struct {
	Rest     quantity.Volume `json:"rest"` // will still be needed, on average
	SD       quantity.Volume `json:"sd"`
	Firm     quantity.Volume `json:"firm"`    // on its way or on site, not yet placed
	Call     quantity.Volume `json:"call"`    // to phone now
	Outlook  Outlook         `json:"outlook"` // with that
	Without  Outlook         `json:"without"` // with nothing more
	CallCost quantity.Money  `json:"call_cost"`
}

// BestBalance is the load to call: in whole increments, up to what a truck holds, the one that costs least with its own short-load
// fee counted; nothing when that costs least, or when the firm loads keep the chance of running short below mostShort (zero: any).
// Checked: CON-BAL rows, by trying every load.
func BestBalance(rest Need, firm, increment, capacity quantity.Volume, mostShort float64, fee func(load quantity.Volume) quantity.Money) Balance {
	b := Balance{Rest: rest.Mean, SD: rest.SD, Firm: firm, Without: rest.Outlook(firm)}
	b.Outlook = b.Without
	best := b.Without.Cost
	allowed := mostShort <= 0 || b.Without.ShortChance <= mostShort
	for k := 1.0; quantity.Volume(k)*increment <= capacity*(1+1e-9); k++ {
		load := quantity.Volume(k) * increment
		o := rest.Outlook(firm + load)
		cost, keeps := o.Cost+fee(load), mostShort <= 0 || o.ShortChance <= mostShort
		if keeps && !allowed || keeps == allowed && cost < best {
			b.Call, b.Outlook, b.CallCost, best, allowed = load, o, fee(load), cost, keeps
		}
	}
	return b
}
