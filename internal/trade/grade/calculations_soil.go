package grade

import (
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

func soilCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.swell", "swell, load factor and shrink from bank, loose and compacted weights", string(sources.Definition),
			func(in struct{ Bank, Loose, Compacted quantity.Density }) (out struct {
				Swell      quantity.Percent
				LoadFactor quantity.Ratio
				Shrink     quantity.Percent
			}, err error) {
				sw, load, shrink, err := swell(in.Bank, in.Loose, in.Compacted)
				out.Swell, out.LoadFactor, out.Shrink = quantity.Percent(sw), quantity.Ratio(load), quantity.Percent(shrink)
				return out, err
			}),
		calc.New("grade.soil_volumes", "what ground becomes when dug and when compacted, by the table", string(sources.SwellManual),
			func(in struct {
				Soil string          `says:"sand, common earth, clay, topsoil, blasted rock, old concrete"`
				Bank quantity.Volume `says:"as it lies"`
			}) (out struct {
				Loose     quantity.Volume
				Compacted quantity.Volume `says:"0: not used again under a slab"`
			}, err error) {
				row, err := soilOf(Soil(in.Soil))
				out.Loose, out.Compacted = quantity.Volume(float64(in.Bank)*row.loose), quantity.Volume(float64(in.Bank)*row.compacted)
				return out, err
			}),
		calc.New("grade.sand_cone", "density in place by the sand cone", string(sources.SandCone),
			func(in struct {
				Sand        quantity.Mass    `says:"sand in the hole, cone taken off"`
				SandDensity quantity.Density `says:"of the poured sand"`
				WetSoil     quantity.Mass    `says:"out of the hole"`
				Moisture    quantity.Percent `says:"water by dry mass"`
			}) (out struct {
				Volume quantity.Volume
				Wet    quantity.Density
				Dry    quantity.Density
			}, err error) {
				out.Volume, out.Wet, out.Dry, err = sandCone(in.Sand, in.SandDensity, in.WetSoil, float64(in.Moisture))
				return out, err
			}),
		calc.New("grade.zero_air_voids", "heaviest dry density at a water content", string(sources.ZeroAirVoids),
			func(in struct {
				SpecificGravity quantity.Ratio   `says:"of the grains"`
				Moisture        quantity.Percent `says:"water by dry mass"`
			}) (out struct{ Density quantity.Density }, err error) {
				out.Density, err = zeroAirVoids(float64(in.SpecificGravity), float64(in.Moisture))
				return out, err
			}),
		calc.New("grade.relative_compaction", "field density over the laboratory's greatest", string(sources.Proctor),
			func(in struct {
				FieldWet quantity.Density `says:"wet density in place"`
				Moisture quantity.Percent `says:"water by dry mass"`
				Greatest quantity.Density `says:"greatest dry density of the test"`
			}) (out struct {
				Dry        quantity.Density
				Compaction quantity.Percent
			}, err error) {
				if err := errors.Join(positive("field density", float64(in.FieldWet)), positive("greatest density", float64(in.Greatest))); err != nil || in.Moisture < 0 {
					return out, errors.Join(err, errors.New("water is no less than zero"))
				}
				out.Dry = quantity.Density(float64(in.FieldWet) / (1 + float64(in.Moisture)))
				out.Compaction = quantity.Percent(out.Dry / in.Greatest)
				return out, nil
			}),
		calc.New("grade.water_to_add", "water that brings stone or soil to its best moisture", string(sources.Definition),
			func(in struct {
				Dry    quantity.Density `says:"dry density, compacted"`
				Volume quantity.Volume  `says:"compacted"`
				Now    quantity.Percent
				Wanted quantity.Percent
			}) (out struct {
				Mass   quantity.Mass
				Volume quantity.Volume `name:"water"`
			}, err error) {
				if err := errors.Join(positive("density", float64(in.Dry)), positive("volume", float64(in.Volume))); err != nil || in.Wanted < in.Now {
					return out, errors.Join(err, errors.New("it is wetter than wanted: let it dry"))
				}
				out.Mass = quantity.Mass(float64(in.Dry) * float64(in.Volume) * float64(in.Wanted-in.Now))
				out.Volume = quantity.Volume(float64(out.Mass) / waterDensity)
				return out, nil
			}),
	}
}
