package hold

import (
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

// bounds is the range a value must lie in, and what to say outside it. SI.
type bounds struct {
	field      string
	low, high  float64
	optional   bool
	why, typed string
}

func within[T ~float64](f *check.Faults, k known.Known[T], b bounds) {
	switch v := float64(k.Value); {
	case !k.Given() && !b.optional:
		*f = append(*f, check.Fault{Field: b.field, Why: "is not known and nothing can stand in for it.", Type: b.typed})
	case k.Given() && !(v >= b.low && v <= b.high):
		given := k.Text
		if given == "" {
			given = fmt.Sprint(k.Value)
		}
		*f = append(*f, check.Fault{Field: b.field, Given: given, Why: b.why, Type: b.typed})
	}
}

// The thinnest and the thickest slab that is solved, m.
const leastThickness, mostThickness = 0.075, 0.61

// mostPanels and mostPrints bound the work.
const mostPanels, mostPrints = 60, 60

// Validate finds everything in the input that cannot be.
func (in Input) Validate() check.Faults {
	var f check.Faults
	in.validateNumbers(&f)
	in.validatePrints(&f)
	in.validateMixer(&f)
	in.validatePanels(&f)
	return f
}

func (in Input) validateNumbers(f *check.Faults) {
	within(f, in.Thickness, bounds{field: "thickness", low: leastThickness, high: mostThickness, why: "is a thickness outside 3 to 24 in (75 to 600 mm).", typed: "Type it, such as 6 in or 150 mm."})
	within(f, in.Tolerance, bounds{field: "tolerance", low: 0, high: 0.05, why: "is outside 0 to 2 in.", typed: "Type 1/4 in."})
	within(f, in.Elasticity, bounds{field: "elasticity", low: 5e9, high: 80e9, why: "is outside 5 to 80 GPa: ksi typed as psi?", typed: "Type it, such as 3600 ksi."})
	for _, s := range []struct {
		field string
		k     known.Stress
	}{{"flexural_strength", in.Flexural}, {"post_flexural_strength", in.PostFlexural}} {
		within(f, s.k, bounds{field: s.field, low: 1e6, high: 15e6, why: "is outside 1 to 15 MPa (145 to 2,200 psi): the compressive strength typed instead?", typed: "Type it, such as 570 psi."})
	}
	within(f, in.SubgradeModulus, bounds{field: "subgrade_modulus", low: 1e6, high: 300e6, why: "is outside 1 to 300 MPa/m (4 to 1,100 pci): a bare number is read in pci in a US job, in MPa/m in a metric one; 100 pci is 27 MPa/m.", typed: "Type it with its unit, such as 100 pci or 27 MPa/m."})
	within(f, in.BetterSupport, bounds{field: "better_support", optional: true, low: 1e6, high: 300e6, why: "is outside 1 to 300 MPa/m (4 to 1,100 pci).", typed: "Type it with its unit, such as 150 pci."})
	within(f, in.JointStiffness, bounds{field: "joint_stiffness", low: 0, high: 1e5, why: "is no stiffness of a joint over that of the bed.", typed: "Type 0 for a free edge or a joint open more than 1 mm, 1.2 for half of the load, 10 for a tight crack."})
	within(f, in.DowelStiffness, bounds{field: "dowel_stiffness", optional: true, low: 0, high: 1e5, why: "is no stiffness of a joint over that of the bed.", typed: "Type it, such as 20."})
	within(f, in.Expansion, bounds{field: "expansion", low: 1, high: 30, why: "is outside 1 to 30 millionths per kelvin.", typed: "Type 10."})
	within(f, in.DayWarm, bounds{field: "day_difference", low: 0, high: 40, why: "is outside 0 to 40 K (72 °F); the side is in its name, so no minus.", typed: "Type 10 °F."})
	within(f, in.DawnCold, bounds{field: "dawn_difference", low: 0, high: 40, why: "is outside 0 to 40 K (72 °F); the side is in its name, so no minus.", typed: "Type 17 °F."})
	for i, c := range in.ByClosedForm {
		if !(c.Thickness > 0 && c.Utilisation >= 0) || math.IsInf(c.Utilisation, 0) || math.IsInf(float64(c.Thickness), 0) {
			*f = append(*f, check.Fault{Field: fmt.Sprintf("by_closed_form[%d]", i+1), Why: "is no thickness with a share of what is allowed.", Type: "Type both, such as {thickness: 6 in, utilisation: 0.8}, or leave it out."})
		}
	}
	for _, s := range []struct {
		field string
		k     known.Ratio
	}{{"safety_wheels", in.SafetyWheels}, {"safety_posts", in.SafetyPosts}, {"safety_rare", in.SafetyRare}} {
		within(f, s.k, bounds{field: s.field, low: 1, high: 5, why: "is outside 1 to 5: under 1 the slab cracks at once.", typed: "Type 2 for frequent loads, 1.4 for rare ones."})
	}
	within(f, in.WheelClearance, bounds{field: "edge_clearance", low: 0, high: 50, why: "cannot be: a wheel across the slab's edge would lose load.", typed: "Type 0 or more, such as 24 in."})
	within(f, in.JackClearance, bounds{field: "jack_clearance", low: 0, high: 20, why: "cannot be: a pad across the slab's edge would lose load.", typed: "Type 0 or more, such as 24 in."})
}

func (in Input) validateMixer(f *check.Faults) {
	if len(in.Mixer) == 0 {
		return
	}
	validatePrints(f, "mixer", in.Mixer)
	within(f, in.MixerAge, bounds{field: "mixer_age", low: 0.5 * 86400, high: 6.4e8, why: "is too young to carry anything, or no age.", typed: "Type days, such as 7."})
	within(f, in.MixerElasticity, bounds{field: "mixer_elasticity", low: 5e9, high: 80e9, why: "is outside 5 to 80 GPa: ksi typed as psi?", typed: "Type it, such as 3000 ksi."})
	within(f, in.MixerFlexural, bounds{field: "mixer_flexural_strength", low: 1e6, high: 15e6, why: "is outside 1 to 15 MPa (145 to 2,200 psi): the compressive strength typed instead?", typed: "Type it, such as 400 psi."})
}

func (in Input) validatePrints(f *check.Faults) {
	if len(in.Prints) == 0 {
		*f = append(*f, check.Fault{Field: "prints", Why: "is empty: nothing stands on the slab.", Type: "Give a tyre or a pad: where it is, its force, and the two sides of its print."})
	}
	validatePrints(f, "prints", in.Prints)
}

func validatePrints(f *check.Faults, field string, prints []Print) {
	if len(prints) > mostPrints {
		*f = append(*f, check.Fault{Field: field, Given: fmt.Sprint(len(prints)), Why: "are more prints than one vehicle has.", Type: fmt.Sprintf("Give up to %d.", mostPrints)})
	}
	for i, p := range prints {
		bad := func(why, typed string) {
			*f = append(*f, check.Fault{Field: fmt.Sprintf("%s[%d]", field, i+1), Given: p.Name, Why: why, Type: typed})
		}
		if !(p.Force >= 10 && p.Force <= 1e6) {
			bad("presses with a force outside 10 N to 1 MN.", "Type its force, such as 2000 lb.")
		}
		if !(p.Along >= 0.02 && p.Along <= 3 && p.Wide >= 0.02 && p.Wide <= 3) {
			bad("has no print between 20 mm and 3 m: at no tyre pressure it would be endless, at an endless pressure a point.", "Type the two sides of its print, such as 8 in and 6 in.")
		}
		if !p.At.IsFinite() || p.At.Length() > 100 {
			bad("stands nowhere near the vehicle.", "Type where it is behind the first axle, and across.")
		}
	}
}

func (in Input) validatePanels(f *check.Faults) {
	if len(in.Panels) == 0 || len(in.Panels) > mostPanels {
		*f = append(*f, check.Fault{Field: "panels", Given: fmt.Sprint(len(in.Panels)), Why: fmt.Sprintf("are not 1 to %d.", mostPanels), Type: "Give the corners of each panel between joints."})
		return
	}
	for i, p := range in.Panels {
		for _, bad := range p.Outline.Faults() {
			*f = append(*f, check.Fault{Field: fmt.Sprintf("panels[%d].outline", i+1), Given: string(bad.Kind), Why: bad.Says, Type: "Type the corners in order round the panel, in metres."})
		}
	}
	if len(*f) > 0 {
		return
	}
	var unsound *plate.Fault
	for _, err := range newModel(in).slab.Validate() {
		if errors.As(err, &unsound) {
			*f = append(*f, check.Fault{Field: "panels", Given: unsound.Where, Why: unsound.Says + ".", Type: "Mend the outline, or leave the piece out."})
		}
	}
}

// nowhere is the fault of a load that fits nowhere on the slab.
func nowhere(in Input) error {
	return check.Faults{{Field: "prints", Given: fmt.Sprintf("%d prints", len(in.Prints)),
		Why: "find no place where each is wholly on the slab or wholly off it: load would be lost over an edge.", Type: "Give a larger slab, or smaller prints."}}.Err()
}

func show(l quantity.Length, units quantity.System) string {
	return quantity.Show(l, quantity.AsThickness).String(units)
}
