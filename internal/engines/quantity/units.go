package quantity

import (
	"fmt"
	"sort"
	"strings"
)

// Dimension is a kind of physical amount. Two units convert into one another only within one dimension: a slope and a
// water/cement ratio are both pure numbers and still never mix.
type Dimension string

// The dimensions in use. The SI unit of each is the first of its units in the table below.
const (
	Pure              Dimension = "number"
	Count             Dimension = "count"
	LengthDim         Dimension = "length"
	AreaDim           Dimension = "area"
	VolumeDim         Dimension = "volume"
	AngleDim          Dimension = "angle"
	SlopeDim          Dimension = "slope"
	MassDim           Dimension = "mass"
	ForceDim          Dimension = "force"
	StressDim         Dimension = "stress"
	SubgradeDim       Dimension = "modulus of subgrade reaction"
	DensityDim        Dimension = "density"
	MassPerAreaDim    Dimension = "mass per area"
	LinearMassDim     Dimension = "mass per length"
	LineLoadDim       Dimension = "force per length"
	PerWidthDim       Dimension = "area per width"
	MomentDim         Dimension = "moment"
	MomentPerWidthDim Dimension = "moment per width"
	JointStiffnessDim Dimension = "joint stiffness"
	TempDim           Dimension = "temperature"
	TempDiffDim       Dimension = "temperature difference"
	PerTempDim        Dimension = "expansion per degree"
	TimeDim           Dimension = "time"
	SpeedDim          Dimension = "speed"
	EvaporationDim    Dimension = "evaporation"
	HeatFluxDim       Dimension = "heat flux"
	HeatSourceDim     Dimension = "heat source"
	HeatTransferDim   Dimension = "heat transfer"
	ConductivityDim   Dimension = "conductivity"
	DiffusivityDim    Dimension = "diffusivity"
	HeatCapacityDim   Dimension = "volumetric heat capacity"
	InsulationDim     Dimension = "insulation"
	HeatDim           Dimension = "heat per mass"
	MolarEnergyDim    Dimension = "activation energy"
	MaturityDim       Dimension = "maturity"
	FlowDim           Dimension = "flow"
	FinenessDim       Dimension = "fineness"
	WorkDim           Dimension = "work per volume"
	LengthRateDim     Dimension = "length per time"
	AreaRateDim       Dimension = "area per time"
	VolumeRateDim     Dimension = "volume per time"
	MassRateDim       Dimension = "mass per time"
	FrequencyDim      Dimension = "events per time"
	MoneyDim          Dimension = "money"
	MoneyRateDim      Dimension = "money per time"
	MoneyVolumeDim    Dimension = "money per volume"
	MoneyMassDim      Dimension = "money per mass"
	MoneyLengthDim    Dimension = "money per length"
	MoneyAreaDim      Dimension = "money per area"
	CoverageDim       Dimension = "area per volume"
)

// Unit is one way of writing a dimension: SI = (value + Offset) · Factor.
type Unit struct {
	Symbol  string
	Dim     Dimension
	Factor  float64
	Offset  float64
	Aliases []string
}

// SI turns a value written in u into SI.
func (u Unit) SI(value float64) float64 { return (value + u.Offset) * u.Factor }

// From turns an SI value into u.
func (u Unit) From(si float64) float64 { return si/u.Factor - u.Offset }

// Defining constants: the international yard and pound agreement of 1959 and the standard acceleration of free fall.
const (
	inch   = 0.0254
	foot   = 12 * inch
	yard   = 3 * foot
	mile   = 5280 * foot
	pound  = 0.45359237
	gravit = 9.80665
	lbf    = pound * gravit
	psi    = lbf / (inch * inch)
	gallon = 231 * inch * inch * inch
	btu    = 1055.05585262
	rankin = 5.0 / 9.0
)

// units lists every unit the program can read; the first of a dimension is its SI unit.
var units = []Unit{
	{Symbol: "1", Dim: Pure, Factor: 1, Aliases: []string{"", "-", "ratio"}},
	{Symbol: "%", Dim: Pure, Factor: 0.01, Aliases: []string{"pct", "percent"}},
	{Symbol: "x1e-6", Dim: Pure, Factor: 1e-6, Aliases: []string{"microstrain", "ue", "µε", "ppm"}},
	{Symbol: "ea", Dim: Count, Factor: 1, Aliases: []string{"", "pcs", "no", "count"}},
	{Symbol: "m", Dim: LengthDim, Factor: 1, Aliases: []string{"metre", "metres", "meter", "meters"}},
	{Symbol: "mm", Dim: LengthDim, Factor: 1e-3},
	{Symbol: "cm", Dim: LengthDim, Factor: 1e-2},
	{Symbol: "km", Dim: LengthDim, Factor: 1e3},
	{Symbol: "µm", Dim: LengthDim, Factor: 1e-6, Aliases: []string{"um", "micron"}},
	{Symbol: "in", Dim: LengthDim, Factor: inch, Aliases: []string{"inch", "inches", "\"", "″"}},
	{Symbol: "ft", Dim: LengthDim, Factor: foot, Aliases: []string{"foot", "feet", "'", "′"}},
	{Symbol: "yd", Dim: LengthDim, Factor: yard, Aliases: []string{"yard", "yards"}},
	{Symbol: "mi", Dim: LengthDim, Factor: mile, Aliases: []string{"mile", "miles"}},
	{Symbol: "m2", Dim: AreaDim, Factor: 1, Aliases: []string{"m²", "sqm"}},
	{Symbol: "mm2", Dim: AreaDim, Factor: 1e-6, Aliases: []string{"mm²"}},
	{Symbol: "in2", Dim: AreaDim, Factor: inch * inch, Aliases: []string{"in²", "sq in"}},
	{Symbol: "ft2", Dim: AreaDim, Factor: foot * foot, Aliases: []string{"ft²", "sq ft", "sf"}},
	{Symbol: "acre", Dim: AreaDim, Factor: 43560 * foot * foot, Aliases: []string{"ac", "acres"}},
	{Symbol: "m3", Dim: VolumeDim, Factor: 1, Aliases: []string{"m³"}},
	{Symbol: "L", Dim: VolumeDim, Factor: 1e-3, Aliases: []string{"l", "litre", "liter"}},
	{Symbol: "ft3", Dim: VolumeDim, Factor: foot * foot * foot, Aliases: []string{"ft³", "cu ft", "cf"}},
	{Symbol: "yd3", Dim: VolumeDim, Factor: yard * yard * yard, Aliases: []string{"yd³", "cu yd", "cy", "yd", "yard", "yards"}},
	{Symbol: "gal", Dim: VolumeDim, Factor: gallon, Aliases: []string{"gallon", "gallons"}},
	{Symbol: "rad", Dim: AngleDim, Factor: 1},
	{Symbol: "deg", Dim: AngleDim, Factor: 3.14159265358979323846 / 180, Aliases: []string{"°", "degree", "degrees"}},
	{Symbol: "m/m", Dim: SlopeDim, Factor: 1, Aliases: []string{"1", "", "ratio"}},
	{Symbol: "%", Dim: SlopeDim, Factor: 0.01, Aliases: []string{"pct", "percent"}},
	{Symbol: "in/ft", Dim: SlopeDim, Factor: 1.0 / 12},
	{Symbol: "mm/m", Dim: SlopeDim, Factor: 1e-3},
	{Symbol: "kg", Dim: MassDim, Factor: 1},
	{Symbol: "g", Dim: MassDim, Factor: 1e-3},
	{Symbol: "t", Dim: MassDim, Factor: 1e3, Aliases: []string{"tonne", "tonnes"}},
	{Symbol: "lb", Dim: MassDim, Factor: pound, Aliases: []string{"lbs", "pound", "pounds"}},
	{Symbol: "ton", Dim: MassDim, Factor: 2000 * pound, Aliases: []string{"tons"}},
	{Symbol: "oz", Dim: MassDim, Factor: pound / 16},
	{Symbol: "N", Dim: ForceDim, Factor: 1},
	{Symbol: "kN", Dim: ForceDim, Factor: 1e3},
	{Symbol: "lb", Dim: ForceDim, Factor: lbf, Aliases: []string{"lbf", "lbs"}},
	{Symbol: "kip", Dim: ForceDim, Factor: 1000 * lbf, Aliases: []string{"kips"}},
	{Symbol: "kgf", Dim: ForceDim, Factor: gravit, Aliases: []string{"kg"}},
	{Symbol: "ton", Dim: ForceDim, Factor: 2000 * lbf, Aliases: []string{"tons"}},
	{Symbol: "t", Dim: ForceDim, Factor: 1000 * gravit},
	{Symbol: "Pa", Dim: StressDim, Factor: 1},
	{Symbol: "kPa", Dim: StressDim, Factor: 1e3},
	{Symbol: "MPa", Dim: StressDim, Factor: 1e6, Aliases: []string{"N/mm2"}},
	{Symbol: "GPa", Dim: StressDim, Factor: 1e9},
	{Symbol: "hPa", Dim: StressDim, Factor: 100, Aliases: []string{"mbar"}},
	{Symbol: "psi", Dim: StressDim, Factor: psi},
	{Symbol: "ksi", Dim: StressDim, Factor: 1000 * psi},
	{Symbol: "psf", Dim: StressDim, Factor: lbf / (foot * foot)},
	{Symbol: "Pa/m", Dim: SubgradeDim, Factor: 1, Aliases: []string{"N/m3"}},
	{Symbol: "kPa/m", Dim: SubgradeDim, Factor: 1e3},
	{Symbol: "MPa/m", Dim: SubgradeDim, Factor: 1e6, Aliases: []string{"kPa/mm"}},
	{Symbol: "GPa/m", Dim: SubgradeDim, Factor: 1e9},
	{Symbol: "pci", Dim: SubgradeDim, Factor: psi / inch, Aliases: []string{"lb/in3", "psi/in"}},
	{Symbol: "kg/m3", Dim: DensityDim, Factor: 1, Aliases: []string{"kg/m³"}},
	{Symbol: "lb/yd3", Dim: DensityDim, Factor: pound / (yard * yard * yard), Aliases: []string{"lb/cy", "lb/yd³", "lb/yd"}},
	{Symbol: "lb/ft3", Dim: DensityDim, Factor: pound / (foot * foot * foot), Aliases: []string{"pcf", "lb/ft³"}},
	{Symbol: "kN/m3", Dim: DensityDim, Factor: 1000 / gravit, Aliases: []string{"kN/m³"}},
	{Symbol: "t/m3", Dim: DensityDim, Factor: 1000},
	{Symbol: "gal/yd3", Dim: DensityDim, Factor: 8.345 * pound / (yard * yard * yard), Aliases: []string{"gal/yd³", "gal/yd"}},
	{Symbol: "kg/m2", Dim: MassPerAreaDim, Factor: 1, Aliases: []string{"mm water"}},
	{Symbol: "lb/ft2", Dim: MassPerAreaDim, Factor: pound / (foot * foot)},
	{Symbol: "kg/m", Dim: LinearMassDim, Factor: 1},
	{Symbol: "lb/ft", Dim: LinearMassDim, Factor: pound / foot},
	{Symbol: "N/m", Dim: LineLoadDim, Factor: 1},
	{Symbol: "kN/m", Dim: LineLoadDim, Factor: 1e3},
	{Symbol: "lb/ft", Dim: LineLoadDim, Factor: lbf / foot, Aliases: []string{"plf"}},
	{Symbol: "m2/m", Dim: PerWidthDim, Factor: 1},
	{Symbol: "mm2/m", Dim: PerWidthDim, Factor: 1e-6, Aliases: []string{"mm²/m"}},
	{Symbol: "in2/ft", Dim: PerWidthDim, Factor: inch * inch / foot, Aliases: []string{"in²/ft"}},
	{Symbol: "N*m", Dim: MomentDim, Factor: 1, Aliases: []string{"N·m", "Nm"}},
	{Symbol: "MN*m", Dim: MomentDim, Factor: 1e6, Aliases: []string{"MN·m"}},
	{Symbol: "lb*in", Dim: MomentDim, Factor: lbf * inch, Aliases: []string{"lb·in", "in-lb"}},
	{Symbol: "lb*ft", Dim: MomentDim, Factor: lbf * foot, Aliases: []string{"lb·ft", "ft-lb"}},
	{Symbol: "N*m/m", Dim: MomentPerWidthDim, Factor: 1, Aliases: []string{"N·m/m"}},
	{Symbol: "lb*in/in", Dim: MomentPerWidthDim, Factor: lbf},
	{Symbol: "N/m2", Dim: JointStiffnessDim, Factor: 1},
	{Symbol: "MN/m2", Dim: JointStiffnessDim, Factor: 1e6},
	{Symbol: "lb/in2", Dim: JointStiffnessDim, Factor: psi, Aliases: []string{"psi"}},
	{Symbol: "°C", Dim: TempDim, Factor: 1, Aliases: []string{"C", "degC"}},
	{Symbol: "°F", Dim: TempDim, Factor: rankin, Offset: -32, Aliases: []string{"F", "degF"}},
	{Symbol: "K", Dim: TempDim, Factor: 1, Offset: -273.15},
	{Symbol: "K", Dim: TempDiffDim, Factor: 1, Aliases: []string{"°C", "C", "degC"}},
	{Symbol: "°F", Dim: TempDiffDim, Factor: rankin, Aliases: []string{"F", "degF", "F°"}},
	{Symbol: "1/K", Dim: PerTempDim, Factor: 1, Aliases: []string{"/K", "1/°C"}},
	{Symbol: "1/°F", Dim: PerTempDim, Factor: 1 / rankin, Aliases: []string{"1/F", "/F", "/°F"}},
	{Symbol: "s", Dim: TimeDim, Factor: 1, Aliases: []string{"sec"}},
	{Symbol: "min", Dim: TimeDim, Factor: 60, Aliases: []string{"minutes"}},
	{Symbol: "h", Dim: TimeDim, Factor: 3600, Aliases: []string{"hr", "hrs", "hour", "hours"}},
	{Symbol: "d", Dim: TimeDim, Factor: 86400, Aliases: []string{"day", "days"}},
	{Symbol: "wk", Dim: TimeDim, Factor: 604800, Aliases: []string{"week", "weeks"}},
	{Symbol: "yr", Dim: TimeDim, Factor: 365.25 * 86400, Aliases: []string{"year", "years"}},
	{Symbol: "m/s", Dim: SpeedDim, Factor: 1},
	{Symbol: "km/h", Dim: SpeedDim, Factor: 1 / 3.6, Aliases: []string{"kph", "kmh"}},
	{Symbol: "mph", Dim: SpeedDim, Factor: mile / 3600, Aliases: []string{"mi/h"}},
	{Symbol: "ft/s", Dim: SpeedDim, Factor: foot, Aliases: []string{"fps"}},
	{Symbol: "ft/min", Dim: SpeedDim, Factor: foot / 60},
	{Symbol: "kg/m2/s", Dim: EvaporationDim, Factor: 1},
	{Symbol: "kg/m2/h", Dim: EvaporationDim, Factor: 1.0 / 3600, Aliases: []string{"kg/m²/h"}},
	{Symbol: "lb/ft2/h", Dim: EvaporationDim, Factor: pound / (foot * foot) / 3600, Aliases: []string{"lb/ft²/h", "psf/h"}},
	{Symbol: "W/m2", Dim: HeatFluxDim, Factor: 1, Aliases: []string{"W/m²"}},
	{Symbol: "W/m3", Dim: HeatSourceDim, Factor: 1, Aliases: []string{"W/m³"}},
	{Symbol: "W/m2/K", Dim: HeatTransferDim, Factor: 1, Aliases: []string{"W/m²K", "W/m2K"}},
	{Symbol: "W/m/K", Dim: ConductivityDim, Factor: 1, Aliases: []string{"W/mK"}},
	{Symbol: "m2/s", Dim: DiffusivityDim, Factor: 1, Aliases: []string{"m²/s"}},
	{Symbol: "J/m3/K", Dim: HeatCapacityDim, Factor: 1, Aliases: []string{"J/m³K"}},
	{Symbol: "m2K/W", Dim: InsulationDim, Factor: 1, Aliases: []string{"m²K/W"}},
	{Symbol: "R", Dim: InsulationDim, Factor: rankin * foot * foot * 3600 / btu, Aliases: []string{"ft2hF/Btu"}},
	{Symbol: "J/kg", Dim: HeatDim, Factor: 1},
	{Symbol: "J/g", Dim: HeatDim, Factor: 1e3, Aliases: []string{"kJ/kg"}},
	{Symbol: "J/mol", Dim: MolarEnergyDim, Factor: 1},
	{Symbol: "kJ/mol", Dim: MolarEnergyDim, Factor: 1e3},
	{Symbol: "K*s", Dim: MaturityDim, Factor: 1},
	{Symbol: "°C*h", Dim: MaturityDim, Factor: 3600, Aliases: []string{"C*h", "°C·h", "degC*h"}},
	{Symbol: "m3/s", Dim: FlowDim, Factor: 1, Aliases: []string{"m³/s"}},
	{Symbol: "L/s", Dim: FlowDim, Factor: 1e-3, Aliases: []string{"l/s"}},
	{Symbol: "cfs", Dim: FlowDim, Factor: foot * foot * foot, Aliases: []string{"ft3/s"}},
	{Symbol: "gpm", Dim: FlowDim, Factor: gallon / 60, Aliases: []string{"gal/min"}},
	{Symbol: "m2/kg", Dim: FinenessDim, Factor: 1, Aliases: []string{"m²/kg"}},
	{Symbol: "J/m3", Dim: WorkDim, Factor: 1},
	{Symbol: "kN*m/m3", Dim: WorkDim, Factor: 1e3},
	{Symbol: "ft*lb/ft3", Dim: WorkDim, Factor: lbf / (foot * foot)},
	{Symbol: "m/s", Dim: LengthRateDim, Factor: 1},
	{Symbol: "m/h", Dim: LengthRateDim, Factor: 1.0 / 3600},
	{Symbol: "ft/h", Dim: LengthRateDim, Factor: foot / 3600},
	{Symbol: "in/h", Dim: LengthRateDim, Factor: inch / 3600},
	{Symbol: "mm/h", Dim: LengthRateDim, Factor: 1e-3 / 3600},
	{Symbol: "m2/s", Dim: AreaRateDim, Factor: 1},
	{Symbol: "m2/h", Dim: AreaRateDim, Factor: 1.0 / 3600, Aliases: []string{"m²/h"}},
	{Symbol: "ft2/h", Dim: AreaRateDim, Factor: foot * foot / 3600, Aliases: []string{"ft²/h"}},
	{Symbol: "m3/s", Dim: VolumeRateDim, Factor: 1},
	{Symbol: "m3/h", Dim: VolumeRateDim, Factor: 1.0 / 3600, Aliases: []string{"m³/h"}},
	{Symbol: "yd3/h", Dim: VolumeRateDim, Factor: yard * yard * yard / 3600, Aliases: []string{"yd³/h", "yd/h"}},
	{Symbol: "kg/s", Dim: MassRateDim, Factor: 1},
	{Symbol: "kg/h", Dim: MassRateDim, Factor: 1.0 / 3600},
	{Symbol: "lb/h", Dim: MassRateDim, Factor: pound / 3600},
	{Symbol: "1/s", Dim: FrequencyDim, Factor: 1},
	{Symbol: "1/h", Dim: FrequencyDim, Factor: 1.0 / 3600, Aliases: []string{"/h", "per hour"}},
	{Symbol: "1/d", Dim: FrequencyDim, Factor: 1.0 / 86400, Aliases: []string{"/d", "per day"}},
	{Symbol: "1/wk", Dim: FrequencyDim, Factor: 1.0 / 604800, Aliases: []string{"/wk", "per week"}},
	{Symbol: "$", Dim: MoneyDim, Factor: 1, Aliases: []string{"money"}},
	{Symbol: "$/s", Dim: MoneyRateDim, Factor: 1},
	{Symbol: "$/h", Dim: MoneyRateDim, Factor: 1.0 / 3600, Aliases: []string{"per hour"}},
	{Symbol: "$/min", Dim: MoneyRateDim, Factor: 1.0 / 60},
	{Symbol: "$/d", Dim: MoneyRateDim, Factor: 1.0 / 86400, Aliases: []string{"per day"}},
	{Symbol: "$/m3", Dim: MoneyVolumeDim, Factor: 1, Aliases: []string{"$/m³"}},
	{Symbol: "$/yd3", Dim: MoneyVolumeDim, Factor: 1 / (yard * yard * yard), Aliases: []string{"$/yd", "$/cy", "$/yd³"}},
	{Symbol: "$/kg", Dim: MoneyMassDim, Factor: 1},
	{Symbol: "$/t", Dim: MoneyMassDim, Factor: 1e-3},
	{Symbol: "$/ton", Dim: MoneyMassDim, Factor: 1 / (2000 * pound)},
	{Symbol: "$/lb", Dim: MoneyMassDim, Factor: 1 / pound},
	{Symbol: "$/m", Dim: MoneyLengthDim, Factor: 1},
	{Symbol: "$/ft", Dim: MoneyLengthDim, Factor: 1 / foot},
	{Symbol: "$/m2", Dim: MoneyAreaDim, Factor: 1, Aliases: []string{"$/m²"}},
	{Symbol: "$/ft2", Dim: MoneyAreaDim, Factor: 1 / (foot * foot), Aliases: []string{"$/ft²"}},
	{Symbol: "m2/m3", Dim: CoverageDim, Factor: 1},
	{Symbol: "m2/L", Dim: CoverageDim, Factor: 1e3},
	{Symbol: "ft2/gal", Dim: CoverageDim, Factor: foot * foot / gallon, Aliases: []string{"ft²/gal"}},
}

// unitKey finds a unit by how it is written within its dimension.
type unitKey struct {
	dim    Dimension
	symbol string
}

var unitIndex = buildUnitIndex()

func buildUnitIndex() map[unitKey]Unit {
	index := make(map[unitKey]Unit, 3*len(units))
	for _, u := range units {
		for _, symbol := range append([]string{u.Symbol}, u.Aliases...) {
			index[unitKey{u.Dim, symbol}] = u
			if low := (unitKey{u.Dim, strings.ToLower(symbol)}); index[low].Symbol == "" {
				index[low] = u
			}
		}
	}
	return index
}

// UnitOf finds the unit written symbol in dimension dim: "psi" of stress. Exact spelling first, then any letter case.
func UnitOf(dim Dimension, symbol string) (Unit, error) {
	symbol = strings.TrimSpace(symbol)
	if u, ok := unitIndex[unitKey{dim, symbol}]; ok {
		return u, nil
	}
	if u, ok := unitIndex[unitKey{dim, strings.ToLower(symbol)}]; ok {
		return u, nil
	}
	return Unit{}, fmt.Errorf("%q is not a unit of %s; use %s", symbol, dim, strings.Join(SymbolsOf(dim), ", "))
}

// MustUnit is UnitOf for units written in the program's own tables; it panics on a spelling mistake there.
func MustUnit(dim Dimension, symbol string) Unit {
	u, err := UnitOf(dim, symbol)
	if err != nil {
		panic("quantity: " + err.Error())
	}
	return u
}

// FindUnit finds the unit written symbol in any dimension, the first of the table that has it.
func FindUnit(symbol string) (Unit, error) {
	for _, u := range units {
		if u.Symbol == symbol {
			return u, nil
		}
	}
	for _, u := range units {
		for _, a := range u.Aliases {
			if a == symbol && a != "" {
				return u, nil
			}
		}
	}
	return Unit{}, fmt.Errorf("%q is not a unit this program knows", symbol)
}

// SIUnit is the unit in which values of dim are kept.
func SIUnit(dim Dimension) Unit {
	for _, u := range units {
		if u.Dim == dim {
			return u
		}
	}
	return Unit{Symbol: "", Dim: dim, Factor: 1}
}

// SymbolsOf lists how dim may be written, SI first.
func SymbolsOf(dim Dimension) []string {
	var out []string
	for _, u := range units {
		if u.Dim == dim {
			out = append(out, u.Symbol)
		}
	}
	return out
}

// Dimensions lists every dimension in the unit table, by name.
func Dimensions() []Dimension {
	seen := map[Dimension]bool{}
	var out []Dimension
	for _, u := range units {
		if !seen[u.Dim] {
			seen[u.Dim] = true
			out = append(out, u.Dim)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	return out
}
