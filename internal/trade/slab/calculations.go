package slab

import (
	_ "embed"
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/winkler"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows that this stage's calculations answer.
func Checks() string { return checksCSV }

// Calculations lists the stage's formulas, callable by name.
func Calculations() []calc.Calculation {
	var all []calc.Calculation
	for _, some := range [][]calc.Calculation{groundCalculations(), concreteCalculations(), wheelCalculations(), plateCalculations(), jointCalculations(), strengthCalculations()} {
		all = append(all, some...)
	}
	return all
}

// positive refuses what must be greater than zero.
func positive(values ...float64) error {
	for _, v := range values {
		if !(v > 0) {
			return errors.New("slab: every length, load, stress and stiffness must be greater than zero")
		}
	}
	return nil
}

func groundCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("slab.subgrade_unit", "a modulus of subgrade reaction in another unit", string(sources.Definition),
			func(in struct {
				K quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
			}) (out struct {
				K quantity.SubgradeModulus `says:"the same"`
			}, err error) {
				out.K = in.K
				return out, nil
			}),
		calc.New("slab.subgrade_from_cbr", "modulus of subgrade reaction of ground from its CBR", string(sources.FAACBR),
			func(in struct {
				CBR quantity.Ratio `name:"cbr" says:"California bearing ratio, percent"`
			}) (out struct {
				Packard quantity.SubgradeModulus `name:"k_power" says:"53.438 CBR^0.5719 pci"`
				FAA     quantity.SubgradeModulus `name:"k_second" says:"(1500 CBR/26)^0.7788 pci"`
				K       quantity.SubgradeModulus `says:"the lower, at most 300 pci"`
			}, err error) {
				if err := positive(float64(in.CBR)); err != nil {
					return out, err
				}
				packard, faa, k := SubgradeFromCBR(float64(in.CBR))
				out.Packard, out.FAA, out.K = quantity.SubgradeModulus(packard), quantity.SubgradeModulus(faa), quantity.SubgradeModulus(k)
				return out, nil
			}),
		calc.New("slab.cbr_from_cone", "CBR from a dynamic cone penetrometer", string(sources.ConePenetrometer),
			func(in struct {
				Penetration quantity.Length `says:"sink per blow"`
				Soil        string          `says:"CL, CH or other" default:"other"`
				Hammer      quantity.Mass   `says:"8 or 4.6 kg" default:"8"`
			}) (out struct {
				CBR quantity.Ratio `name:"cbr" says:"percent"`
			}, err error) {
				cbr, err := CBRFromCone(in.Penetration.Millimetres(), in.Soil, float64(in.Hammer))
				out.CBR = quantity.Ratio(cbr)
				return out, err
			}),
		calc.New("slab.soil_support", "modulus of subgrade reaction of a soil class", string(sources.ACI330Support),
			func(in struct {
				Soil string `says:"clay or silt, silty sand, sand and gravel, …"`
			}) (out struct {
				Low, High quantity.SubgradeModulus
			}, err error) {
				s, ok := findSoil(in.Soil)
				if !ok {
					return out, errors.New("slab: that soil is not in the table")
				}
				out.Low, out.High = quantity.SubgradeModulus(s.low*pci), quantity.SubgradeModulus(s.high*pci)
				return out, nil
			}),
		calc.New("slab.support_from_r_value", "modulus of subgrade reaction by the class of an R-value", string(sources.ACI330Support),
			func(in struct {
				R quantity.Ratio `name:"r_value" says:"R-value"`
			}) (out struct {
				K    quantity.SubgradeModulus `says:"low end of the class"`
				Soil string
			}, err error) {
				s := soilOfRValue(float64(in.R))
				out.K, out.Soil = quantity.SubgradeModulus(s.low*pci), s.name
				return out, nil
			}),
		baseCalculation("slab.composite_k_granular", "modulus of subgrade reaction on top of a granular base", granularBase),
		baseCalculation("slab.composite_k_cement_treated", "modulus of subgrade reaction on top of a cement-treated base", cementBase),
	}
}

func baseCalculation(name, says string, table baseTable) calc.Calculation {
	return calc.New(name, says, string(sources.PCAStreets),
		func(in struct {
			K         quantity.SubgradeModulus `says:"of the ground under it"`
			Thickness quantity.Length          `says:"of the base"`
		}) (out struct {
			K       quantity.SubgradeModulus `says:"on top of the base"`
			Clamped bool                     `says:"outside the table: its nearest value stands"`
		}, err error) {
			if err := positive(float64(in.K)); err != nil || in.Thickness < 0 {
				return out, firstError(err, errorIf(in.Thickness < 0, "slab: a base has no negative thickness"))
			}
			k, clamped := table.CompositeK(float64(in.K), in.Thickness.Metres())
			out.K, out.Clamped = quantity.SubgradeModulus(k), clamped
			return out, nil
		})
}

func errorIf(wrong bool, says string) error {
	if wrong {
		return errors.New(says)
	}
	return nil
}

func concreteCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("slab.modulus_of_rupture", "flexural strength from cylinder strength", string(sources.ACI318Rupture),
			func(in struct {
				FC     quantity.Stress `name:"fc" says:"f'c"`
				Factor quantity.Ratio  `says:"K in K√f'c, psi" default:"7.5"`
			}) (out struct {
				MR        quantity.Stress `name:"mr" says:"K√f'c, psi"`
				Metric    quantity.Stress `name:"mr_metric" says:"0.62√f'c, MPa"`
				TwoThirds quantity.Stress `name:"mr_two_thirds" says:"2.3 f'c^(2/3), psi"`
			}, err error) {
				if err := positive(float64(in.FC), float64(in.Factor)); err != nil {
					return out, err
				}
				fc := float64(in.FC)
				out.MR, out.Metric, out.TwoThirds = quantity.Stress(ruptureOf(fc, float64(in.Factor))), quantity.Stress(ruptureMetric(fc)), quantity.Stress(ruptureTwoThirds(fc))
				return out, nil
			}),
		calc.New("slab.modulus_of_elasticity", "modulus of elasticity from cylinder strength", string(sources.ACI318Modulus),
			func(in struct {
				FC quantity.Stress `name:"fc" says:"f'c"`
			}) (out struct {
				E      quantity.Stress `name:"e" says:"57 000√f'c, psi"`
				Metric quantity.Stress `name:"e_metric" says:"4700√f'c, MPa"`
			}, err error) {
				if err := positive(float64(in.FC)); err != nil {
					return out, err
				}
				out.E, out.Metric = quantity.Stress(elasticityOf(float64(in.FC))), quantity.Stress(elasticityMetric(float64(in.FC)))
				return out, nil
			}),
		calc.New("slab.age_factor", "share of the 28-day strength reached at an age", string(sources.ACI209Age),
			func(in struct {
				Age quantity.Time `says:"age of the concrete"`
			}) (out struct {
				Factor quantity.Ratio `says:"t/(4 + 0.85 t)"`
			}, err error) {
				if in.Age < 0 {
					return out, errors.New("slab: concrete has no negative age")
				}
				out.Factor = quantity.Ratio(ageFactor(in.Age))
				return out, nil
			}),
	}
}

// slabPorts are the inputs that describe a slab on its bed.
type slabPorts struct {
	E  quantity.Stress
	Nu quantity.Ratio
	H  quantity.Length
	K  quantity.SubgradeModulus
}

func (s slabPorts) plate() (winkler.Plate, error) {
	p := winkler.Plate{E: float64(s.E), H: s.H.Metres(), Nu: float64(s.Nu), K: float64(s.K)}
	if p.Nu < 0 || p.Nu >= 0.5 {
		return p, errors.New("slab: Poisson's ratio is from 0 to 0.5")
	}
	return p, positive(p.E, p.H, p.K)
}
