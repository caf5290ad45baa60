package mix

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// Frost is how much entrained air an exposure needs.
type Frost int

// The frost grades: the columns of the air tables.
const (
	NoFrost  Frost = iota
	Moderate       // class F1: freezing, little water
	Severe         // classes F2 and F3: freezing wet, or with deicers
)

// Class is one exposure class of one edition of one code. Zero limits are no limits.
type Class struct {
	Code        string // edition: "ACI 318-19"
	Name        string // "F3"
	Condition   string
	WaterCement float64
	PSI, MPa    float64 // least specified strength, each as the edition prints it
	Frost       Frost
	Advice      string // what else the class asks
	Source      sources.Key
}

// Strength is the least specified strength as printed for the unit system.
func (c Class) Strength(s quantity.System) quantity.Stress {
	if s == quantity.Metric {
		return quantity.MPa(c.MPa)
	}
	return quantity.PSI(c.PSI)
}

// The editions known. Standards change: each verdict names its edition.
const (
	ACI332   = "ACI 332-20"
	ACI33214 = "ACI 332-14"
	ACI318   = "ACI 318-19"
	IBC      = "IBC 2021"
	IRC      = "IRC R402.2"
)

var editions = []string{ACI332, ACI33214, ACI318, IBC, IRC}

var classes = []Class{
	{ACI318, "F0", "no freezing", 0, 2500, 17, NoFrost, "", sources.ACI318Exposure},
	{ACI318, "F1", "freezing, little water", 0.55, 3500, 24, Moderate, "", sources.ACI318Exposure},
	{ACI318, "F2", "freezing, often wet, no deicers", 0.45, 4500, 31, Severe, "", sources.ACI318Exposure},
	{ACI318, "F3", "freezing with deicers, reinforced", 0.40, 5000, 35, Severe, "limits on fly ash, slag and silica fume", sources.ACI318Exposure},
	{ACI318, "F3 plain", "freezing with deicers, plain concrete", 0.45, 4500, 31, Severe, "limits on fly ash, slag and silica fume", sources.ACI318PlainF3},
	{ACI318, "S0", "sulfate in soil below 0.10 %", 0, 2500, 17, NoFrost, "", sources.ACI318Exposure},
	{ACI318, "S1", "sulfate in soil 0.10 to 0.20 %, or sea water", 0.50, 4000, 28, NoFrost, "Type II cement", sources.ACI318Exposure},
	{ACI318, "S2", "sulfate in soil 0.20 to 2.0 %", 0.45, 4500, 31, NoFrost, "Type V cement, no calcium chloride", sources.ACI318Exposure},
	{ACI318, "S3", "sulfate in soil above 2.0 %", 0.45, 4500, 31, NoFrost, "Type V cement with pozzolan or slag, no calcium chloride", sources.ACI318Exposure},
	{ACI318, "W0", "dry", 0, 2500, 17, NoFrost, "", sources.ACI318Exposure},
	{ACI318, "W1", "wet, need not be tight", 0, 2500, 17, NoFrost, "", sources.ACI318Exposure},
	{ACI318, "W2", "wet, must be tight", 0.50, 4000, 28, NoFrost, "", sources.ACI318Exposure},
	{ACI318, "C0", "dry steel", 0, 2500, 17, NoFrost, "chloride at most 1.00 % of the binder", sources.ACI318Exposure},
	{ACI318, "C1", "moist steel, no chlorides from outside", 0, 2500, 17, NoFrost, "chloride at most 0.30 % of the binder", sources.ACI318Exposure},
	{ACI318, "C2", "moist steel with chlorides from outside", 0.40, 5000, 35, NoFrost, "chloride at most 0.15 % of the binder", sources.ACI318Exposure},
	{ACI332, "RF3", "plain exterior slab, freezing and deicers", 0.45, 4500, 31, Severe, "", sources.ACI332Exterior},
	{ACI33214, "RF3", "plain exterior slab, freezing and deicers", 0.45, 4000, 28, Severe, "", sources.ACI332Older},
	{IBC, "F0", "no freezing, carries no structure", 0, 2500, 17, NoFrost, "", sources.IBC1904},
	{IBC, "F1", "freezing, little water, carries no structure", 0, 3000, 21, Moderate, "", sources.IBC1904},
	{IBC, "F2", "freezing, often wet, carries no structure", 0, 3500, 24, Severe, "", sources.IBC1904},
	{IBC, "F3", "freezing with deicers, carries no structure", 0, 3500, 24, Severe, "", sources.IBC1904},
	{IRC, "negligible", "negligible weathering", 0, 2500, 17, NoFrost, "", sources.IRC402},
	{IRC, "moderate", "moderate weathering", 0, 3000, 21, Moderate, "", sources.IRC402},
	{IRC, "severe", "severe weathering", 0, 3500, 24, Severe, "4,000 psi wanted in practice", sources.IRC402},
}

// ClassOf finds a class of an edition.
func ClassOf(code, name string) (Class, error) {
	for _, c := range classes {
		if c.Code == code && c.Name == name {
			return c, nil
		}
	}
	return Class{}, fmt.Errorf("no class %q of %q is kept here; the editions are %v", name, code, editions)
}

// Exposure is what the slab will see.
type Exposure struct {
	Code       string
	Freezing   bool
	Deicers    bool
	Vehicles   bool // cars bring salt from the road
	Structural bool // carries the building: ACI 318 applies whatever code was named
	Reinforced bool
	Sulphate   string // S0 to S3; empty: S0
	Weathering string // for the IRC: negligible, moderate, severe
}

// salted is whether deicer reaches the slab, thrown or carried in under cars.
func (e Exposure) salted() bool { return e.Freezing && (e.Deicers || e.Vehicles) }

// Applying lists the classes that apply, frost first. A slab on ground that carries no structure is not under ACI 318: it
// takes RF3 of ACI 332 where it freezes and salt comes, else the building code's class for non-structural concrete.
func (e Exposure) Applying() ([]Class, error) {
	frost, err := e.frostClass()
	if err != nil {
		return nil, err
	}
	out := []Class{frost}
	if e.Structural && e.Reinforced && e.salted() {
		out = append(out, mustClass(ACI318, "C2"))
	}
	if e.Sulphate != "" && e.Sulphate != "S0" {
		s, err := ClassOf(ACI318, e.Sulphate)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

func (e Exposure) frostClass() (Class, error) {
	if e.Structural {
		return mustClass(ACI318, e.structuralFrost()), nil
	}
	switch e.Code {
	case ACI332, ACI33214:
		if e.salted() {
			return mustClass(e.Code, "RF3"), nil
		}
		return mustClass(IBC, e.wetFrost()), nil
	case ACI318:
		return mustClass(ACI318, e.structuralFrost()), nil
	case IBC:
		return mustClass(IBC, e.wetFrost()), nil
	case IRC:
		return ClassOf(IRC, e.weathering())
	}
	return Class{}, fmt.Errorf("no edition %q is kept here; name one of %v", e.Code, editions)
}

func (e Exposure) structuralFrost() string {
	if e.salted() && !e.Reinforced {
		return "F3 plain"
	}
	return e.wetFrost()
}

func (e Exposure) wetFrost() string {
	switch {
	case e.salted():
		return "F3"
	case e.Freezing:
		return "F2" // a flat slab outdoors is often wet
	}
	return "F0"
}

func (e Exposure) weathering() string {
	switch {
	case e.Weathering != "":
		return e.Weathering
	case e.Freezing:
		return "severe"
	}
	return "negligible"
}

func mustClass(code, name string) Class {
	c, err := ClassOf(code, name)
	if err != nil {
		panic("mix: " + err.Error())
	}
	return c
}

// Requirement is what several classes ask together, and which class governs each part. Empty names: nothing asked.
type Requirement struct {
	WaterCement   float64 // most allowed; zero: no limit
	WaterCementBy Class
	Strength      quantity.Stress
	StrengthBy    Class
	Frost         Frost
	FrostBy       Class
}

// Govern takes the strictest of each: the lowest w/cm, the highest strength, the most air.
func Govern(applying []Class, s quantity.System) Requirement {
	var r Requirement
	for _, c := range applying {
		if c.WaterCement > 0 && (r.WaterCement == 0 || c.WaterCement < r.WaterCement) {
			r.WaterCement, r.WaterCementBy = c.WaterCement, c
		}
		if c.Strength(s) > r.Strength {
			r.Strength, r.StrengthBy = c.Strength(s), c
		}
		if c.Frost > r.Frost {
			r.Frost, r.FrostBy = c.Frost, c
		}
	}
	return r
}

// StrongAir is the target air when the concrete is of 5,000 psi (35 MPa) or more: one point lower is allowed.
// Source: ACI 318-19, 19.3.3.1.
func StrongAir(target quantity.Percent, strength quantity.Stress, s quantity.System) quantity.Percent {
	limit := quantity.PSI(5000)
	if s == quantity.Metric {
		limit = quantity.MPa(35)
	}
	if strength >= limit && target > 0.01 {
		return target - 0.01
	}
	return target
}

// WeatheringZone reads a zone from climate normals: index = freezing-cycle days a year × winter rainfall in inches; under
// 50 negligible, 50 to 500 moderate, above severe. Source: ASTM C62 and the IRC's map legend (recalled).
func WeatheringZone(freezingDays float64, winterRain quantity.Length) (index float64, zone string) {
	index = freezingDays * winterRain.Inches()
	switch {
	case index < 50:
		return index, "negligible"
	case index <= 500:
		return index, "moderate"
	}
	return index, "severe"
}

// binderLimit is a limit on supplementary materials where it freezes with deicers, as a share of the binder.
type binderLimit struct {
	says  string
	most  float64
	share func(ash, slag, fume float64) float64
}

// Limits of class F3. Source: ACI 318-19, table 26.4.2.2(b) (recalled); 25 % of fly ash seen on a page about ACI 318-99.
var binderLimits = []binderLimit{
	{"fly ash and natural pozzolan", 0.25, func(ash, _, _ float64) float64 { return ash }},
	{"slag", 0.50, func(_, slag, _ float64) float64 { return slag }},
	{"silica fume", 0.10, func(_, _, fume float64) float64 { return fume }},
	{"fly ash and silica fume together", 0.35, func(ash, _, fume float64) float64 { return ash + fume }},
	{"all of them together", 0.50, func(ash, slag, fume float64) float64 { return ash + slag + fume }},
}

// OverBinderLimits lists, in words, which limits of class F3 the shares break; empty: none. Checked: CON-34.
func OverBinderLimits(ash, slag, fume float64) []string {
	over := []string{}
	for _, l := range binderLimits {
		if s := l.share(ash, slag, fume); s > l.most+1e-9 {
			over = append(over, fmt.Sprintf("%s %.0f %% over %.0f %%", l.says, 100*s, 100*l.most))
		}
	}
	return over
}
