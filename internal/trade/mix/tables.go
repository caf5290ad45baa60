package mix

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// Tables is one edition of the proportioning tables. The US and the SI edition are each its own rounding, not a conversion
// of the other: a design uses one of them from end to end.
//
// Source: ACI 211.1-91, tables 6.3.3, 6.3.4(a) and 6.3.6; the SI strengths and the densities of fresh concrete are recalled.
type Tables struct {
	name         string
	length       func(float64) quantity.Length // unit of stone sizes and slumps
	stress       func(float64) quantity.Stress
	content      string    // unit of masses per volume, as written in the source
	waterDensity float64   // kg/m³: 62.4 lb/ft³ in the US edition, 1000 in SI
	stones       []float64 // nominal maximum sizes, the columns
	slumps       [][2]float64
	water        [2][][]float64 // [no air, air-entrained][slump row][column]
	entrapped    []float64      // %
	moderate     []float64      // %, recommended for freezing with little water
	severe       []float64      // %, recommended for freezing with much water or deicers
	strengths    []strengthRow  // strongest first
	strengthFrom sources.Key    // who says so
	coarse       []float64      // dry-rodded share at fineness modulus 2.40
	fresh        [2][]float64   // estimated density of fresh concrete
	gravelSaves  float64        // water saved by rounded gravel
}

// strengthRow is one row of the table of w/cm against average 28-day strength; zero: not in the table.
type strengthRow struct{ strength, plain, entrained float64 }

var usTables = Tables{
	name: "ACI 211.1-91, US edition", length: quantity.Inches, stress: quantity.PSI, content: "lb/yd3",
	waterDensity: 62.4 * lbPerFt3,
	stones:       []float64{0.375, 0.5, 0.75, 1, 1.5, 2, 3},
	slumps:       [][2]float64{{1, 2}, {3, 4}, {6, 7}},
	water: [2][][]float64{
		{{350, 335, 315, 300, 275, 260, 220}, {385, 365, 340, 325, 300, 285, 245}, {410, 385, 360, 340, 315, 300, 270}},
		{{305, 295, 280, 270, 250, 240, 205}, {340, 325, 305, 295, 275, 265, 225}, {365, 345, 325, 310, 290, 280, 260}},
	},
	entrapped:    []float64{3, 2.5, 2, 1.5, 1, 0.5, 0.3},
	moderate:     []float64{6, 5.5, 5, 4.5, 4.5, 4, 3.5},
	severe:       []float64{7.5, 7, 6, 6, 5.5, 5, 4.5},
	strengths:    []strengthRow{{6000, 0.41, 0}, {5000, 0.48, 0.40}, {4000, 0.57, 0.48}, {3000, 0.68, 0.59}, {2000, 0.82, 0.74}},
	strengthFrom: sources.ACI211Tables,
	coarse:       []float64{0.50, 0.59, 0.66, 0.71, 0.75, 0.78, 0.82},
	fresh: [2][]float64{
		{3840, 3890, 3960, 4010, 4070, 4120, 0},
		{3710, 3760, 3840, 3850, 3910, 3950, 0},
	},
	gravelSaves: 45,
}

var siTables = Tables{
	name: "ACI 211.1-91, SI edition", length: quantity.Millimetres, stress: quantity.MPa, content: "kg/m3",
	waterDensity: 1000,
	stones:       []float64{9.5, 12.5, 19, 25, 37.5, 50, 75},
	slumps:       [][2]float64{{25, 50}, {75, 100}, {150, 175}},
	water: [2][][]float64{
		{{207, 199, 190, 179, 166, 154, 130}, {228, 216, 205, 193, 181, 169, 145}, {243, 228, 216, 202, 190, 178, 160}},
		{{181, 175, 168, 160, 148, 142, 122}, {202, 193, 184, 175, 165, 157, 133}, {216, 205, 197, 184, 174, 166, 154}},
	},
	entrapped: usTables.entrapped, moderate: usTables.moderate, severe: usTables.severe,
	strengths:    []strengthRow{{40, 0.42, 0}, {35, 0.47, 0.39}, {30, 0.54, 0.45}, {25, 0.61, 0.52}, {20, 0.69, 0.60}, {15, 0.79, 0.70}},
	strengthFrom: sources.ACI211Strength,
	coarse:       usTables.coarse,
	fresh: [2][]float64{
		{2280, 2310, 2345, 2380, 2410, 2445, 0},
		{2200, 2230, 2275, 2290, 2350, 2345, 0},
	},
	gravelSaves: 27,
}

// Constants of the tables' units.
const (
	lbPerFt3 = 16.018463373960142 // kg/m³: 0.45359237 kg over 0.3048³ m³
	sackMass = 94 * 0.45359237    // kg of cement in a US sack, by definition of the trade
)

// TablesOf is the edition a job of the given units uses.
func TablesOf(s quantity.System) Tables {
	if s == quantity.Metric {
		return siTables
	}
	return usTables
}

// nearest is how far, as a ratio, a stone size may lie from the column it is read in: 20 mm is read as 19, 14 as 12.5.
const nearest = 1.25

// column finds the table's column for a nominal stone size: the nearest one by ratio. Sizes outside 3/8 in to 3 in by more
// than the ratio `nearest` are refused.
func (t Tables) column(stone quantity.Length) (int, error) {
	best, ratio := 0, math.Inf(1)
	for i, size := range t.stones {
		r := math.Abs(math.Log(float64(stone) / float64(t.length(size))))
		if r < ratio {
			best, ratio = i, r
		}
	}
	if !(ratio <= math.Log(nearest)) {
		return 0, fmt.Errorf("a largest stone of %.3g in (%.0f mm) is not in the tables; they run from 3/8 in to 3 in (9.5 to 75 mm)",
			stone.Inches(), stone.Millimetres())
	}
	return best, nil
}

// Stone is the table's nominal size nearest to the given one.
func (t Tables) Stone(stone quantity.Length) (quantity.Length, error) {
	i, err := t.column(stone)
	if err != nil {
		return 0, err
	}
	return t.length(t.stones[i]), nil
}

// Water is the mixing water for a stone size and slump, angular well-shaped aggregate, sand and stone saturated and
// surface-dry. inside is false when the slump lies outside the table and the end row was taken.
//
// Each row of the table stands for a band of slump (3 to 4 in): within a band its value, between bands a straight line.
// The published worked example at a slump of 3 in reads the band's value, which a line through the bands' middles would
// not give. Source: ACI 211.1-91, table 6.3.3.
func (t Tables) Water(stone, slump quantity.Length, entrained bool) (water quantity.Density, inside bool, err error) {
	i, err := t.column(stone)
	if err != nil {
		return 0, false, err
	}
	rows := t.water[index(entrained)]
	at := float64(slump) / float64(t.length(1))
	value, inside := t.slumpBand(at, func(row int) float64 { return rows[row][i] })
	return quantity.Of[quantity.Density](value, t.content), inside, nil
}

func (t Tables) slumpBand(slump float64, value func(row int) float64) (float64, bool) {
	last := len(t.slumps) - 1
	for row, band := range t.slumps {
		switch {
		case slump < band[0] && row == 0:
			return value(0), false
		case slump < band[0]:
			from := t.slumps[row-1][1]
			share := (slump - from) / (band[0] - from)
			return value(row-1) + share*(value(row)-value(row-1)), true
		case slump <= band[1]:
			return value(row), true
		}
	}
	return value(last), false
}

func index(entrained bool) int {
	if entrained {
		return 1
	}
	return 0
}

// Air is the air content the tables recommend for a frost grade (none: the air that stays trapped).
func (t Tables) Air(stone quantity.Length, frost Frost) (quantity.Percent, error) {
	i, err := t.column(stone)
	if err != nil {
		return 0, err
	}
	list := t.entrapped
	switch frost {
	case Moderate:
		list = t.moderate
	case Severe:
		list = t.severe
	}
	return quantity.Percent(list[i] / 100), nil
}

// AverageStrength is the average 28-day strength to expect at a water/cementitious ratio, straight lines between the rows
// of the table. Outside the table it refuses: a trial batch or the plant's record decides there.
// Source: ACI 211.1-91, table 6.3.4(a). Checked: CON-19.
func (t Tables) AverageStrength(ratio float64, entrained bool) (quantity.Stress, error) {
	rows := t.rows(entrained)
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		if ratio >= a.plain && ratio <= b.plain {
			return t.stress(a.strength + (ratio-a.plain)/(b.plain-a.plain)*(b.strength-a.strength)), nil
		}
	}
	return 0, fmt.Errorf("w/cm %.3f is outside the table of strengths (%.2f to %.2f); use a trial batch or the plant's record",
		ratio, rows[0].plain, rows[len(rows)-1].plain)
}

// WaterCement is the water/cementitious ratio at which the table gives an average strength. Below the weakest row the
// weakest row's ratio is returned (it is safe); above the strongest it refuses.
func (t Tables) WaterCement(average quantity.Stress, entrained bool) (float64, error) {
	rows := t.rows(entrained)
	want := float64(average) / float64(t.stress(1))
	if want > rows[0].strength {
		return 0, fmt.Errorf("an average of %s is above the table of strengths (it ends at %s); use a trial batch or the plant's record",
			t.say(average), t.say(t.stress(rows[0].strength)))
	}
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		if want >= b.strength {
			return b.plain + (want-b.strength)/(a.strength-b.strength)*(a.plain-b.plain), nil
		}
	}
	return rows[len(rows)-1].plain, nil
}

// rows lists the table's rows that have a ratio for the kind of concrete, the ratio in plain.
func (t Tables) rows(entrained bool) []strengthRow {
	out := make([]strengthRow, 0, len(t.strengths))
	for _, r := range t.strengths {
		if entrained {
			r.plain = r.entrained
		}
		if r.plain > 0 {
			out = append(out, r)
		}
	}
	return out
}

func (t Tables) say(s quantity.Stress) string {
	if t.content == siTables.content {
		return quantity.Show(s, quantity.AsStrength).String(quantity.Metric)
	}
	return quantity.Show(s, quantity.AsStrength).String(quantity.US)
}

// CoarseShare is the dry-rodded volume of coarse aggregate in a unit volume of concrete:
//
//	b = b(2.40) - 0.1 (FM - 2.40)
//
// Source: ACI 211.1-91, table 6.3.6. Checked: CON-20.
func (t Tables) CoarseShare(stone quantity.Length, fineness float64) (float64, error) {
	i, err := t.column(stone)
	if err != nil {
		return 0, err
	}
	return t.coarse[i] - 0.1*(fineness-2.40), nil
}

// FreshDensity is the first estimate of the density of fresh concrete for the weight method; stone up to 2 in (50 mm).
// Source: ACI 211.1-91, table 6.3.7.1 (recalled).
func (t Tables) FreshDensity(stone quantity.Length, entrained bool) (quantity.Density, error) {
	i, err := t.column(stone)
	if err != nil {
		return 0, err
	}
	v := t.fresh[index(entrained)][i]
	if v == 0 {
		return 0, fmt.Errorf("the table of fresh densities ends at stone of 2 in (50 mm)")
	}
	return quantity.Of[quantity.Density](v, t.content), nil
}
