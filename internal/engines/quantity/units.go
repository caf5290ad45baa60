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
	{Symbol: "x1e-6", Dim: Pure, Factor: 1e-6, Aliases: []string{"microstrain", "ue", "µε", "με", "ppm", "1e-6"}},
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
	{Symbol: "yd2", Dim: AreaDim, Factor: yard * yard, Aliases: []string{"sq yd", "sy"}},
	{Symbol: "cm2", Dim: AreaDim, Factor: 1e-4},
	{Symbol: "acre", Dim: AreaDim, Factor: 43560 * foot * foot, Aliases: []string{"ac", "acres"}},
	{Symbol: "m3", Dim: VolumeDim, Factor: 1, Aliases: []string{"m³"}},
	{Symbol: "L", Dim: VolumeDim, Factor: 1e-3, Aliases: []string{"l", "litre", "liter"}},
	{Symbol: "ft3", Dim: VolumeDim, Factor: foot * foot * foot, Aliases: []string{"ft³", "cu ft", "cf"}},
	{Symbol: "in3", Dim: VolumeDim, Factor: inch * inch * inch, Aliases: []string{"cu in"}},
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
	{Symbol: "kip", Dim: ForceDim, Factor: 1000 * lbf, Aliases: []string{"kips", "klb"}},
	{Symbol: "MN", Dim: ForceDim, Factor: 1e6},
	{Symbol: "kgf", Dim: ForceDim, Factor: gravit, Aliases: []string{"kg"}},
	{Symbol: "ton", Dim: ForceDim, Factor: 2000 * lbf, Aliases: []string{"tons"}},
	{Symbol: "t", Dim: ForceDim, Factor: 1000 * gravit},
	{Symbol: "Pa", Dim: StressDim, Factor: 1, Aliases: []string{"N/m2"}},
	{Symbol: "kPa", Dim: StressDim, Factor: 1e3},
	{Symbol: "MPa", Dim: StressDim, Factor: 1e6, Aliases: []string{"N/mm2", "MN/m2"}},
	{Symbol: "GPa", Dim: StressDim, Factor: 1e9},
	{Symbol: "hPa", Dim: StressDim, Factor: 100, Aliases: []string{"mbar"}},
	{Symbol: "psi", Dim: StressDim, Factor: psi, Aliases: []string{"lb/in2"}},
	{Symbol: "ksi", Dim: StressDim, Factor: 1000 * psi},
	{Symbol: "psf", Dim: StressDim, Factor: lbf / (foot * foot), Aliases: []string{"lb/ft2"}},
	{Symbol: "kN/m2", Dim: StressDim, Factor: 1e3},
	{Symbol: "bar", Dim: StressDim, Factor: 1e5},
	{Symbol: "Pa/m", Dim: SubgradeDim, Factor: 1, Aliases: []string{"N/m3", "N/m2/m"}},
	{Symbol: "kPa/m", Dim: SubgradeDim, Factor: 1e3, Aliases: []string{"kN/m3"}},
	{Symbol: "MPa/m", Dim: SubgradeDim, Factor: 1e6, Aliases: []string{"kPa/mm", "MN/m3"}},
	{Symbol: "GPa/m", Dim: SubgradeDim, Factor: 1e9},
	{Symbol: "pci", Dim: SubgradeDim, Factor: psi / inch, Aliases: []string{"lb/in3", "psi/in"}},
	{Symbol: "kg/m3", Dim: DensityDim, Factor: 1, Aliases: []string{"kg/m³"}},
	{Symbol: "lb/yd3", Dim: DensityDim, Factor: pound / (yard * yard * yard), Aliases: []string{"lb/cy", "lb/yd³", "lb/yd"}},
	{Symbol: "lb/ft3", Dim: DensityDim, Factor: pound / (foot * foot * foot), Aliases: []string{"pcf", "lb/ft³"}},
	{Symbol: "kN/m3", Dim: DensityDim, Factor: 1000 / gravit, Aliases: []string{"kN/m³"}},
	{Symbol: "t/m3", Dim: DensityDim, Factor: 1000},
	{Symbol: "g/cm3", Dim: DensityDim, Factor: 1000},
	{Symbol: "gal/yd3", Dim: DensityDim, Factor: 8.345 * pound / (yard * yard * yard), Aliases: []string{"gal/yd³", "gal/yd"}},
	{Symbol: "kg/m2", Dim: MassPerAreaDim, Factor: 1, Aliases: []string{"mm water"}},
	{Symbol: "lb/ft2", Dim: MassPerAreaDim, Factor: pound / (foot * foot)},
	{Symbol: "kg/m", Dim: LinearMassDim, Factor: 1},
	{Symbol: "lb/ft", Dim: LinearMassDim, Factor: pound / foot},
	{Symbol: "g/m", Dim: LinearMassDim, Factor: 1e-3},
	{Symbol: "N/m", Dim: LineLoadDim, Factor: 1},
	{Symbol: "kN/m", Dim: LineLoadDim, Factor: 1e3},
	{Symbol: "lb/ft", Dim: LineLoadDim, Factor: lbf / foot, Aliases: []string{"plf"}},
	{Symbol: "N/mm", Dim: LineLoadDim, Factor: 1e3},
	{Symbol: "lb/in", Dim: LineLoadDim, Factor: lbf / inch, Aliases: []string{"pli"}},
	{Symbol: "m2/m", Dim: PerWidthDim, Factor: 1},
	{Symbol: "mm2/m", Dim: PerWidthDim, Factor: 1e-6, Aliases: []string{"mm²/m"}},
	{Symbol: "in2/ft", Dim: PerWidthDim, Factor: inch * inch / foot, Aliases: []string{"in²/ft"}},
	{Symbol: "cm2/m", Dim: PerWidthDim, Factor: 1e-4},
	{Symbol: "in2/in", Dim: PerWidthDim, Factor: inch},
	{Symbol: "N*m", Dim: MomentDim, Factor: 1, Aliases: []string{"N·m", "Nm"}},
	{Symbol: "MN*m", Dim: MomentDim, Factor: 1e6, Aliases: []string{"MN·m"}},
	{Symbol: "kN*m", Dim: MomentDim, Factor: 1e3},
	{Symbol: "lb*in", Dim: MomentDim, Factor: lbf * inch, Aliases: []string{"lb·in", "in-lb", "lbf*in"}},
	{Symbol: "lb*ft", Dim: MomentDim, Factor: lbf * foot, Aliases: []string{"lb·ft", "ft-lb", "lbf*ft"}},
	{Symbol: "kip*in", Dim: MomentDim, Factor: 1000 * lbf * inch},
	{Symbol: "kip*ft", Dim: MomentDim, Factor: 1000 * lbf * foot},
	{Symbol: "N*m/m", Dim: MomentPerWidthDim, Factor: 1, Aliases: []string{"N·m/m"}},
	{Symbol: "lb*in/in", Dim: MomentPerWidthDim, Factor: lbf},
	{Symbol: "kN*m/m", Dim: MomentPerWidthDim, Factor: 1e3},
	{Symbol: "N/m2", Dim: JointStiffnessDim, Factor: 1},
	{Symbol: "MN/m2", Dim: JointStiffnessDim, Factor: 1e6},
	{Symbol: "lb/in2", Dim: JointStiffnessDim, Factor: psi, Aliases: []string{"psi"}},
	{Symbol: "°C", Dim: TempDim, Factor: 1, Aliases: []string{"C", "degC"}},
	{Symbol: "°F", Dim: TempDim, Factor: rankin, Offset: -32, Aliases: []string{"F", "degF"}},
	{Symbol: "K", Dim: TempDim, Factor: 1, Offset: -273.15},
	{Symbol: "K", Dim: TempDiffDim, Factor: 1, Aliases: []string{"°C", "C", "degC"}},
	{Symbol: "°F", Dim: TempDiffDim, Factor: rankin, Aliases: []string{"F", "degF", "F°"}},
	{Symbol: "1/K", Dim: PerTempDim, Factor: 1, Aliases: []string{"/K", "1/°C", "K^-1"}},
	{Symbol: "1/°F", Dim: PerTempDim, Factor: 1 / rankin, Aliases: []string{"1/F", "/F", "/°F"}},
	{Symbol: "s", Dim: TimeDim, Factor: 1, Aliases: []string{"sec", "second", "seconds"}},
	{Symbol: "min", Dim: TimeDim, Factor: 60, Aliases: []string{"minute", "minutes", "mins"}},
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
	{Symbol: "kg/m2/h", Dim: EvaporationDim, Factor: 1.0 / 3600, Aliases: []string{"kg/m²/h", "mm/h"}},
	{Symbol: "lb/ft2/h", Dim: EvaporationDim, Factor: pound / (foot * foot) / 3600, Aliases: []string{"lb/ft²/h", "psf/h"}},
	{Symbol: "W/m2", Dim: HeatFluxDim, Factor: 1, Aliases: []string{"W/m²"}},
	{Symbol: "kW/m2", Dim: HeatFluxDim, Factor: 1e3},
	{Symbol: "Btu/h/ft2", Dim: HeatFluxDim, Factor: btu / 3600 / (foot * foot), Aliases: []string{"Btu/ft2/h", "Btu/(h*ft2)"}},
	{Symbol: "W/m3", Dim: HeatSourceDim, Factor: 1, Aliases: []string{"W/m³"}},
	{Symbol: "W/m2/K", Dim: HeatTransferDim, Factor: 1, Aliases: []string{"W/m²K", "W/m2K"}},
	{Symbol: "W/m/K", Dim: ConductivityDim, Factor: 1, Aliases: []string{"W/mK"}},
	{Symbol: "m2/s", Dim: DiffusivityDim, Factor: 1, Aliases: []string{"m²/s"}},
	{Symbol: "J/m3/K", Dim: HeatCapacityDim, Factor: 1, Aliases: []string{"J/m³K"}},
	{Symbol: "kJ/m3/K", Dim: HeatCapacityDim, Factor: 1e3, Aliases: []string{"kJ/m3K"}},
	{Symbol: "MJ/m3/K", Dim: HeatCapacityDim, Factor: 1e6, Aliases: []string{"MJ/m3K"}},
	{Symbol: "m2K/W", Dim: InsulationDim, Factor: 1, Aliases: []string{"m²K/W"}},
	{Symbol: "R", Dim: InsulationDim, Factor: rankin * foot * foot * 3600 / btu, Aliases: []string{"ft2hF/Btu", "h*ft2*F/Btu"}},
	{Symbol: "J/kg", Dim: HeatDim, Factor: 1},
	{Symbol: "J/g", Dim: HeatDim, Factor: 1e3, Aliases: []string{"kJ/kg"}},
	{Symbol: "J/mol", Dim: MolarEnergyDim, Factor: 1},
	{Symbol: "kJ/mol", Dim: MolarEnergyDim, Factor: 1e3},
	{Symbol: "K*s", Dim: MaturityDim, Factor: 1},
	{Symbol: "°C*d", Dim: MaturityDim, Factor: 86400, Aliases: []string{"K*d"}},
	{Symbol: "°F*h", Dim: MaturityDim, Factor: 3600 * rankin},
	{Symbol: "°C*h", Dim: MaturityDim, Factor: 3600, Aliases: []string{"C*h", "°C·h", "degC*h"}},
	{Symbol: "m3/s", Dim: FlowDim, Factor: 1, Aliases: []string{"m³/s"}},
	{Symbol: "L/s", Dim: FlowDim, Factor: 1e-3, Aliases: []string{"l/s"}},
	{Symbol: "cfs", Dim: FlowDim, Factor: foot * foot * foot, Aliases: []string{"ft3/s"}},
	{Symbol: "gpm", Dim: FlowDim, Factor: gallon / 60, Aliases: []string{"gal/min"}},
	{Symbol: "L/min", Dim: FlowDim, Factor: 1e-3 / 60},
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
	{Symbol: "ft2/min", Dim: AreaRateDim, Factor: foot * foot / 60},
	{Symbol: "m3/s", Dim: VolumeRateDim, Factor: 1},
	{Symbol: "m3/h", Dim: VolumeRateDim, Factor: 1.0 / 3600, Aliases: []string{"m³/h"}},
	{Symbol: "yd3/h", Dim: VolumeRateDim, Factor: yard * yard * yard / 3600, Aliases: []string{"yd³/h", "yd/h"}},
	{Symbol: "yd3/min", Dim: VolumeRateDim, Factor: yard * yard * yard / 60, Aliases: []string{"yd/min"}},
	{Symbol: "kg/s", Dim: MassRateDim, Factor: 1},
	{Symbol: "kg/h", Dim: MassRateDim, Factor: 1.0 / 3600},
	{Symbol: "lb/h", Dim: MassRateDim, Factor: pound / 3600},
	{Symbol: "1/s", Dim: FrequencyDim, Factor: 1},
	{Symbol: "1/h", Dim: FrequencyDim, Factor: 1.0 / 3600, Aliases: []string{"/h", "per hour"}},
	{Symbol: "1/min", Dim: FrequencyDim, Factor: 1.0 / 60, Aliases: []string{"/min", "per minute"}},
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
			for _, key := range []unitKey{{u.Dim, strings.ToLower(symbol)}, {u.Dim, plainSymbol(symbol)}} {
				if index[key].Symbol == "" {
					index[key] = u
				}
			}
		}
	}
	return index
}

// plainSymbol writes a symbol without its variants: ft^2, ft² and ft2 are one, and so are N·m, N*m and N-m, hr and h,
// (m2*K)/W and m2K/W.
func plainSymbol(symbol string) string {
	symbol = plainMarks.Replace(strings.ToLower(symbol))
	parts := strings.Split(symbol, "/")
	for i, part := range parts {
		switch part {
		case "hr", "hour", "hours":
			parts[i] = "h"
		case "day", "days":
			parts[i] = "d"
		case "lbf", "lbs":
			parts[i] = "lb"
		}
	}
	return strings.Join(parts, "/")
}

var plainMarks = strings.NewReplacer("²", "2", "³", "3", "^", "", "·", "", "*", "", "⋅", "", "-", "", "°", "", "(", "", ")", "",
	" ", "", "per", "/", "µ", "u", "μ", "u")

// UnitOf finds the unit written symbol in dimension dim: "psi" of stress. Exact spelling first, then any letter case, then
// other ways of writing powers, products and hours.
func UnitOf(dim Dimension, symbol string) (Unit, error) {
	symbol = strings.TrimSpace(symbol)
	if u, ok := unitIndex[unitKey{dim, symbol}]; ok {
		return u, nil
	}
	if u, ok := unitIndex[unitKey{dim, strings.ToLower(symbol)}]; ok {
		return u, nil
	}
	if u, ok := unitIndex[unitKey{dim, plainSymbol(symbol)}]; ok && symbol != "" {
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
