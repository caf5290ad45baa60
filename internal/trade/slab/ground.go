package slab

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// pci is one pound per cubic inch in Pa/m; psi one pound per square inch in Pa. The empirical formulas of this chapter are
// written in them.
var (
	pci = quantity.MustUnit(quantity.SubgradeDim, "pci").Factor
	psi = quantity.MustUnit(quantity.StressDim, "psi").Factor
)

// bareSubgradeCap is the most that bare ground is credited with from its CBR, pci [common practice].
const bareSubgradeCap = 300

// The coefficients of the two correlations of k (pci) with CBR (percent), k = Factor · CBR^Power.
var cbrForms = struct {
	packard, faa struct{ Factor, Power float64 }
}{
	packard: struct{ Factor, Power float64 }{53.438, 0.5719},
	faa:     struct{ Factor, Power float64 }{math.Pow(1500.0/26, 0.7788), 0.7788},
}

// SubgradeFromCBR is the modulus of subgrade reaction, Pa/m, of ground with the given CBR (percent), by two published
// correlations and the one to use: the lower of the two, at most 300 pci.
//
//	k = 53.438 CBR^0.5719 pci         k = (1500 CBR/26)^0.7788 pci
//
// Sources: Packard (as quoted by Barker and Alexander 2012); FAA AC 150/5320-6E. Valid for CBR 2 to 50; both are poor on
// weak ground. Checked: STR-02.
func SubgradeFromCBR(cbr float64) (packard, faa, use float64) {
	packard = cbrForms.packard.Factor * math.Pow(cbr, cbrForms.packard.Power) * pci
	faa = cbrForms.faa.Factor * math.Pow(cbr, cbrForms.faa.Power) * pci
	return packard, faa, math.Min(math.Min(packard, faa), bareSubgradeCap*pci)
}

// cbrRange is where the correlations with CBR were made.
var cbrRange = [2]float64{2, 50}

// Cone soils: which of the three correlations of the cone penetrometer holds.
const (
	coneOther = "other" // all soils but the two clays
	coneCL    = "CL"    // lean clay with CBR under 10
	coneCH    = "CH"    // fat clay
)

// coneRange is the penetration per blow, mm, within which the correlations hold.
var coneRange = [2]float64{3, 100}

// lightHammer is the 4.6 kg hammer: one of its blows drives half as far as the 8 kg hammer's.
const lightHammer, heavyHammer = 4.6, 8.0

// CBRFromCone is the CBR (percent) of ground into which a dynamic cone penetrometer sinks mm millimetres a blow.
//
//	all soils: 292/d^1.12       CL under CBR 10: 1/(0.017019 d)²       CH: 1/(0.002871 d)      d mm per blow, 8 kg hammer
//
// With the 4.6 kg hammer d is twice what was read. Source: ASTM D6951 (recalled). Valid for 3 to 100 mm a blow: stiffer
// ground means refusal, softer sinks under the rod's own weight; outside it is an error. Checked: STR-03.
func CBRFromCone(mm float64, soil string, hammer float64) (float64, error) {
	d := mm
	switch hammer {
	case lightHammer:
		d = 2 * mm
	case heavyHammer:
	default:
		return 0, fmt.Errorf("slab: a cone hammer of %g kg is not known; it is 8 kg or 4.6 kg", hammer)
	}
	if !(d >= coneRange[0] && d <= coneRange[1]) {
		return 0, fmt.Errorf("slab: %g mm a blow is outside the correlation, %g to %g mm: too stiff means refusal, too soft means no ground", d, coneRange[0], coneRange[1])
	}
	switch soil {
	case coneOther, "":
		return 292 / math.Pow(d, 1.12), nil
	case coneCL:
		return 1 / math.Pow(0.017019*d, 2), nil
	case coneCH:
		return 1 / (0.002871 * d), nil
	}
	return 0, fmt.Errorf("slab: cone soil %q is not known; it is CL, CH or other", soil)
}

// soilClass is a row of the support table: what a soil of that kind bears when compacted and not soaked.
type soilClass struct {
	name      string
	says      string
	low, high float64 // k, pci; the low end is the design value
	rValue    [2]float64
	refer     string // why an engineer must see it; empty: no need
	source    sources.Key
}

// soils is the support table. The last five are not in the published table: they stand below its lowest row, at the lowest
// k that the base tables know, until somebody tests.
var soils = []soilClass{
	{name: "clay or silt", says: "fine-grained, low support", low: 75, high: 120, rValue: [2]float64{10, 22}, source: sources.ACI330Support},
	{name: "silty sand", says: "sand or sand and gravel with some silt or clay, medium support", low: 130, high: 170, rValue: [2]float64{29, 41}, source: sources.ACI330Support},
	{name: "sand and gravel", says: "sand or sand and gravel, little clay, high support", low: 180, high: 220, rValue: [2]float64{45, 52}, source: sources.ACI330Support},
	{name: "soft", says: "a heel sinks in", low: 50, high: 75, refer: "soft ground", source: sources.OwnRule},
	{name: "organic", says: "topsoil, peat, buried wood", low: 50, high: 50, refer: "organic ground", source: sources.OwnRule},
	{name: "expansive", says: "clay that swells when wet", low: 50, high: 75, refer: "expansive clay", source: sources.OwnRule},
	{name: "frost heaving", says: "silt with water near, in frost country", low: 50, high: 75, refer: "ground that heaves in frost", source: sources.OwnRule},
	{name: "unknown", says: "nobody has looked", low: 50, high: 120, refer: "ground nobody has looked at", source: sources.OwnRule},
}

func findSoil(name string) (soilClass, bool) {
	for _, s := range soils {
		if s.name == name {
			return s, true
		}
	}
	return soilClass{}, false
}

// soilOfRValue is the class an R-value belongs to: the highest row whose range starts at or below it. No closed form from
// R to k can be trusted, so the class's low end is used.
func soilOfRValue(r float64) soilClass {
	found := soils[3] // below every row: soft
	for _, s := range soils[:3] {
		if r >= s.rValue[0] {
			found = s
		}
	}
	return found
}

// baseTable is the modulus at the top of a base, pci, by that of the ground under it and the base's thickness.
type baseTable struct {
	ground    []float64   // pci
	thickness []float64   // inches
	k         [][]float64 // pci, a row for each ground; a short row: no value given for thicker bases
}

// Bases: granular, recalled from PCA EB109 and ACI 330R Table 3.2; cement-treated, recalled from PCA EB109.
var (
	granularBase = baseTable{
		ground: []float64{50, 100, 200, 300}, thickness: []float64{4, 6, 9, 12},
		k: [][]float64{{65, 75, 85, 110}, {130, 140, 160, 190}, {220, 230, 270, 320}, {320, 330, 370, 430}},
	}
	cementBase = baseTable{
		ground: []float64{50, 100, 200}, thickness: []float64{4, 6, 9, 12},
		k: [][]float64{{170, 230, 310, 390}, {280, 400, 520, 640}, {470, 640, 830}},
	}
)

// CompositeK is the modulus at the top of a base, Pa/m, and whether the table had to be clamped.
//
// Bilinear in ground and thickness; under 4 in linear from the ground itself; never past 12 in, nor outside the table's
// range of ground. ground Pa/m, thickness m. Checked: STR-04.
func (b baseTable) CompositeK(ground, thickness float64) (k float64, clamped bool) {
	g, t := ground/pci, quantity.Length(thickness).Inches()
	last := len(b.ground) - 1
	clampedG := math.Min(math.Max(g, b.ground[0]), b.ground[last])
	i := 0
	for i < last-1 && clampedG > b.ground[i+1] {
		i++
	}
	columns := min(len(b.k[i]), len(b.k[i+1]))
	clampedT := math.Min(t, b.thickness[columns-1])
	share := (clampedG - b.ground[i]) / (b.ground[i+1] - b.ground[i])
	low, high := b.along(i, clampedT), b.along(i+1, clampedT)
	return (low + share*(high-low)) * pci, clampedG != g || clampedT != t
}

// along interpolates one row of the table in thickness, from the ground itself at thickness zero.
func (b baseTable) along(row int, t float64) float64 {
	fromT, fromK := 0.0, b.ground[row]
	for j, toK := range b.k[row] {
		toT := b.thickness[j]
		if t <= toT {
			return fromK + (toK-fromK)*(t-fromT)/(toT-fromT)
		}
		fromT, fromK = toT, toK
	}
	return fromK
}
