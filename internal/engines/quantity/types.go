package quantity

import "math"

// The typed quantities. Each holds its SI value; `quantity.Inches(6)` writes one, `.Inches()` reads it.
// Two lengths never multiply to a Length: take `.Metres()` first.
type (
	Length          float64 // m
	Area            float64 // m²
	Volume          float64 // m³
	Angle           float64 // rad
	Slope           float64 // fall over run, m/m
	Mass            float64 // kg
	Force           float64 // N
	Stress          float64 // Pa
	SubgradeModulus float64 // Pa/m
	Density         float64 // kg/m³
	LinearMass      float64 // kg/m
	LineLoad        float64 // N/m
	SteelArea       float64 // m² of steel per m of width
	Moment          float64 // N·m
	Temp            float64 // °C
	TempDiff        float64 // K
	Time            float64 // s, a duration
	Speed           float64 // m/s
	Evaporation     float64 // kg/m²/s
	Insulation      float64 // m²K/W
	Energy          float64 // J/mol
	Flow            float64 // m³/s of water
	LengthRate      float64 // m/s of work done
	AreaRate        float64 // m²/s of work done
	VolumeRate      float64 // m³/s of work done
	MassRate        float64 // kg/s of work done
	Frequency       float64 // 1/s
	Money           float64 // the job's currency
	MoneyRate       float64 // money per second
	MoneyVolume     float64 // money per m³
	MoneyMass       float64 // money per kg
	MoneyLength     float64 // money per m
	MoneyArea       float64 // money per m²
	Coverage        float64 // m² covered per m³
	Ratio           float64 // a pure number
	Percent         float64 // a share; 0.07 is 7 %
	Number          int     // how many
)

// Dimension of each type.
func (Length) Dimension() Dimension          { return LengthDim }
func (Area) Dimension() Dimension            { return AreaDim }
func (Volume) Dimension() Dimension          { return VolumeDim }
func (Angle) Dimension() Dimension           { return AngleDim }
func (Slope) Dimension() Dimension           { return SlopeDim }
func (Mass) Dimension() Dimension            { return MassDim }
func (Force) Dimension() Dimension           { return ForceDim }
func (Stress) Dimension() Dimension          { return StressDim }
func (SubgradeModulus) Dimension() Dimension { return SubgradeDim }
func (Density) Dimension() Dimension         { return DensityDim }
func (LinearMass) Dimension() Dimension      { return LinearMassDim }
func (LineLoad) Dimension() Dimension        { return LineLoadDim }
func (SteelArea) Dimension() Dimension       { return PerWidthDim }
func (Moment) Dimension() Dimension          { return MomentDim }
func (Temp) Dimension() Dimension            { return TempDim }
func (TempDiff) Dimension() Dimension        { return TempDiffDim }
func (Time) Dimension() Dimension            { return TimeDim }
func (Speed) Dimension() Dimension           { return SpeedDim }
func (Evaporation) Dimension() Dimension     { return EvaporationDim }
func (Insulation) Dimension() Dimension      { return InsulationDim }
func (Energy) Dimension() Dimension          { return MolarEnergyDim }
func (Flow) Dimension() Dimension            { return FlowDim }
func (LengthRate) Dimension() Dimension      { return LengthRateDim }
func (AreaRate) Dimension() Dimension        { return AreaRateDim }
func (VolumeRate) Dimension() Dimension      { return VolumeRateDim }
func (MassRate) Dimension() Dimension        { return MassRateDim }
func (Frequency) Dimension() Dimension       { return FrequencyDim }
func (Money) Dimension() Dimension           { return MoneyDim }
func (MoneyRate) Dimension() Dimension       { return MoneyRateDim }
func (MoneyVolume) Dimension() Dimension     { return MoneyVolumeDim }
func (MoneyMass) Dimension() Dimension       { return MoneyMassDim }
func (MoneyLength) Dimension() Dimension     { return MoneyLengthDim }
func (MoneyArea) Dimension() Dimension       { return MoneyAreaDim }
func (Coverage) Dimension() Dimension        { return CoverageDim }
func (Ratio) Dimension() Dimension           { return Pure }
func (Percent) Dimension() Dimension         { return Pure }
func (Number) Dimension() Dimension          { return Count }

// Measured is any typed quantity: a number that knows its dimension.
type Measured interface{ Dimension() Dimension }

// In reads a typed quantity in the unit written symbol: In(thickness, "in").
func In[T interface {
	~float64
	Measured
}](q T, symbol string) float64 {
	return MustUnit(q.Dimension(), symbol).From(float64(q))
}

// Of writes a typed quantity: Of[Stress](4000, "psi").
func Of[T interface {
	~float64
	Measured
}](value float64, symbol string) T {
	var zero T
	return T(MustUnit(zero.Dimension(), symbol).SI(value))
}

// Metres, Feet, Inches and Millimetres write a length.
func Metres(v float64) Length      { return Length(v) }
func Feet(v float64) Length        { return Length(v * foot) }
func Inches(v float64) Length      { return Length(v * inch) }
func Millimetres(v float64) Length { return Length(v / 1000) }

// Metres, Feet, Inches and Millimetres read a length.
func (l Length) Metres() float64      { return float64(l) }
func (l Length) Feet() float64        { return float64(l) / foot }
func (l Length) Inches() float64      { return float64(l) / inch }
func (l Length) Millimetres() float64 { return float64(l) * 1000 }

// SquareMetres and SquareFeet read an area.
func (a Area) SquareMetres() float64 { return float64(a) }
func (a Area) SquareFeet() float64   { return float64(a) / (foot * foot) }

// CubicMetres and CubicYards read a volume; CubicYards also writes one.
func (v Volume) CubicMetres() float64 { return float64(v) }
func (v Volume) CubicYards() float64  { return float64(v) / (yard * yard * yard) }
func CubicYards(v float64) Volume     { return Volume(v * yard * yard * yard) }

// Pascals, MPa and PSI read a stress; MPa and PSI write one.
func (s Stress) Pascals() float64 { return float64(s) }
func (s Stress) MPa() float64     { return float64(s) / 1e6 }
func (s Stress) PSI() float64     { return float64(s) / psi }
func MPa(v float64) Stress        { return Stress(v * 1e6) }
func PSI(v float64) Stress        { return Stress(v * psi) }

// Newtons reads a force; Pounds writes one from pounds-force.
func (f Force) Newtons() float64 { return float64(f) }
func (f Force) Pounds() float64  { return float64(f) / lbf }
func Pounds(v float64) Force     { return Force(v * lbf) }

// Celsius and Fahrenheit read a temperature; both write one.
func (t Temp) Celsius() float64    { return float64(t) }
func (t Temp) Fahrenheit() float64 { return float64(t)/rankin + 32 }
func Celsius(v float64) Temp       { return Temp(v) }
func Fahrenheit(v float64) Temp    { return Temp((v - 32) * rankin) }

// Seconds, Minutes, Hours and Days read a duration; Minutes, Hours and Days write one.
func (t Time) Seconds() float64 { return float64(t) }
func (t Time) Minutes() float64 { return float64(t) / 60 }
func (t Time) Hours() float64   { return float64(t) / 3600 }
func (t Time) Days() float64    { return float64(t) / 86400 }
func Minutes(v float64) Time    { return Time(v * 60) }
func Hours(v float64) Time      { return Time(v * 3600) }
func Days(v float64) Time       { return Time(v * 86400) }

// Finite says whether every value is a number: not NaN, not infinite.
func Finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
