package cure

import (
	"errors"
	"fmt"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
)

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	return append(stressCalculations(), shrinkageCalculations()...)
}

func stressCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("cure.bradbury_factor", "curling factor of a slab whose length is some radii of relative stiffness, held at its greatest", "common-practice", func(in struct {
			Radii quantity.Ratio `says:"length over radius" range:"0..1000"`
		}) (out struct {
			Factor quantity.Ratio
		}, err error) {
			out.Factor = quantity.Ratio(Bradbury(float64(in.Radii)))
			return out, nil
		}),
		calc.New("cure.creep_coefficient", "creep since loading over elastic strain", "aci-209r", func(in struct {
			Age     quantity.Time
			Loaded  quantity.Time  `says:"age when the load came"`
			Product quantity.Ratio `says:"humidity and size factors" default:"1"`
		}) (out struct {
			Creep quantity.Ratio
		}, err error) {
			out.Creep = quantity.Ratio(CreepCoefficient(in.Age.Days(), in.Loaded.Days(), float64(in.Product)))
			return out, nil
		}),
		calc.New("cure.restrained_stress", "tension from free shortenings that are held, and its share of the bending strength", "aci-209r", func(in struct {
			Ages      []quantity.Time  `says:"age at which each shortening comes"`
			Strains   []quantity.Ratio `says:"free shortening of each step"`
			Age       quantity.Time    `says:"age asked about"`
			Restraint quantity.Ratio   `says:"0 free to 1 held"`
			Ultimate  quantity.Stress  `says:"strength in the end"`
			Rate      float64          `says:"gain at the start" unit:"1/d"`
			Start     quantity.Time    `says:"age at which strength begins"`
			Product   quantity.Ratio   `says:"creep factors for humidity and size" default:"1"`
		}) (out struct {
			Stress  quantity.Stress
			Rupture quantity.Stress
			Index   quantity.Ratio `says:"stress over bending strength"`
		}, err error) {
			if len(in.Ages) != len(in.Strains) {
				return out, errors.New("every shortening has its age")
			}
			curve := hydration.Hyperbolic{Ultimate: in.Ultimate.MPa(), Rate: in.Rate, Start: in.Start.Days()}
			var steps []StrainStep
			for i := range in.Ages {
				steps = append(steps, StrainStep{in.Ages[i].Days(), float64(in.Strains[i])})
			}
			out.Stress = quantity.MPa(RestrainedStress(steps, in.Age.Days(), float64(in.Restraint), float64(in.Product), curve))
			out.Rupture = quantity.MPa(hydration.Rupture(curve.At(in.Age.Days())))
			if out.Rupture <= 0 {
				return out, errors.New("it has no strength at that age")
			}
			out.Index = quantity.Ratio(out.Stress / out.Rupture)
			return out, nil
		}),
		calc.New("cure.friction_stress", "tension in the middle of a panel that shrinks on its base", "common-practice", func(in struct {
			Friction quantity.Ratio   `says:"0.5 on sheet, 1.5 on stone, 2 bonded" range:">= 0"`
			Weight   quantity.Density `says:"of the concrete" range:"> 0"`
			Length   quantity.Length  `says:"panel length" range:">= 0"`
		}) (out struct {
			Stress quantity.Stress
		}, err error) {
			out.Stress = quantity.Stress(FrictionStress(float64(in.Friction), float64(in.Weight)*gravity, in.Length.Metres()))
			return out, nil
		}),
		calc.New("cure.curl_stress", "tension from a warm top and a cool bottom", "common-practice", func(in struct {
			Modulus    quantity.Stress
			Expansion  float64           `unit:"1/K" default:"0.00001"`
			Difference quantity.TempDiff `says:"top less bottom"`
			Poisson    quantity.Ratio    `default:"0.15"`
			Factor     quantity.Ratio    `says:"Bradbury's, 1 for a long slab" default:"1"`
		}) (out struct {
			Stress quantity.Stress
		}, err error) {
			if in.Modulus <= 0 || !(in.Poisson >= 0 && in.Poisson <= 0.5) {
				return out, errors.New("the modulus is above zero and Poisson's ratio 0 to 0.5")
			}
			out.Stress = quantity.Stress(CurlStress(float64(in.Modulus), in.Expansion, float64(in.Difference), float64(in.Poisson), float64(in.Factor)))
			return out, nil
		}),
		calc.New("cure.opening_date", "earliest day to put a load on, slow mix in steady air", "astm-c1074", func(in struct {
			Poured    string            `says:"like 2026-06-11T09:00:00-05:00"`
			Zone      string            `says:"time zone, like America/Chicago" default:"UTC"`
			Specified quantity.Stress   `says:"strength ordered"`
			Need      quantity.Stress   `says:"strength the load needs"`
			Air       quantity.Temp     `says:"mean air"`
			Band      quantity.TempDiff `says:"how far that mean may be off" default:"0"`
			Spread    quantity.Ratio    `says:"how far the mix may lie off its curve" default:"0.20"`
		}) (out struct {
			Age  quantity.Time
			Date string `says:"year-month-day"`
			Day  string `says:"weekday"`
		}, err error) {
			poured, err := time.Parse(time.RFC3339, in.Poured)
			if err != nil {
				return out, err
			}
			input := Defaults()
			input.Zone, input.Poured = in.Zone, poured
			input.Strength, input.Spread = known.Say(in.Specified), known.Say(quantity.Percent(in.Spread))
			input.LaterAir, input.LaterBand, input.LaterSwing = known.Say(in.Air), known.Say(in.Band), known.Say(quantity.TempDiff(0))
			j, err := prepare(input)
			if err != nil {
				return out, err
			}
			m := j.milestone(use{name: "load", need: known.Say(in.Need), wholeDay: true}, 0)
			if m.Never {
				return out, fmt.Errorf("never with this mix within a year")
			}
			at := almanac.On(m.At, j.zone)
			out.Age, out.Date, out.Day = m.Age, at.Format(time.DateOnly), at.Weekday().String()
			return out, nil
		}),
	}
}

// gravity is the standard acceleration of free fall, m/s².
const gravity = 9.80665

// dryingPorts is how a table of checks writes what shrinkage depends on.
type dryingPorts struct {
	Humidity    quantity.Ratio  `says:"of the air, 0.4 to 1"`
	VolumeFace  quantity.Length `says:"volume over drying surface; a slab's thickness when only the top dries"`
	Slump       quantity.Length
	Fines       quantity.Ratio   `says:"fine over all aggregate"`
	Cement      quantity.Density `says:"cement content"`
	Air         quantity.Ratio   `says:"air content"`
	MoistCuring quantity.Time    `default:"604800"`
	Drying      quantity.Time    `says:"time of drying after the moist curing" default:"0"`
}

func shrinkageCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("cure.drying_shrinkage", "drying shrinkage in the end and after a time", "aci-209-2r-08", func(in dryingPorts) (out struct {
			Factor    quantity.Ratio `says:"product of all factors"`
			Ultimate  quantity.Ratio `says:"shrinkage in the end"`
			Shrinkage quantity.Ratio `says:"after the time of drying"`

			Humidity    quantity.Ratio `name:"factor_humidity"`
			VolumeFace  quantity.Ratio `name:"factor_volume_face"`
			Slump       quantity.Ratio `name:"factor_slump"`
			Fines       quantity.Ratio `name:"factor_fines"`
			Cement      quantity.Ratio `name:"factor_cement"`
			Air         quantity.Ratio `name:"factor_air"`
			MoistCuring quantity.Ratio `name:"factor_moist_curing"`
		}, err error) {
			d := Drying{float64(in.Humidity), in.VolumeFace.Metres(), in.Slump.Metres(), float64(in.Fines), float64(in.Cement), float64(in.Air), in.MoistCuring.Days()}
			g, err := d.Factor()
			if err != nil {
				return out, err
			}
			each, _ := d.Factors()
			for i, to := range []*quantity.Ratio{&out.Humidity, &out.VolumeFace, &out.Slump, &out.Fines, &out.Cement, &out.Air, &out.MoistCuring} {
				*to = quantity.Ratio(each[i])
			}
			u, _ := d.Ultimate()
			s, _ := d.After(in.Drying.Days())
			out.Factor, out.Ultimate, out.Shrinkage = quantity.Ratio(g), quantity.Ratio(u), quantity.Ratio(s)
			return out, nil
		}),
		calc.New("cure.joint_opening", "how far a joint opens", "arithmetic", func(in struct {
			Length     quantity.Length `says:"panel length" range:">= 0"`
			Shrinkage  quantity.Ratio
			Expansion  float64           `unit:"1/K" default:"0.00001"`
			Difference quantity.TempDiff `says:"how much colder than when it set" default:"0"`
		}) (out struct {
			Opening quantity.Length
		}, err error) {
			out.Opening = quantity.Length(JointOpening(in.Length.Metres(), float64(in.Shrinkage), in.Expansion, float64(in.Difference)))
			return out, nil
		}),
	}
}
