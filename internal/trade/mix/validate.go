package mix

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/spoken"
)

// Validate finds every fault of the input at once.
func (in Input) Validate() check.Faults {
	in = in.heard()
	v := validation{units: in.Units}
	v.word("code", in.Code, editions...)
	v.word("sulphate", in.Sulphate, "S0", "S1", "S2", "S3")
	v.word("cement_type", in.CementType, "I", "III", "R", "N", "S")
	v.word("basis", in.Basis, string(Dry), string(SSD))
	if in.Weathering.Given() {
		v.word("weathering", in.Weathering, "negligible", "moderate", "severe")
	}
	for name, k := range []known.Truth{in.Freezing, in.Deicers, in.Vehicles, in.Structural, in.Reinforced, in.Coarse.Rounded} {
		if !k.Given() {
			v.add(truthNames[name], "", "is not known.", "Answer yes or no.")
		}
	}
	between(&v, "strength", in.Strength, true, quantity.PSI(1000), quantity.PSI(12000), quantity.AsStrength)
	between(&v, "cement", in.Cement, false, 120, 700, quantity.AsContent)
	between(&v, "slump", in.Slump, true, spoken.Slump(quantity.Inches(0.5)), spoken.Slump(quantity.Inches(12)), quantity.AsDrop)
	size := known.Length{Value: in.Stone.Value.Size, Origin: in.Stone.Origin, Text: in.Stone.Text}
	between(&v, "stone", size, true, quantity.Millimetres(8), quantity.Millimetres(90), quantity.AsDrop)
	between(&v, "air", in.Air, false, 0, 0.12, quantity.AsPercent)
	between(&v, "fly_ash", in.FlyAsh, true, 0, 0.6, quantity.AsPercent)
	between(&v, "slag", in.Slag, true, 0, 0.8, quantity.AsPercent)
	between(&v, "silica_fume", in.SilicaFume, true, 0, 0.2, quantity.AsPercent)
	between(&v, "water_reduction", in.WaterReduction, true, 0, 0.4, quantity.AsPercent)
	between(&v, "added_water", in.AddedWater, true, 0, 60, quantity.AsContent)
	between(&v, "coarse.gravity", in.Coarse.Gravity, true, 2.2, 3.2, quantity.AsRatio)
	between(&v, "coarse.rodded", in.Coarse.Rodded, true, 1000, 2200, quantity.AsDensity)
	between(&v, "coarse.absorption", in.Coarse.Absorption, true, 0, 0.1, quantity.AsPercent)
	between(&v, "coarse.moisture", in.Coarse.Moisture, true, 0, 0.15, quantity.AsPercent)
	between(&v, "sand.gravity", in.Sand.Gravity, true, 2.2, 3.2, quantity.AsRatio)
	between(&v, "sand.fineness", in.Sand.Fineness, true, 2.3, 3.1, quantity.AsRatio)
	between(&v, "sand.absorption", in.Sand.Absorption, true, 0, 0.1, quantity.AsPercent)
	between(&v, "sand.moisture", in.Sand.Moisture, true, 0, 0.15, quantity.AsPercent)
	between(&v, "deviation", in.Deviation, false, quantity.PSI(50), quantity.PSI(2000), quantity.AsStress)
	between(&v, "step", in.Step, false, quantity.PSI(10), quantity.PSI(2000), quantity.AsStrength)
	between(&v, "thickness", in.Thickness, false, quantity.Millimetres(25), quantity.Metres(3), quantity.AsThickness)
	between(&v, "clear_spacing", in.Clear, false, quantity.Millimetres(5), quantity.Metres(3), quantity.AsThickness)
	if in.Tests.Given() && in.Tests.Value < 15 {
		v.add("tests", in.Tests.Show("").String(in.Units), "is too short a record; 15 tests are the fewest.", "Leave it out until there are 15.")
	}
	if in.FlyAsh.Value+in.Slag.Value+in.SilicaFume.Value > 0.9 {
		v.add("fly_ash", "", "fly ash, slag and silica fume leave less than a tenth for cement.", "Type shares that add up to 90 % at most.")
	}
	return v.faults
}

var truthNames = []string{"freezing", "deicers", "vehicles", "structural", "reinforced", "coarse.rounded"}

type validation struct {
	units  quantity.System
	faults check.Faults
}

func (v *validation) add(field, given, why, remedy string) {
	v.faults = append(v.faults, check.Fault{Field: field, Given: given, Why: why, Type: remedy})
}

func (v *validation) word(field string, k known.Text, allowed ...string) {
	if !slices.Contains(allowed, k.Value) {
		v.add(field, k.Value, "is not a word known here.", "Type one of "+strings.Join(allowed, ", ")+".")
	}
}

// between refuses a number outside what can be, and a missing one when it is needed.
func between[T interface {
	~float64
	quantity.Measured
}](v *validation, field string, k known.Known[T], needed bool, low, high T, kind quantity.Kind) {
	show := func(x T) string { return quantity.Show(x, kind).String(v.units) }
	limits := fmt.Sprintf("Type a value from %s to %s.", show(low), show(high))
	switch {
	case !k.Given() && needed:
		v.add(field, "", "is not known.", limits)
	case k.Given() && !(k.Value >= low*(1-1e-9) && k.Value <= high*(1+1e-9)):
		given := k.Text
		if given == "" {
			given = show(k.Value)
		}
		v.add(field, given, "cannot be.", limits)
	}
}
