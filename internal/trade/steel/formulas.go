package steel

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
)

// DragArea returns the steel that drags half a slab over its base as it shrinks, per unit width.
//
//	A_s = F L w / (2 f_s)
//
// F friction factor of slab on base, 0.5 to 2.5, 1.5 by habit; L distance between free joints, m; w weight of slab per
// area, Pa; f_s working stress of the steel, Pa. Source: reinforcing-institute example. The equation sizes steel that
// holds cracks tight; it adds no strength. Error when a value is not above zero. Checked: BLD-08 to BLD-11.
func DragArea(friction quantity.Ratio, length quantity.Length, weight, working quantity.Stress) (quantity.SteelArea, error) {
	if !(friction > 0) || !(length > 0) || !(weight > 0) || !(working > 0) {
		return 0, fmt.Errorf("steel: friction %g, length %g m, weight %g Pa and working stress %g Pa must be above zero", friction, length, weight, working)
	}
	return quantity.SteelArea(float64(friction) * length.Metres() * weight.Pascals() / (2 * working.Pascals())), nil
}

// freshWeight is the weight of concrete for drag and pressure, 150 lb/ft³ as the examples use it, N/m³.
const freshWeight = 150 * 157.08746

// SlabWeight returns the weight of a slab per area: 12.5 lb/ft² for every inch at 150 lb/ft³.
func SlabWeight(thickness quantity.Length) quantity.Stress {
	return quantity.Stress(freshWeight * thickness.Metres())
}

// structuralRatio is the shrinkage and temperature steel of structural slabs, Grade 60. Source: ACI 318-19, recalled.
const structuralRatio = 0.0018

// StructuralMinimum returns the shrinkage steel that a structural slab would need: shown for comparison, not asked of a
// slab on ground.
//
//	A_s = 0.0018 h
//
// Checked: BLD-13.
func StructuralMinimum(thickness quantity.Length) quantity.SteelArea {
	return quantity.SteelArea(structuralRatio * thickness.Metres())
}

// WireArea returns the steel of welded wire per width, and the wire's diameter.
//
//	a = W/100 in² / spacing,   d = √(4 a_w / π)
//
// W the wire number, hundredths of a square inch; plain (W) and deformed (D) alike. Source: ASTM A1064 numbering, table
// of styles. Checked: BLD-14.
func WireArea(number float64, spacing quantity.Length) (quantity.SteelArea, quantity.Length, error) {
	if !(number > 0) || number > 50 || !(spacing > 0) {
		return 0, 0, fmt.Errorf("steel: wire W%g every %g m is not a style: W1.4 to W45", number, spacing)
	}
	area := quantity.Of[quantity.Area](number/100, "in2").SquareMetres()
	return quantity.SteelArea(area / spacing.Metres()), quantity.Length(math.Sqrt(4 * area / math.Pi)), nil
}

// Splice is what decides how much two bars must overlap.
type Splice struct {
	Diameter quantity.Length
	Yield    quantity.Stress
	Strength quantity.Stress // of the concrete, f'c
	Crowded  bool            // clear spacing under two diameters or cover under one
	Epoxy    bool
}

// inchSquareRoot is √f'c in psi with f'c in Pa, and the same in psi out: the source's equations are in psi.
func inchSquareRoot(strength quantity.Stress) float64 { return math.Sqrt(strength.PSI()) }

// Development returns the length over which a bar takes its full pull, in normal-weight concrete, not a top bar.
//
//	ℓ_d = f_y ψ_e / (25 √f'c) · d_b       #6 and smaller, spacing ≥ 2 d_b and cover ≥ d_b
//	      20 for 25 from #7 on; 1.5 times as much where bars are crowded; at least 12 in
//
// f_y, f'c psi; ψ_e 1.2 for epoxy, 1.5 when crowded too. Source: ACI 318-14 Table 25.4.2.2. Valid for f'c 2500 to
// 10000 psi, refused outside. The table values of short bars stand without the 12 in floor: raw tells them. Checked:
// BLD-15, BLD-16.
func Development(s Splice) (length, raw quantity.Length, err error) {
	if !(s.Strength >= quantity.PSI(2499)) || s.Strength > quantity.PSI(10_001) {
		return 0, 0, fmt.Errorf("steel: concrete of %.0f psi is outside 2500 to 10000 psi", s.Strength.PSI())
	}
	if !(s.Diameter > 0) || s.Diameter > quantity.Inches(2.3) || !(s.Yield > 0) || s.Yield > quantity.PSI(100_001) {
		return 0, 0, fmt.Errorf("steel: a bar of %.3g in and %.0f psi is not in the table", s.Diameter.Inches(), s.Yield.PSI())
	}
	divisor, epoxy := 25.0, 1.0
	if s.Diameter > quantity.Inches(0.8) {
		divisor = 20
	}
	if s.Epoxy {
		epoxy = 1.2
	}
	if s.Crowded {
		divisor /= 1.5
		if s.Epoxy {
			epoxy = 1.5
		}
	}
	raw = quantity.Length(s.Yield.PSI() * epoxy / (divisor * inchSquareRoot(s.Strength)) * s.Diameter.Metres())
	return max(raw, quantity.Inches(12)), raw, nil
}

// classB is the lap of bars spliced at one place, over their development length. Source: ACI 318-14 25.5.2.
const classB = 1.3

// ClassBLap returns the structural lap: 1.3 development lengths, at least 12 in, and the same rounded up to a whole inch.
func ClassBLap(s Splice) (lap, rounded quantity.Length, err error) {
	_, raw, err := Development(s)
	if err != nil {
		return 0, 0, err
	}
	lap = max(classB*raw, quantity.Inches(12))
	return lap, quantity.Inches(math.Ceil(lap.Inches() - 1e-9)), nil
}

// TradeLap returns the lap of crack-control steel: 40 diameters. Source: common practice; for Grade 60 in 3000 to 4000 psi
// it is shorter than a class B lap.
func TradeLap(diameter quantity.Length) quantity.Length { return 40 * diameter }

// sawRoom is the least concrete between the saw and the bars.
var sawRoom = quantity.Millimetres(13)

// BarHeight returns how high the middle of the mat stands above the base.
//
//	z = max(t/2, t − 50 mm − d_b),   its top at least saw depth + 13 mm below the surface
//
// Source: common practice: mid-depth in thin slabs, the upper third in thick ones. Checked: BLD-BH rows.
func BarHeight(thickness, diameter, saw quantity.Length) (quantity.Length, error) {
	if !(thickness > 0) || !(diameter > 0) || !(saw >= 0) || saw+sawRoom+diameter >= thickness {
		return 0, fmt.Errorf("steel: no room for a %.3g in bar under a %.3g in cut in a %.3g in slab", diameter.Inches(), saw.Inches(), thickness.Inches())
	}
	z := max(thickness/2, thickness-quantity.Millimetres(50)-diameter)
	return min(z, thickness-saw-sawRoom-diameter), nil
}

// Dowel is one row of the dowel table.
type Dowel struct {
	Upto     quantity.Length // slab thickness
	Diameter quantity.Length
	Length   quantity.Length
	Spacing  quantity.Length
}

// dowelTable is the dowel size by thickness. Source: UFC 3-260-02 Table 12-8.
var dowelTable = []Dowel{
	{quantity.Inches(7.99), quantity.Inches(0.75), quantity.Inches(16), quantity.Inches(12)},
	{quantity.Inches(11.5), quantity.Inches(1), quantity.Inches(16), quantity.Inches(12)},
}

// DowelRow returns the smooth dowels across a construction joint: size by thickness, and how many in a joint of the given
// length, the first one end metres from each edge.
//
//	n = ⌊(L − 2 e)/s⌋ + 1
//
// Thickness 5 to 11.5 in; thinner and thicker are refused. Source: UFC 3-260-02; end distance by common practice. Checked:
// BLD-42.
func DowelRow(thickness, joint, end quantity.Length) (Dowel, int, error) {
	if thickness < quantity.Inches(4.99) {
		return Dowel{}, 0, fmt.Errorf("steel: a %.3g in slab is too thin for dowels", thickness.Inches())
	}
	if !(joint > 0) || !(end >= 0) {
		return Dowel{}, 0, fmt.Errorf("steel: a joint of %g m with dowels %g m from its ends cannot be", joint, end)
	}
	for _, d := range dowelTable {
		if thickness <= d.Upto {
			return d, max(0, int(math.Floor((joint-2*end).Metres()/d.Spacing.Metres()+1e-9))+1), nil
		}
	}
	return Dowel{}, 0, fmt.Errorf("steel: the dowel table ends at 11.5 in, not %.3g in: ask an engineer", thickness.Inches())
}

// Fibre is a kind of fibre with the dose below which it does nothing for the slab.
type Fibre struct {
	Name  string
	Least quantity.Density
}

// fibres by kind. Source: ACI FAQ on fibres.
var fibres = []Fibre{
	{"micro", quantity.Of[quantity.Density](0.5, "lb/yd3")},
	{"fibrillated", quantity.Of[quantity.Density](1.5, "lb/yd3")},
	{"macro", quantity.Of[quantity.Density](3.0, "lb/yd3")},
	{"steel", quantity.Of[quantity.Density](15, "lb/yd3")},
}

// FibreMass returns the fibre for a volume of concrete and whether the dose reaches the least of its kind (micro,
// fibrillated, macro, steel). Source: ACI FAQ. Checked: BLD-41.
func FibreMass(kind string, dose quantity.Density, volume quantity.Volume) (mass quantity.Mass, least quantity.Density, err error) {
	if !(dose > 0) || !(volume > 0) {
		return 0, 0, fmt.Errorf("steel: a dose of %g kg/m³ in %g m³ is no fibre", dose, volume)
	}
	for _, f := range fibres {
		if f.Name == kind {
			return quantity.Mass(float64(dose) * volume.CubicMetres()), f.Least, nil
		}
	}
	return 0, 0, fmt.Errorf("steel: %q is not a kind of fibre: micro, fibrillated, macro or steel", kind)
}

// LapPieces returns how many sticks a run of bar takes when it is longer than the stock.
//
//	n = ⌈(L − ℓ)/(S − ℓ)⌉
//
// Error when the lap is more than half the stock: no crew would tie that.
func LapPieces(run, stock, lap quantity.Length) (int, error) {
	if !(run > 0) || !(stock > 0) || !(lap >= 0) {
		return 0, fmt.Errorf("steel: a run of %g m from %g m stock with %g m lap cannot be", run, stock, lap)
	}
	if run <= stock {
		return 1, nil
	}
	if lap > stock/2 {
		return 0, fmt.Errorf("steel: lap %.0f in is not workable in %.0f in stock", lap.Inches(), stock.Inches())
	}
	return int(math.Ceil((run-lap).Metres()/(stock-lap).Metres() - 1e-9)), nil
}
