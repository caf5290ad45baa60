package slab

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

// mostStrength and leastStrength bound what is taken for a concrete strength.
const leastStrength, mostStrength = quantity.Stress(14e6), quantity.Stress(70e6)

// bounds is the range a value must lie in, and what to say outside it.
type bounds struct {
	field     string
	low, high float64 // SI
	needed    bool
	why       string
	typed     string
}

// judge looks at one value. A missing value is a fault only when it is needed.
func judgeValue[T ~float64](faults *check.Faults, k known.Known[T], b bounds) {
	switch {
	case !k.Given() && b.needed:
		*faults = append(*faults, check.Fault{Field: b.field, Why: "is not known and nothing can stand in for it.", Type: b.typed})
	case k.Given() && !(float64(k.Value) >= b.low && float64(k.Value) <= b.high):
		*faults = append(*faults, check.Fault{Field: b.field, Given: given(k), Why: b.why, Type: b.typed})
	}
}

func given[T any](k known.Known[T]) string {
	if k.Text != "" {
		return k.Text
	}
	return fmt.Sprint(k.Value)
}

func judgeWord(faults *check.Faults, k known.Text, field string, words []string) {
	if !k.Given() {
		*faults = append(*faults, check.Fault{Field: field, Why: "is not known.", Type: "Type one of: " + strings.Join(words, ", ") + "."})
		return
	}
	if !slices.Contains(words, k.Value) {
		*faults = append(*faults, check.Fault{Field: field, Given: k.Value, Why: "is not a word this page knows.", Type: "Type one of: " + strings.Join(words, ", ") + "."})
	}
}

// Validate finds everything in the input that cannot be.
func (in Input) Validate() check.Faults {
	var f check.Faults
	in.validateLoads(&f)
	in.validateGround(&f)
	in.validateConcrete(&f)
	in.validatePanel(&f)
	return f
}

func (in Input) validateLoads(f *check.Faults) {
	if in.Vehicle.Given() || len(in.Axles)+len(in.Posts) == 0 {
		judgeWord(f, in.Vehicle, "vehicle", VehicleNames())
	}
	judgeValue(f, in.Weight, bounds{field: "weight", low: 2e3, high: 1e6, why: "is outside what drives on a slab.", typed: "Type the loaded weight, 450 lb to 225,000 lb."})
	judgeValue(f, in.JackPad, bounds{field: "jack_pad", low: 0.04, high: 2, needed: true, why: "is no pad: a foot smaller than 40 mm or larger than 2 m.", typed: "Type its side, such as 12 in or 300 mm."})
	judgeValue(f, in.JackClearance, bounds{field: "jack_clearance", low: 0, high: 20, needed: true, why: "cannot be: a pad across the slab's edge would lose load.", typed: "Type 0 or more, such as 24 in."})
	judgeValue(f, in.PadWidth, bounds{field: "pad_width", low: 1, high: 100, why: "is no pad that a vehicle drives along.", typed: "Type its width, such as 12 ft."})
	judgeValue(f, in.EdgeClearance, bounds{field: "edge_clearance", low: 0, high: 50, needed: !in.PadWidth.Given(), why: "cannot be: a wheel across the slab's edge would lose load.", typed: "Type 0 or more, such as 12 in."})
	judgeValue(f, in.Passes, bounds{field: "passes", low: 0, high: 1, why: "is more than one a second, or less than none.", typed: "Type times a week, such as 4."})
	judgeValue(f, in.Life, bounds{field: "life", low: 86400, high: 200 * float64(year), needed: true, why: "is no design life.", typed: "Type years, such as 20."})
	judgeValue(f, in.StoredLoad, bounds{field: "stored_load", low: 0, high: 500e3, why: "is outside 0 to 10,000 psf.", typed: "Type the load per area, such as 250 psf."})
	judgeValue(f, in.MixerAge, bounds{field: "mixer_age", low: 0.5 * 86400, high: 20 * float64(year), why: "is too young to carry anything, or no age.", typed: "Type days, such as 7."})
	for i, a := range in.Axles {
		a.validate(f, fmt.Sprintf("axles[%d]", i+1))
	}
	for i, p := range in.Posts {
		p.validate(f, fmt.Sprintf("posts[%d]", i+1))
	}
}

func (a Axle) validate(f *check.Faults, path string) {
	judgeValue(f, a.Load, bounds{field: path + ".load", low: 100, high: 1e6, needed: true, why: "is no axle load.", typed: "Type the load on the whole axle, such as 3600 lb."})
	judgeValue(f, a.Gauge, bounds{field: path + ".gauge", low: 0.4, high: 4, why: "is no gauge.", typed: "Type the distance between left and right wheels, such as 6 ft."})
	judgeValue(f, a.At, bounds{field: path + ".at", low: 0, high: 40, why: "is not a place behind the first axle.", typed: "Type the distance, such as 3 ft."})
	judgeValue(f, a.Pressure, bounds{field: path + ".pressure", low: 50e3, high: 5e6, why: "cannot be: at no pressure the print would be endless.", typed: "Type the tyre pressure, such as 65 psi."})
	if n := a.Tyres; n.Given() && n.Value != 2 && n.Value != 4 {
		*f = append(*f, check.Fault{Field: path + ".tyres", Given: given(n), Why: "is not how axles are built here.", Type: "Type 2, or 4 for dual pairs."})
	}
}

func (p Post) validate(f *check.Faults, path string) {
	judgeValue(f, p.Load, bounds{field: path + ".load", low: 50, high: 1e6, needed: true, why: "is no load on a post.", typed: "Type the load on each, such as 3000 lb."})
	judgeValue(f, p.Pad, bounds{field: path + ".pad", low: 0.04, high: 2, why: "is no pad.", typed: "Type its side, such as 12 in."})
	judgeValue(f, p.Spacing, bounds{field: path + ".spacing", low: 0.1, high: 40, why: "is no distance between posts.", typed: "Type it, such as 8 ft."})
	if n := p.Count; n.Given() && (n.Value < 1 || n.Value > 12) {
		*f = append(*f, check.Fault{Field: path + ".count", Given: given(n), Why: "is not from 1 to 12.", Type: "Type how many stand near one another."})
	}
}

func (in Input) validateGround(f *check.Faults) {
	judgeWord(f, in.Soil, "soil", SoilNames())
	judgeWord(f, in.ConeSoil, "cone_soil", []string{coneOther, coneCL, coneCH})
	judgeWord(f, in.Base, "base", []string{baseStone, baseCement, baseNone})
	judgeValue(f, in.SubgradeModulus, bounds{field: "subgrade_modulus", low: 1e6, high: 300e6, why: "is outside 1 to 300 MPa/m (4 to 1,100 pci): a bare number is read in pci in a US job, in MPa/m in a metric one; 100 pci is 27 MPa/m.", typed: "Type it with its unit, such as 100 pci or 27 MPa/m."})
	judgeValue(f, in.CBR, bounds{field: "cbr", low: 0.5, high: 100, why: "is outside 0.5 to 100 percent.", typed: "Type the percent, such as 4."})
	judgeValue(f, in.RValue, bounds{field: "r_value", low: 0, high: 100, why: "is outside 0 to 100.", typed: "Type the R-value, such as 20."})
	if in.Cone.Given() {
		if _, err := CBRFromCone(in.Cone.Value.Millimetres(), in.ConeSoil.Value, float64(in.ConeHammer.Value)); err != nil {
			*f = append(*f, check.Fault{Field: "cone", Given: given(in.Cone), Why: strings.TrimPrefix(err.Error(), "slab: ") + ".", Type: "Type the sink per blow in mm, the soil (CL, CH, other) and the hammer (8 kg, 4.6 kg)."})
		}
	}
	judgeValue(f, in.BaseThickness, bounds{field: "base_thickness", low: 0, high: 1.5, needed: true, why: "is no thickness of a base.", typed: "Type it, such as 4 in; 0 for none."})
	judgeValue(f, in.Fill, bounds{field: "fill", low: 0, high: 30, why: "is no depth of fill.", typed: "Type it, such as 6 in; 0 for none."})
}

func (in Input) validateConcrete(f *check.Faults) {
	judgeValue(f, in.Strength, bounds{field: "strength", low: float64(leastStrength), high: float64(mostStrength), needed: true, why: "is outside 14 to 70 MPa (2,030 to 10,150 psi): psi typed as MPa, or the other way round?", typed: "Type it with its unit, such as 4000 psi or 28 MPa."})
	judgeValue(f, in.Rupture, bounds{field: "rupture_factor", low: 4, high: 14, needed: true, why: "is outside 4 to 14 (psi).", typed: "Type 7.5 for a structural check, 9 for a pavement."})
	judgeValue(f, in.PostRupture, bounds{field: "post_rupture_factor", low: 4, high: 14, needed: true, why: "is outside 4 to 14 (psi).", typed: "Type 7.5."})
	judgeValue(f, in.Elasticity, bounds{field: "elasticity", low: 5e9, high: 80e9, why: "is outside 5 to 80 GPa.", typed: "Type it, such as 3600 ksi; or leave it out."})
	judgeValue(f, in.Expansion, bounds{field: "expansion", low: 1, high: 30, needed: true, why: "is outside 1 to 30 millionths per kelvin.", typed: "Type 10."})
	for _, s := range []struct {
		field string
		k     known.Ratio
	}{{"safety_wheels", in.SafetyWheels}, {"safety_posts", in.SafetyPosts}, {"safety_rare", in.SafetyRare}} {
		judgeValue(f, s.k, bounds{field: s.field, low: 1, high: 5, needed: s.field != "safety_wheels", why: "is outside 1 to 5: under 1 the slab cracks at once.", typed: "Type 2 for frequent loads, 1.4 for rare ones."})
	}
}

func (in Input) validatePanel(f *check.Faults) {
	judgeValue(f, in.Thickness, bounds{field: "thickness", low: 0.075, high: 0.61, why: "is a thickness outside 3 to 24 in (75 to 600 mm).", typed: "Type it, such as 6 in or 150 mm; or leave it out and it is worked out."})
	judgeValue(f, in.Tolerance, bounds{field: "tolerance", low: 0, high: 0.05, needed: true, why: "is outside 0 to 2 in.", typed: "Type 1/4 in."})
	judgeValue(f, in.PanelLength, bounds{field: "panel_length", low: 0.5, high: 60, needed: true, why: "is no panel.", typed: "Type the distance between joints, such as 12 ft."})
	judgeValue(f, in.PanelWidth, bounds{field: "panel_width", low: 0.5, high: 60, needed: true, why: "is no panel.", typed: "Type the distance between joints, such as 12 ft."})
	judgeWord(f, in.Joint, "joint", []string{jointPlain, jointInterlock, jointDowels, jointFree})
	judgeValue(f, in.JointOpening, bounds{field: "joint_opening", low: 0, high: 0.05, needed: true, why: "is no joint opening.", typed: "Type it, such as 1/16 in or 2 mm."})
	judgeValue(f, in.DowelDiameter, bounds{field: "dowel_diameter", low: 0.006, high: 0.08, needed: true, why: "is no dowel.", typed: "Type 3/4 in."})
	judgeValue(f, in.DowelSpacing, bounds{field: "dowel_spacing", low: 0.1, high: 3, needed: true, why: "is no spacing of dowels.", typed: "Type 12 in."})
	for _, t := range []struct {
		field string
		k     known.TempDiff
	}{{"day_difference", in.DayWarm}, {"dawn_difference", in.DawnCold}, {"built_in_difference", in.BuiltIn}} {
		judgeValue(f, t.k, bounds{field: t.field, low: 0, high: 40, needed: true, why: "is outside 0 to 40 K (72 °F); the side is in its name, so no minus.", typed: "Type 15 °F."})
	}
	for _, s := range []struct {
		field string
		k     known.Percent
	}{{"edge_share", in.EdgeShare}, {"hot_share", in.HotShare}, {"built_in_by_day", in.BuiltInByDay}} {
		judgeValue(f, s.k, bounds{field: s.field, low: 0, high: 1, needed: true, why: "is not a share.", typed: "Type 0 to 100 %."})
	}
	judgeValue(f, in.BarHeight, bounds{field: "bar_height", low: 0, high: 0.6, why: "is not a height inside the slab.", typed: "Type it, such as 3 in."})
}

// VehicleNames lists the vehicles a person may choose from.
func VehicleNames() []string {
	var names []string
	for _, v := range vehicles {
		names = append(names, v.name)
	}
	return names
}

// SoilNames lists the soils a person may choose from.
func SoilNames() []string {
	var names []string
	for _, s := range soils {
		names = append(names, s.name)
	}
	return names
}
