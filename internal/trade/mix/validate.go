package mix

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/spoken"
)

// Validate finds every fault of the input at once.
func (in Input) Validate() check.Faults {
	in = in.heard()
	v := bounds.List{Units: in.Units}
	v.Word("code", in.Code, editions...)
	v.Word("sulphate", in.Sulphate, "S0", "S1", "S2", "S3")
	v.Word("cement_type", in.CementType, "I", "III", "R", "N", "S")
	v.Word("basis", in.Basis, string(Dry), string(SSD))
	if in.Weathering.Given() {
		v.Word("weathering", in.Weathering, "negligible", "moderate", "severe")
	}
	v.Answered("freezing", in.Freezing)
	v.Answered("deicers", in.Deicers)
	v.Answered("vehicles", in.Vehicles)
	v.Answered("structural", in.Structural)
	v.Answered("reinforced", in.Reinforced)
	v.Answered("coarse.rounded", in.Coarse.Rounded)
	bounds.Needed(&v, "strength", in.Strength, quantity.PSI(1000), quantity.PSI(12000), quantity.AsStrength)
	bounds.Between(&v, "cement", in.Cement, 120, 700, quantity.AsContent)
	bounds.Needed(&v, "slump", in.Slump, spoken.Slump(quantity.Inches(0.5)), spoken.Slump(quantity.Inches(12)), quantity.AsSlump)
	size := known.Length{Value: in.Stone.Value.Size, Origin: in.Stone.Origin, Text: in.Stone.Text}
	bounds.Needed(&v, "stone", size, quantity.Millimetres(8), quantity.Millimetres(90), quantity.AsNominal)
	bounds.Between(&v, "air", in.Air, 0, 0.12, quantity.AsPercent)
	bounds.Needed(&v, "fly_ash", in.FlyAsh, 0, 0.6, quantity.AsPercent)
	bounds.Needed(&v, "slag", in.Slag, 0, 0.8, quantity.AsPercent)
	bounds.Needed(&v, "silica_fume", in.SilicaFume, 0, 0.2, quantity.AsPercent)
	bounds.Needed(&v, "water_reduction", in.WaterReduction, 0, 0.4, quantity.AsPercent)
	bounds.Needed(&v, "added_water", in.AddedWater, 0, 60, quantity.AsContent)
	bounds.Needed(&v, "coarse.gravity", in.Coarse.Gravity, 2.2, 3.2, quantity.AsRatio)
	bounds.Needed(&v, "coarse.rodded", in.Coarse.Rodded, 1000, 2200, quantity.AsDensity)
	bounds.Needed(&v, "coarse.absorption", in.Coarse.Absorption, 0, 0.1, quantity.AsPercent)
	bounds.Needed(&v, "coarse.moisture", in.Coarse.Moisture, 0, 0.15, quantity.AsPercent)
	bounds.Needed(&v, "sand.gravity", in.Sand.Gravity, 2.2, 3.2, quantity.AsRatio)
	bounds.Needed(&v, "sand.fineness", in.Sand.Fineness, 2.3, 3.1, quantity.AsRatio)
	bounds.Needed(&v, "sand.absorption", in.Sand.Absorption, 0, 0.1, quantity.AsPercent)
	bounds.Needed(&v, "sand.moisture", in.Sand.Moisture, 0, 0.15, quantity.AsPercent)
	bounds.Between(&v, "deviation", in.Deviation, quantity.PSI(50), quantity.PSI(2000), quantity.AsStress)
	bounds.Between(&v, "step", in.Step, quantity.PSI(10), quantity.PSI(2000), quantity.AsStrength)
	bounds.Between(&v, "thickness", in.Thickness, quantity.Millimetres(25), quantity.Metres(3), quantity.AsThickness)
	bounds.Between(&v, "clear_spacing", in.Clear, quantity.Millimetres(5), quantity.Metres(3), quantity.AsThickness)
	in.Card.validate(&v)
	validateLab(&v, in.Lab)
	bounds.Between(&v, "volume", in.Volume, 0.02, 5000, quantity.AsVolume)
	bounds.Between(&v, "area", in.Area, 0.1, 50000, quantity.AsArea)
	if in.Tests.Given() && in.Tests.Value < 15 {
		v.Add("tests", in.Tests.Show("").String(in.Units), "is too short a record; 15 tests are the fewest.", "Leave it out until there are 15.")
	}
	if in.FlyAsh.Value+in.Slag.Value+in.SilicaFume.Value > 0.9 {
		v.Add("fly_ash", "", "fly ash, slag and silica fume leave less than a tenth for cement.", "Type shares that add up to 90 % at most.")
	}
	return v.Faults
}
