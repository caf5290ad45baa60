package mix

import (
	"slabwright/internal/engines/quantity"
)

// SackContent is the cementitious content of an n-sack mix: n × 94 lb per cubic yard. A sack count says nothing about
// water, so it is not a strength. Source: definition of the trade. Checked: CON-01, CON-02.
func SackContent(sacks float64) quantity.Density {
	return quantity.Density(sacks * sackMass / yardVolume)
}

// Sacks is SackContent the other way round.
func Sacks(content quantity.Density) float64 { return float64(content) * yardVolume / sackMass }

const yardVolume = 0.9144 * 0.9144 * 0.9144 // m³

// SackReading is a sack order read as what it is: an amount of cement, and what it reaches with the water this stone, slump
// and air need.
type SackReading struct {
	Sacks       float64          `json:"sacks"`
	Content     quantity.Density `json:"content"`
	Water       quantity.Density `json:"water"`
	WaterCement float64          `json:"water_cement"`
	Average     quantity.Stress  `json:"average"`      // zero: outside the table of strengths
	Specified   quantity.Stress  `json:"specified"`    // what may be promised without a plant's record; zero with Average
	SacksNeeded float64          `json:"sacks_needed"` // to reach the allowed w/cm at that water
}

// ReadSacks works out what a cement content reaches. limit is the most w/cm allowed; zero: none, and no sacks are needed.
func (t Tables) ReadSacks(content, water quantity.Density, entrained bool, limit float64) SackReading {
	r := SackReading{Sacks: Sacks(content), Content: content, Water: water, WaterCement: float64(water) / float64(content)}
	if average, err := t.AverageStrength(r.WaterCement, entrained); err == nil {
		r.Average = average
		r.Specified = t.promised(average)
	}
	if limit > 0 {
		r.SacksNeeded = Sacks(quantity.Density(float64(water) / limit))
	}
	return r
}

// promised is a specified strength whose required average without a record is at most the given average: the strongest answer of the
// three branches of UnprovenAverage turned round that passes it.
func (t Tables) promised(average quantity.Stress) quantity.Stress {
	r, best := t.overdesign(), quantity.Stress(0)
	for _, try := range []quantity.Stress{average - r.low, average - r.middle, (average - r.top) / quantity.Stress(r.percentageStep)} {
		if t.UnprovenAverage(try) <= average*(1+1e-12) {
			best = max(best, try)
		}
	}
	return best
}
