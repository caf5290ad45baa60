package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// Soil is what is dug.
type Soil string

// The soils.
const (
	Sand    Soil = "sand"
	Earth   Soil = "common earth"
	Clay    Soil = "clay"
	Topsoil Soil = "topsoil"
	Rock    Soil = "blasted rock"
	Rubble  Soil = "old concrete"
)

// Choices are the words a file may use.
func (Soil) Choices() []string {
	return []string{string(Sand), string(Earth), string(Clay), string(Topsoil), string(Rock), string(Rubble)}
}

// soilRow is one material: what a bank yard becomes when it is loosened and when it is compacted, and what it weighs moist.
type soilRow struct {
	soil             Soil
	loose, compacted float64 // per bank volume; compacted 0: not used again under a slab
	pcf              float64 // lb/ft³ in the bank, moist
	frost            bool    // may hold silt that heaves
	source           sources.Key
}

// soils is the table of bank, loose and compacted volumes. Sand: an engineering training table; earth, rock, second clay
// row: military earthmoving manual, recalled; clay 1.30 and 0.80 a published exercise. Weights: earth 100, clay 110, sand 100
// to 120 lb/ft³ recalled; topsoil, rock and rubble by trade habit.
var soils = []soilRow{
	{Sand, 1.11, 0.95, 110, false, sources.SwellTraining},
	{Earth, 1.25, 0.90, 100, true, sources.SwellManual},
	{Clay, 1.30, 0.80, 110, true, sources.SwellExercise},
	{Topsoil, 1.425, 0, 95, true, sources.SwellManual},
	{Rock, 1.50, 1.30, 150, false, sources.SwellManual},
	{Rubble, 1.60, 0, 145, false, sources.CommonPractice},
}

func soilOf(s Soil) (soilRow, error) {
	for _, row := range soils {
		if row.soil == s {
			return row, nil
		}
	}
	return soilRow{}, fmt.Errorf("%q is no soil of the table; type one of %v", s, Soil("").Choices())
}

// weight is the soil's moist weight in the bank.
func (r soilRow) weight() quantity.Density { return quantity.Of[quantity.Density](r.pcf, "lb/ft3") }

// Stone is what the base is made of.
type Stone string

// The base materials.
const (
	DenseGraded Stone = "dense graded"
	OpenGraded  Stone = "open graded"
	BaseSand    Stone = "sand"
)

// Choices are the words a file may use.
func (Stone) Choices() []string {
	return []string{string(DenseGraded), string(OpenGraded), string(BaseSand)}
}

// stoneRow is the dry weight of a compacted base, lb/ft³, with its range. Source: common practice.
type stoneRow struct {
	stone          Stone
	pcf, low, high float64
}

var stones = []stoneRow{{DenseGraded, 135, 125, 145}, {OpenGraded, 105, 95, 110}, {BaseSand, 110, 100, 120}}

func stoneOf(s Stone) (stoneRow, error) {
	for _, row := range stones {
		if row.stone == s {
			return row, nil
		}
	}
	return stoneRow{}, fmt.Errorf("%q is no base of the table; type one of %v", s, Stone("").Choices())
}

func (r stoneRow) weight() quantity.Density { return quantity.Of[quantity.Density](r.pcf, "lb/ft3") }

// stoneMass is what compacted stone weighs as it is bought.
//
//	m = V · γ_d · (1 + w)
//
// V compacted volume, γ_d dry weight compacted, w water by weight of dry stone. Source: definition. Checked: SITE-16, EXP-08.
func stoneMass(v quantity.Volume, dry quantity.Density, w quantity.Percent) quantity.Mass {
	return quantity.Mass(float64(v) * float64(dry) * (1 + float64(w)))
}

// roundingUp keeps a count that is whole but for rounding from going one up.
const roundingUp = 1e-9

// ceil is the next whole number, taking one that is whole but for rounding as whole.
func ceil(v float64) int { return int(math.Ceil(v - roundingUp*math.Max(1, v))) }

// lifts is how many loose lifts a compacted layer takes.
//
//	n = ⌈(t / p) / lift⌉
//
// t compacted thickness, p compacted over loose thickness, lift the deepest loose lift. Source: common practice.
func lifts(t quantity.Length, p quantity.Ratio, lift quantity.Length) int {
	return ceil(float64(t) / float64(p) / float64(lift))
}

// haulLoads is how many truck loads spoil makes, and whether weight, not volume, fills the truck.
//
//	n = ⌈max(V_loose / box, m / payload)⌉
//
// Source: common practice.
func haulLoads(loose quantity.Volume, mass quantity.Mass, box quantity.Volume, payload quantity.Mass) (loads int, byWeight bool) {
	byVolume, byMass := float64(loose)/float64(box), float64(mass)/float64(payload)
	return ceil(math.Max(byVolume, byMass)), byMass > byVolume
}
