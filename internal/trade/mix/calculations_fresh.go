package mix

import (
	"errors"
	"fmt"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/fresh"
	"slabwright/internal/trade/sources"
)

func statisticsCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.required_average", "average strength to aim at, from a plant's record (tests 0: no record)", string(sources.ACI318Average),
			func(in struct {
				Edition   string          `says:"us or si form" default:"us"`
				Specified quantity.Stress `says:"f'c" range:"> 0"`
				Deviation quantity.Stress `says:"standard deviation of the record" default:"0" range:">= 0"`
				Tests     int             `says:"tests in the record; 0: no record" default:"0" range:">= 0"`
			}) (out struct{ Average quantity.Stress }, err error) {
				t, _, err := edition(in.Edition)
				switch {
				case err != nil:
				case in.Tests == 0:
					out.Average = t.UnprovenAverage(in.Specified)
				default:
					out.Average, err = t.RequiredAverage(in.Specified, in.Deviation, in.Tests)
				}
				return out, err
			}),
		calc.New("mix.deviation_factor", "factor on the standard deviation of a short record", string(sources.ACI318Average),
			func(in struct{ Tests int }) (out struct{ K quantity.Ratio }, err error) {
				k, err := DeviationFactor(in.Tests)
				out.K = quantity.Ratio(k)
				return out, err
			}),
		calc.New("mix.low_test_chances", "chances of a low single test and of a low average of three", string(sources.ACI318Average),
			func(in struct {
				Edition   string `says:"us or si" default:"us"`
				Mean      quantity.Stress
				Deviation quantity.Stress
				Specified quantity.Stress
			}) (out struct {
				Single quantity.Ratio `says:"below f'c by more than the allowed fall"`
				Three  quantity.Ratio `says:"average of three below f'c"`
			}, err error) {
				t, _, err := edition(in.Edition)
				if err != nil || !(in.Deviation > 0) {
					return out, orElse(err, fmt.Errorf("a deviation is above zero"))
				}
				single, three := t.LowTestChances(in.Mean, in.Deviation, in.Specified)
				out.Single, out.Three = quantity.Ratio(single), quantity.Ratio(three)
				return out, nil
			}),
		calc.New("mix.acceptance", "strength tests in order, judged by threes and singly", string(sources.ACI318Accept),
			func(in struct {
				Edition   string            `says:"us or si" default:"us"`
				Tests     []quantity.Stress `says:"tests in order of casting"`
				Specified quantity.Stress   `says:"f'c"`
			}) (out struct {
				Averages      []quantity.Stress `says:"of each three in a row"`
				AveragesFail  int               `says:"averages below f'c"`
				SinglesFail   int               `says:"tests too low by themselves"`
				ThreesDecided bool              `says:"three tests or more were given"`
				Pass          bool
			}, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				a := t.Accept(bare(in.Tests), in.Specified)
				out.Pass, out.ThreesDecided = a.Pass, a.ThreesDecided
				for _, f := range a.Averages {
					out.Averages = append(out.Averages, quantity.Stress(f))
				}
				out.AveragesFail, out.SinglesFail = failures(a.AveragesPass), failures(a.SinglesPass)
				return out, nil
			}),
		calc.New("mix.within_test", "scatter between cylinders of one sample", string(sources.ControlChart),
			func(in struct {
				Ranges    []quantity.Stress `says:"range of each sample"`
				Cylinders int               `says:"cylinders per sample" default:"2"`
				Mean      quantity.Stress   `says:"mean strength"`
			}) (out struct {
				Deviation quantity.Stress
				Variation quantity.Percent
			}, err error) {
				s, share, err := WithinTest(bare(in.Ranges), in.Cylinders, in.Mean)
				out.Deviation, out.Variation = quantity.Stress(s), quantity.Percent(share)
				return out, err
			}),
		calc.New("mix.control_grade", "standard of control of an overall deviation", string(sources.ACI214Control),
			func(in struct {
				Deviation quantity.Stress `says:"standard deviation" range:">= 0"`
			}) (out struct {
				Grade string `says:"excellent, very good, good, fair or poor"`
			}, err error) {
				out.Grade = ControlGrade(in.Deviation)
				return out, nil
			}),
		calc.New("mix.test_count", "strength tests a class of concrete needs", string(sources.ACI318Accept),
			func(in struct {
				Edition string `says:"us or si" default:"us"`
				Days    int    `default:"1"`
				Volume  quantity.Volume
				Area    quantity.Area
			}) (out struct{ Tests int }, err error) {
				t, _, err := edition(in.Edition)
				if err == nil {
					out.Tests = t.TestCount(in.Days, in.Volume, in.Area)
				}
				return out, err
			}),
		calc.New("mix.cores_pass", "cores of a low test, judged", string(sources.ACI318Cores),
			func(in struct {
				Cores     []quantity.Stress
				Specified quantity.Stress
			}) (out struct{ Pass bool }, err error) {
				out.Pass, err = CoresPass(bare(in.Cores), in.Specified)
				return out, err
			}),
	}
}

func bare(list []quantity.Stress) []float64 {
	out := make([]float64, len(list))
	for i, s := range list {
		out[i] = float64(s)
	}
	return out
}

func failures(pass []bool) int {
	n := 0
	for _, ok := range pass {
		if !ok {
			n++
		}
	}
	return n
}

func orElse(err, other error) error {
	if err != nil {
		return err
	}
	return other
}

func freshCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.unit_weight", "density of fresh concrete from a filled measure", string(sources.ASTMC138),
			func(in struct {
				Full    quantity.Mass   `says:"measure and concrete"`
				Empty   quantity.Mass   `says:"measure"`
				Measure quantity.Volume `says:"volume of the measure"`
			}) (out struct{ Density quantity.Density }, err error) {
				if !(in.Measure > 0) || in.Full <= in.Empty {
					return out, fmt.Errorf("a full measure weighs more than the empty one and holds more than nothing")
				}
				out.Density = UnitWeight(in.Full, in.Empty, in.Measure)
				return out, nil
			}),
		calc.New("mix.yield", "what a load makes", string(sources.ASTMC138),
			func(in struct {
				Batch   quantity.Mass    `says:"all that went into the drum"`
				Cement  quantity.Mass    `says:"cementitious in the drum" default:"0"`
				Density quantity.Density `says:"measured unit weight"`
				Ordered quantity.Volume
			}) (out struct {
				Volume   quantity.Volume
				Relative quantity.Ratio   `says:"made over ordered"`
				Cement   quantity.Density `says:"per volume made"`
			}, err error) {
				if !(in.Density > 0 && in.Ordered > 0 && in.Batch > 0) {
					return out, fmt.Errorf("masses, density and volume are above zero")
				}
				y := YieldOf(in.Batch, in.Cement, in.Density, in.Ordered)
				out.Volume, out.Relative, out.Cement = y.Volume, quantity.Ratio(y.Relative), y.Cement
				return out, nil
			}),
		calc.New("mix.gravimetric_air", "air from the measured and the air-free density", string(sources.ASTMC138),
			func(in struct {
				Edition   string             `says:"density of water: us 62.4 lb/ft3, si 1000 kg/m3" default:"us"`
				Masses    []quantity.Density `says:"mass of each part per volume"`
				Gravities []quantity.Ratio   `says:"relative density of each part"`
				Density   quantity.Density   `says:"measured unit weight"`
			}) (out struct {
				AirFree quantity.Density
				Air     quantity.Percent
			}, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				masses, gravities := make([]float64, len(in.Masses)), make([]float64, len(in.Gravities))
				for i, m := range in.Masses {
					masses[i] = float64(m)
				}
				for i, g := range in.Gravities {
					gravities[i] = float64(g)
				}
				free, air, err := t.GravimetricAir(masses, gravities, in.Density)
				out.AirFree, out.Air = free, quantity.Percent(air)
				return out, err
			}),
		calc.New("mix.site_water", "water that may still be added to a load", string(sources.C94SiteWater),
			func(in struct {
				Limit        quantity.Ratio   `says:"most w/cm allowed" range:"> 0"`
				Cementitious quantity.Density `says:"per volume" range:"> 0"`
				Batched      quantity.Density `says:"water batched, free moisture in it, per volume" range:">= 0"`
				Load         quantity.Volume  `range:"> 0"`
			}) (out struct {
				Water quantity.Volume `says:"at 8.345 lb a gallon"`
				Mass  quantity.Mass
			}, err error) {
				out.Mass = fresh.SiteWater(float64(in.Limit), in.Cementitious, in.Batched, in.Load)
				out.Water = fresh.WaterVolume(out.Mass)
				return out, nil
			}),
		calc.New("mix.added_water", "what water added at the truck does", string(sources.ACI211Tables),
			func(in struct {
				Edition      string           `says:"us or si" default:"us"`
				Added        quantity.Density `says:"water added per volume, in gal/yd3 at 8.345 lb a gallon" range:">= 0"`
				Cementitious quantity.Density `says:"per volume" range:"> 0"`
				WaterCement  quantity.Ratio   `says:"w/cm before" range:"> 0"`
				Entrained    bool             `default:"true"`
			}) (out struct {
				Rise     quantity.Ratio   `says:"of w/cm"`
				Ratio    quantity.Ratio   `says:"w/cm after"`
				Strength quantity.Stress  `says:"change of the average strength"`
				Growth   quantity.Percent `says:"of the volume"`
				Slump    quantity.Length  `says:"about, by the rule of 1 in per gal/yd3"`
				Volume   quantity.Volume  `says:"water added to one cubic metre"`
			}, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				if !(in.Cementitious > 0) {
					return out, fmt.Errorf("the binder is above zero")
				}
				a := t.AddWater(in.Added, in.Cementitious, float64(in.WaterCement), in.Entrained)
				if !a.Inside {
					return out, fmt.Errorf("w/cm %.3f to %.3f leaves the table of strengths; use a trial batch or the plant's record", float64(in.WaterCement), a.Ratio)
				}
				out.Rise, out.Ratio, out.Strength = quantity.Ratio(a.Rise), quantity.Ratio(a.Ratio), a.Strength
				out.Growth, out.Slump, out.Volume = quantity.Percent(a.Volume), a.Slump, quantity.Volume(a.Volume)
				return out, nil
			}),
		calc.New("mix.air_effect", "strength with more air than reckoned, 5 % per point", string(sources.CommonPractice),
			func(in struct {
				Strength quantity.Stress
				Points   float64 `unit:"%" says:"points of air more than reckoned: 2"`
			}) (out struct{ Strength quantity.Stress }, err error) {
				out.Strength = AirEffect(in.Strength, in.Points)
				return out, nil
			}),
		calc.New("mix.water_need", "mixing water for another slump and temperature", string(sources.USBRWater),
			func(in struct {
				Water  quantity.Density  `range:"> 0"`
				Slump  quantity.Length   `says:"change of slump" default:"0"`
				Warmer quantity.TempDiff `says:"change of concrete temperature" default:"0"`
			}) (out struct{ Water quantity.Density }, err error) {
				out.Water = WaterNeed(in.Water, in.Slump, in.Warmer)
				return out, nil
			}),
		calc.New("mix.slump_tolerance", "slump accepted at the chute", string(sources.C94Slump),
			func(in struct {
				Edition  string          `says:"us or si" default:"us"`
				Ordered  quantity.Length `says:"slump ordered"`
				Maximum  bool            `says:"ordered as a maximum, not as nominal" default:"false"`
				Measured quantity.Length `says:"slump measured" default:"0"`
			}) (out struct {
				Low      quantity.Length
				High     quantity.Length
				Accepted bool
			}, err error) {
				_, system, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				out.Low, out.High = fresh.SlumpRange(system, in.Ordered, in.Maximum)
				out.Accepted = in.Measured >= out.Low-1e-9 && in.Measured <= out.High+1e-9
				return out, nil
			}),
		calc.New("mix.air_accepted", "is measured air within the tolerance of the order", string(sources.C94Air),
			func(in struct {
				Ordered  quantity.Percent `range:"0..0.2"`
				Measured quantity.Percent `range:"0..0.2"`
			}) (out struct{ Accepted bool }, err error) {
				out.Accepted = fresh.AirAccepted(in.Ordered, in.Measured)
				return out, nil
			}),
		calc.New("mix.least_temperature", "coldest the concrete may come", string(sources.C94Cold),
			func(in struct {
				Edition  string          `says:"us or si" default:"us"`
				Section  quantity.Length `says:"least dimension of the pour"`
				Measured quantity.Temp   `says:"concrete temperature" default:"20"`
			}) (out struct {
				Least    quantity.Temp
				Accepted bool `says:"neither too cold nor above 95 °F (35 °C)"`
			}, err error) {
				_, system, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				out.Least = fresh.LeastTemperature(system, in.Section)
				out.Accepted = in.Measured >= out.Least && in.Measured <= fresh.HottestAllowed
				return out, nil
			}),
	}
}

func ageCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.strength_at_age", "strength at an age, as a share of the 28-day strength", string(sources.ACI209Age),
			func(in struct {
				Cement string        `says:"I, III, I steam, III steam (ACI 209) or R, N, S (EN 1992)"`
				Age    quantity.Time `says:"age at 20 °C"`
			}) (out struct{ Share quantity.Ratio }, err error) {
				share, err := StrengthShare(in.Cement, in.Age)
				out.Share = quantity.Ratio(share)
				return out, err
			}),
		calc.New("mix.age_at_strength", "age at which a share of the 28-day strength is reached", string(sources.ACI209Age),
			func(in struct {
				Cement string         `says:"I, III, I steam, III steam (ACI 209) or R, N, S (EN 1992)"`
				Share  quantity.Ratio `says:"of the 28-day strength"`
			}) (out struct{ Age quantity.Time }, err error) {
				out.Age, err = AgeAt(in.Cement, float64(in.Share))
				return out, err
			}),
		calc.New("mix.strength_from_early_test", "28-day strength from a test at another age", string(sources.ACI209Age),
			func(in struct {
				Cement string          `says:"I, III, I steam, III steam (ACI 209) or R, N, S (EN 1992)"`
				Age    quantity.Time   `says:"age of the test" range:"> 0"`
				Test   quantity.Stress `says:"strength measured" range:">= 0"`
			}) (out struct {
				Strength quantity.Stress `says:"f28 of the curve"`
			}, err error) {
				share, err := StrengthShare(in.Cement, in.Age)
				if err == nil && share < 1e-3 {
					return out, errors.New("at that age the curve has no strength yet")
				}
				if err == nil {
					out.Strength = in.Test / quantity.Stress(share)
				}
				return out, err
			}),
		calc.New("mix.flexural_strength", "modulus of rupture by the three US rules", string(sources.RuptureModulus),
			func(in struct {
				Strength quantity.Stress `says:"f'c" range:">= 0"`
			}) (out struct {
				Design       quantity.Stress `says:"7.5 √f'c"`
				Typical      quantity.Stress `says:"9 √f'c"`
				Power        quantity.Stress `says:"2.3 f'c^(2/3)"`
				ForThickness quantity.Stress `says:"smaller of the last two"`
			}, err error) {
				if !(in.Strength > 0) {
					return out, fmt.Errorf("a strength is above zero")
				}
				out.Design, out.Typical, out.Power = Flexural(in.Strength)
				out.ForThickness = FlexuralForThickness(in.Strength)
				return out, nil
			}),
		calc.New("mix.flexural_strength_en", "axial and flexural tensile strength by EN 1992", string(sources.EN1992Flexural),
			func(in struct {
				Strength quantity.Stress `says:"fck, on cylinders"`
				Depth    quantity.Length `says:"depth of the slab"`
			}) (out struct {
				Axial    quantity.Stress `says:"fctm"`
				Flexural quantity.Stress
			}, err error) {
				if !(in.Strength > 0 && in.Strength <= quantity.MPa(50)) {
					return out, fmt.Errorf("the formula holds for fck above zero and up to 50 MPa")
				}
				out.Axial, out.Flexural = FlexuralEN(in.Strength, in.Depth)
				return out, nil
			}),
		calc.New("mix.fitted_strength", "planning estimate of strength from binder, water and age", string(sources.Yeh1998),
			func(in struct {
				Cement quantity.Density
				Slag   quantity.Density `default:"0"`
				FlyAsh quantity.Density `default:"0"`
				Water  quantity.Density
				Age    quantity.Time
				Growth string `says:"hyperbolic or en" default:"hyperbolic"`
			}) (out struct{ Strength quantity.Stress }, err error) {
				if in.Growth != "hyperbolic" && in.Growth != "en" {
					return out, fmt.Errorf("no growth %q; name hyperbolic or en", in.Growth)
				}
				out.Strength, err = FittedStrength(in.Cement, in.Slag, in.FlyAsh, in.Water, in.Age, in.Growth == "en")
				return out, err
			}),
	}
}
