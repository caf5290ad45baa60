package mix

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/fresh"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Change is what a load that comes other than ordered does. Zero: no change, or none that is known.
type Change struct {
	What     string          `json:"what"`
	Strength quantity.Stress `json:"strength"` // of the average
	Slump    quantity.Length `json:"slump"`
	Lasting  string          `json:"lasting"` // what it does to frost, salt and wear
}

// The changes told: what a driver or a summer's day is good for.
const (
	airStep  = 0.02
	heatStep = quantity.TempDiff(20.0 / 1.8) // 20 °F
)

// SiteChanges tells what water let in, air lost or gained, a hot and a cold load do to a mix of a ratio and an average strength: water
// by the table of w/cm; air 5 % of strength a point; heat 3 % of the water per 10 °F and 3 % of the water per inch of slump, so
// that a hot load comes stiffer by an inch per 10 °F, and costs strength if water makes up for it. low is the least air that frost
// allows (zero: no frost); limit the most w/cm (zero: none). Source: ACI 211.1-91; USBR Concrete Manual (recalled); common practice.
func (t Tables) SiteChanges(r Recipe, ratio float64, average quantity.Stress, entrained bool, limit, low float64, added quantity.Density) []Change {
	water := t.AddWater(added, r.Cementitious, ratio, entrained)
	hotter := WaterNeed(r.Water, 0, heatStep) - r.Water
	hot := t.AddWater(hotter, r.Cementitious, ratio, entrained)
	inch := -quantity.Inches(quantity.In(heatStep, "°F") / 10)
	lasting := func(ratio float64) string {
		if limit > 0 && ratio > limit+1e-9 {
			return fmt.Sprintf("w/cm %.3f, over the %.2f allowed: it scales and wears sooner", ratio, limit)
		}
		return ""
	}
	airLow := ""
	if low > 0 && float64(r.Air)-airStep < low-1e-9 {
		airLow = "too little air where it freezes: the surface scales"
	}
	return []Change{
		{"water let in", water.Strength, water.Slump, lasting(water.Ratio)},
		{"two points of air lost", AirEffect(average, -100*airStep) - average, 0, airLow},
		{"two points of air gained", AirEffect(average, 100*airStep) - average, 0, ""},
		{"20 °F hotter, slump as it comes", 0, inch, ""},
		{"20 °F hotter, slump made up with water", hot.Strength, 0, lasting(hot.Ratio)},
		{"20 °F colder", 0, -inch, "it sets late: keep it from frost until it has"},
	}
}

// changes puts what a load other than ordered does on the sheet.
func (d *design) changes() error {
	low := 0.0
	if target, err := d.tables.Air(d.r.Stone, d.need.Frost); err == nil && d.need.Frost != NoFrost {
		low = float64(target) - fresh.AirTolerance
	}
	d.r.Changes = d.tables.SiteChanges(d.r.Recipe, d.r.WaterCement, d.r.Average, d.r.Entrained, d.r.Limit, low, d.in.AddedWater.Value)
	for i, c := range d.r.Changes {
		from := []string{"water", "cement", "water_cement", "average", "air", "added_water"}
		if c.Strength != 0 {
			d.r.Working.Show(working.Step{Name: fmt.Sprintf("change_%d_strength", i+1), Says: c.What + ": change of the average strength", Value: quantity.Show(c.Strength, quantity.AsStress), From: from, Source: sources.ACI211Tables})
		}
		if c.Slump != 0 {
			d.r.Working.Show(working.Step{Name: fmt.Sprintf("change_%d_slump", i+1), Says: c.What + ": change of slump", Value: quantity.Show(c.Slump, quantity.AsSlump), From: from, Source: sources.USBRWater})
		}
	}
	return nil
}
