package quantity

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is how a job is written: US customary or metric. The zero value is US.
type System int

// The two systems.
const (
	US System = iota
	Metric
)

// CutStep is the whole step that lengths are cut in, metres: a sixteenth of an inch, or a millimetre.
func (s System) CutStep() float64 {
	if s == Metric {
		return 0.001
	}
	return 0.0254 / 16
}

// String names the system as a job file does.
func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "us"
}

// Kind says how a value is shown: which unit in which system, and how fine. Precision follows what hands can set: a tape
// to 1/8 in, a grade to 0.01 ft.
type Kind string

// The kinds of shown value.
const (
	AsText        Kind = "text"
	AsSide        Kind = "side"        // 13'-4" / 4.064 m
	AsThickness   Kind = "thickness"   // 6 in / 150 mm
	AsDrop        Kind = "drop"        // 3 3/8 in / 85 mm
	AsSlump       Kind = "slump"       // 4 in / 100 mm, to 1/4 in or 5 mm as it is measured (ASTM C143)
	AsNominal     Kind = "nominal"     // 3/4 in / 20 mm, a sieve size by its round name
	AsElevation   Kind = "elevation"   // 99.72 ft / 30.395 m
	AsDistance    Kind = "distance"    // 31.2 ft / 9.51 m
	AsDeflection  Kind = "deflection"  // 0.015 in / 0.375 mm
	AsArea        Kind = "area"        // 560 ft² / 52.0 m²
	AsVolume      Kind = "volume"      // 10.37 yd³ / 7.93 m³
	AsWater       Kind = "water"       // 12.1 gal / 45.8 L
	AsSlope       Kind = "slope"       // 2.0 % (1/4 in/ft)
	AsAngle       Kind = "angle"       // 12.3°
	AsMass        Kind = "mass"        // 453 lb / 205 kg
	AsTons        Kind = "tons"        // 22.7 tons / 20.6 t
	AsForce       Kind = "force"       // 1,100 lb / 4.9 kN
	AsStress      Kind = "stress"      // 237 psi / 1.64 MPa
	AsStrength    Kind = "strength"    // 4,000 psi / 27.6 MPa
	AsModulus     Kind = "modulus"     // 3,605 ksi / 24.9 GPa
	AsSubgrade    Kind = "subgrade"    // 141 pci / 38 MPa/m
	AsDensity     Kind = "density"     // 135 lb/ft³ / 2,160 kg/m³
	AsContent     Kind = "content"     // 564 lb/yd³ / 335 kg/m³
	AsLinearMass  Kind = "linear mass" // 0.668 lb/ft / 0.994 kg/m
	AsLineLoad    Kind = "line load"   // 15.8 lb/ft / 0.23 kN/m
	AsSteelArea   Kind = "steel area"  // 0.045 in²/ft / 95 mm²/m
	AsMoment      Kind = "moment"      // 213 lb·in / 24 N·m
	AsTemp        Kind = "temperature" // 70 °F / 21 °C
	AsTempDiff    Kind = "temperature difference"
	AsHours       Kind = "hours"       // 6.5 h
	AsMinutes     Kind = "minutes"     // 35 min
	AsDays        Kind = "days"        // 7.4 d
	AsYears       Kind = "years"       // 20 yr
	AsSpeed       Kind = "speed"       // 12 mph / 19 km/h
	AsEvaporation Kind = "evaporation" // 0.12 lb/ft²/h / 0.59 kg/m²/h
	AsInsulation  Kind = "insulation"
	AsEnergy      Kind = "activation energy"
	AsFlow        Kind = "flow"
	AsAreaRate    Kind = "area rate"
	AsLengthRate  Kind = "length rate"
	AsRain        Kind = "rain" // 6.0 in/h / 152 mm/h
	AsVolumeRate  Kind = "volume rate"
	AsMassRate    Kind = "mass rate"
	AsFrequency   Kind = "frequency"
	AsMoney       Kind = "money"
	AsMoneyHour   Kind = "money per hour"
	AsMoneyVolume Kind = "money per volume"
	AsMoneyTon    Kind = "money per ton"
	AsMoneyMass   Kind = "money per mass"
	AsMoneyLength Kind = "money per length"
	AsMoneyArea   Kind = "money per area"
	AsCoverage    Kind = "coverage"
	AsRatio       Kind = "ratio"   // 0.45
	AsPercent     Kind = "percent" // 7 %
	AsCount       Kind = "count"   // 14
)

// style is how one kind is written in one system.
type style struct {
	unit     string
	decimals int
	step     float64   // round to this multiple of the unit; zero: decimals decide
	tape     int       // write as inches with fractions of 1/tape; zero: decimal
	feet     bool      // tape with feet
	names    []float64 // round names, one of which is written for a value near it
}

// roundSizes are the names of sieve sizes, mm: what passes 19 or 19.05 is called 20. Source: EN 12620 and ISO 565 (recalled).
var roundSizes = []float64{4, 6, 8, 10, 12, 14, 16, 20, 25, 32, 40, 50, 63, 75, 80}

// nearName is how far a value may lie from a name, as a share.
const nearName = 0.07

// named is the name nearest to a value, or the value where none is near.
func (s style) named(value float64) float64 {
	best, least := value, math.Inf(1)
	for _, name := range s.names {
		if off := math.Abs(value - name); off <= nearName*name && off < least {
			best, least = name, off
		}
	}
	return best
}

type kindRow struct {
	kind   Kind
	dim    Dimension
	us, si style
}

var kindRows = []kindRow{
	{AsSide, LengthDim, style{unit: "in", tape: 8, feet: true}, style{unit: "m", decimals: 3}},
	{AsThickness, LengthDim, style{unit: "in", tape: 4}, style{unit: "mm"}},
	{AsDrop, LengthDim, style{unit: "in", tape: 8}, style{unit: "mm"}},
	{AsSlump, LengthDim, style{unit: "in", tape: 4}, style{unit: "mm", step: 5}},
	{AsNominal, LengthDim, style{unit: "in", tape: 8}, style{unit: "mm", names: roundSizes}},
	{AsElevation, LengthDim, style{unit: "ft", decimals: 2}, style{unit: "m", decimals: 3}},
	{AsDistance, LengthDim, style{unit: "ft", decimals: 1}, style{unit: "m", decimals: 2}},
	{AsDeflection, LengthDim, style{unit: "in", decimals: 3}, style{unit: "mm", decimals: 2}},
	{AsArea, AreaDim, style{unit: "ft2"}, style{unit: "m2", decimals: 1}},
	{AsVolume, VolumeDim, style{unit: "yd3", decimals: 2}, style{unit: "m3", decimals: 2}},
	{AsWater, VolumeDim, style{unit: "gal", decimals: 1}, style{unit: "L", decimals: 1}},
	{AsSlope, SlopeDim, style{unit: "%", decimals: 2}, style{unit: "%", decimals: 2}},
	{AsAngle, AngleDim, style{unit: "deg", decimals: 1}, style{unit: "deg", decimals: 1}},
	{AsMass, MassDim, style{unit: "lb"}, style{unit: "kg"}},
	{AsTons, MassDim, style{unit: "ton", decimals: 1}, style{unit: "t", decimals: 1}},
	{AsForce, ForceDim, style{unit: "lb"}, style{unit: "kN", decimals: 1}},
	{AsStress, StressDim, style{unit: "psi"}, style{unit: "MPa", decimals: 2}},
	{AsStrength, StressDim, style{unit: "psi", step: 10}, style{unit: "MPa", decimals: 1}},
	{AsModulus, StressDim, style{unit: "ksi"}, style{unit: "GPa", decimals: 1}},
	{AsSubgrade, SubgradeDim, style{unit: "pci"}, style{unit: "MPa/m", decimals: 1}},
	{AsDensity, DensityDim, style{unit: "lb/ft3", decimals: 1}, style{unit: "kg/m3"}},
	{AsContent, DensityDim, style{unit: "lb/yd3"}, style{unit: "kg/m3"}},
	{AsLinearMass, LinearMassDim, style{unit: "lb/ft", decimals: 3}, style{unit: "kg/m", decimals: 3}},
	{AsLineLoad, LineLoadDim, style{unit: "lb/ft", decimals: 1}, style{unit: "kN/m", decimals: 2}},
	{AsSteelArea, PerWidthDim, style{unit: "in2/ft", decimals: 4}, style{unit: "mm2/m"}},
	{AsMoment, MomentDim, style{unit: "lb*in"}, style{unit: "N*m", decimals: 1}},
	{AsTemp, TempDim, style{unit: "°F"}, style{unit: "°C", decimals: 1}},
	{AsTempDiff, TempDiffDim, style{unit: "°F", decimals: 1}, style{unit: "K", decimals: 1}},
	{AsHours, TimeDim, style{unit: "h", decimals: 1}, style{unit: "h", decimals: 1}},
	{AsMinutes, TimeDim, style{unit: "min"}, style{unit: "min"}},
	{AsDays, TimeDim, style{unit: "d", decimals: 1}, style{unit: "d", decimals: 1}},
	{AsYears, TimeDim, style{unit: "yr"}, style{unit: "yr"}},
	{AsSpeed, SpeedDim, style{unit: "mph"}, style{unit: "km/h"}},
	{AsEvaporation, EvaporationDim, style{unit: "lb/ft2/h", decimals: 2}, style{unit: "kg/m2/h", decimals: 2}},
	{AsInsulation, InsulationDim, style{unit: "R", decimals: 1}, style{unit: "m2K/W", decimals: 2}},
	{AsEnergy, MolarEnergyDim, style{unit: "kJ/mol", decimals: 1}, style{unit: "kJ/mol", decimals: 1}},
	{AsFlow, FlowDim, style{unit: "cfs", decimals: 3}, style{unit: "L/s", decimals: 2}},
	{AsAreaRate, AreaRateDim, style{unit: "ft2/h"}, style{unit: "m2/h", decimals: 1}},
	{AsLengthRate, LengthRateDim, style{unit: "ft/h"}, style{unit: "m/h", decimals: 1}},
	{AsRain, LengthRateDim, style{unit: "in/h", decimals: 1}, style{unit: "mm/h"}},
	{AsVolumeRate, VolumeRateDim, style{unit: "yd3/h", decimals: 1}, style{unit: "m3/h", decimals: 1}},
	{AsMassRate, MassRateDim, style{unit: "lb/h"}, style{unit: "kg/h"}},
	{AsFrequency, FrequencyDim, style{unit: "1/wk", decimals: 1}, style{unit: "1/wk", decimals: 1}},
	{AsMoney, MoneyDim, style{unit: "$", decimals: 2}, style{unit: "$", decimals: 2}},
	{AsMoneyHour, MoneyRateDim, style{unit: "$/h", decimals: 2}, style{unit: "$/h", decimals: 2}},
	{AsMoneyVolume, MoneyVolumeDim, style{unit: "$/yd3", decimals: 2}, style{unit: "$/m3", decimals: 2}},
	{AsMoneyTon, MoneyMassDim, style{unit: "$/ton", decimals: 2}, style{unit: "$/t", decimals: 2}},
	{AsMoneyMass, MoneyMassDim, style{unit: "$/lb", decimals: 2}, style{unit: "$/kg", decimals: 2}},
	{AsMoneyLength, MoneyLengthDim, style{unit: "$/ft", decimals: 2}, style{unit: "$/m", decimals: 2}},
	{AsMoneyArea, MoneyAreaDim, style{unit: "$/ft2", decimals: 2}, style{unit: "$/m2", decimals: 2}},
	{AsCoverage, CoverageDim, style{unit: "ft2/gal"}, style{unit: "m2/L", decimals: 1}},
	{AsRatio, Pure, style{unit: "1", decimals: 3}, style{unit: "1", decimals: 3}},
	{AsPercent, Pure, style{unit: "%", decimals: 1}, style{unit: "%", decimals: 1}},
	{AsCount, Count, style{unit: "ea"}, style{unit: "ea"}},
}

var kindIndex = buildKindIndex()

func buildKindIndex() map[Kind]kindRow {
	index := make(map[Kind]kindRow, len(kindRows))
	for _, r := range kindRows {
		index[r.kind] = r
	}
	return index
}

// usual is the kind a typed quantity is shown in when nobody says otherwise.
var usual = map[Dimension]Kind{
	LengthDim: AsDistance, AreaDim: AsArea, VolumeDim: AsVolume, SlopeDim: AsSlope, AngleDim: AsAngle, MassDim: AsMass,
	ForceDim: AsForce, StressDim: AsStress, SubgradeDim: AsSubgrade, DensityDim: AsDensity, LinearMassDim: AsLinearMass,
	LineLoadDim: AsLineLoad, PerWidthDim: AsSteelArea, MomentDim: AsMoment, TempDim: AsTemp, TempDiffDim: AsTempDiff,
	TimeDim: AsHours, SpeedDim: AsSpeed, EvaporationDim: AsEvaporation, InsulationDim: AsInsulation, MolarEnergyDim: AsEnergy,
	FlowDim: AsFlow, AreaRateDim: AsAreaRate, LengthRateDim: AsLengthRate, VolumeRateDim: AsVolumeRate,
	MassRateDim: AsMassRate, FrequencyDim: AsFrequency, MoneyDim: AsMoney, MoneyRateDim: AsMoneyHour,
	MoneyVolumeDim: AsMoneyVolume, MoneyMassDim: AsMoneyTon, MoneyLengthDim: AsMoneyLength, MoneyAreaDim: AsMoneyArea,
	CoverageDim: AsCoverage, Pure: AsRatio, Count: AsCount,
}

// UsualKind is the kind in which a dimension is shown when nobody says otherwise; AsRatio for one without a kind.
func UsualKind(dim Dimension) Kind {
	if k, ok := usual[dim]; ok {
		return k
	}
	return AsRatio
}

// Any is a value of any dimension, ready to be shown: what checks, workings and figures carry. Text, when set, is the
// whole value (a name, a date).
type Any struct {
	SI   float64
	Kind Kind
	Text string
}

// Show wraps a typed quantity for showing in kind: Show(thickness, AsThickness).
func Show[T interface {
	~float64
	Measured
}](q T, kind Kind) Any {
	return Any{SI: float64(q), Kind: kind}
}

// Plain wraps a bare SI number or pure ratio for showing in kind.
func Plain(si float64, kind Kind) Any { return Any{SI: si, Kind: kind} }

// Counted wraps a whole number.
func Counted(n int) Any { return Any{SI: float64(n), Kind: AsCount} }

// Words wraps a value that is text: a mix name, a date with its weekday.
func Words(text string) Any { return Any{Kind: AsText, Text: text} }

// Dimension of the shown value.
func (a Any) Dimension() Dimension { return kindIndex[a.Kind].dim }

// Unit in which a is shown in system s; empty for text.
func (a Any) Unit(s System) string { return kindIndex[a.Kind].style(s).unit }

// In is a's number in the unit of system s, unrounded.
func (a Any) In(s System) float64 {
	row, ok := kindIndex[a.Kind]
	if !ok {
		return a.SI
	}
	return MustUnit(row.dim, row.style(s).unit).From(a.SI)
}

// String shows a in system s with its unit: "10.37 yd³", "13'-4\"", "2.0 %".
func (a Any) String(s System) string {
	row, ok := kindIndex[a.Kind]
	if !ok || a.Kind == AsText {
		return a.Text
	}
	st, value := row.style(s), a.In(s)
	if !Finite(value) {
		return "not a number"
	}
	if st.tape > 0 {
		return Tape(value, st.tape, st.feet)
	}
	return withUnit(Decimal(st.named(value), st.decimals, st.step), st.unit)
}

// Trimmed is String without needless zeros after the point: "7 %", not "7.0 %".
func (a Any) Trimmed(s System) string {
	text := a.String(s)
	number, unit, ok := strings.Cut(text, " ")
	if !ok || !strings.Contains(number, ".") {
		return text
	}
	return strings.TrimSuffix(strings.TrimRight(number, "0"), ".") + " " + unit
}

func (r kindRow) style(s System) style {
	if s == Metric {
		return r.si
	}
	return r.us
}

// MarshalJSON writes the SI number with its SI unit, or the text: nothing is rounded.
func (a Any) MarshalJSON() ([]byte, error) {
	if a.Kind == AsText || a.Kind == "" {
		return json.Marshal(a.Text)
	}
	return json.Marshal(struct {
		Value float64 `json:"value"`
		Unit  string  `json:"unit"`
		Kind  Kind    `json:"kind"`
	}{a.SI, SIUnit(a.Dimension()).Symbol, a.Kind})
}

// Decimal writes v with the given decimals (or rounded to a step), thousands separated: "4,000".
func Decimal(v float64, decimals int, step float64) string {
	if step > 0 {
		v = math.Round(v/step) * step
	}
	text := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, frac, _ := strings.Cut(text, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if frac != "" {
		whole += "." + frac
	}
	if v < 0 && strings.Trim(text, "0.") != "" {
		return "-" + whole
	}
	return whole
}

func withUnit(number, unit string) string {
	switch {
	case unit == "1" || unit == "ea":
		return number
	case unit == "$":
		return "$" + number
	case strings.HasPrefix(unit, "$/"):
		return "$" + number + "/" + PrettyUnit(unit[2:])
	case unit == "R":
		return "R-" + number
	case unit == "deg":
		return number + "°"
	case strings.HasPrefix(unit, "1/") && perTime[unit[2:]] != "":
		return number + " per " + perTime[unit[2:]]
	}
	return number + " " + PrettyUnit(unit)
}

// perTime writes a frequency as words.
var perTime = map[string]string{"s": "second", "h": "hour", "d": "day", "wk": "week"}

var pretty = strings.NewReplacer("yd3", "yd³", "ft3", "ft³", "m3", "m³", "in2", "in²", "ft2", "ft²", "mm2", "mm²", "m2", "m²", "*", "·")

// PrettyUnit writes a unit symbol for the eye: m³ for m3.
func PrettyUnit(symbol string) string { return pretty.Replace(symbol) }

// Tape writes inches as a tape shows them, to the nearest 1/parts: 151.375 in eighths with feet is 12'-7 3/8".
func Tape(inches float64, parts int, feet bool) string {
	n := int64(math.Round(math.Abs(inches) * float64(parts)))
	sign := ""
	if inches < 0 && n > 0 {
		sign = "-"
	}
	whole, frac := n/int64(parts), n%int64(parts)
	if !feet {
		return sign + wholeAndFraction(whole, frac, int64(parts)) + " in"
	}
	inchText := wholeAndFraction(whole%12, frac, int64(parts))
	if whole%12 == 0 && frac > 0 {
		inchText = "0 " + inchText
	}
	return fmt.Sprintf("%s%d'-%s\"", sign, whole/12, inchText)
}

func wholeAndFraction(whole, num, den int64) string {
	if num == 0 {
		return strconv.FormatInt(whole, 10)
	}
	for num%2 == 0 {
		num, den = num/2, den/2
	}
	if whole == 0 {
		return fmt.Sprintf("%d/%d", num, den)
	}
	return fmt.Sprintf("%d %d/%d", whole, num, den)
}
