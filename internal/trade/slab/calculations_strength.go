package slab

import (
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

func jointCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("slab.load_transfer", "ratio of the deflections across a joint from its stiffness", string(sources.LoadTransferCurve),
			func(in struct {
				R quantity.Ratio `says:"joint stiffness over k l"`
			}) (out struct {
				LTE quantity.Ratio `name:"lte" says:"unloaded over loaded deflection"`
			}, err error) {
				out.LTE = quantity.Ratio(loadTransfer(float64(in.R)))
				return out, errorIf(in.R < 0, "slab: joint stiffness is not negative")
			}),
		calc.New("slab.load_transfer_ratio", "load transfer from the deflections measured on both sides of a joint", string(sources.LoadTransferRatio),
			func(in struct {
				Loaded   quantity.Length `says:"deflection of the loaded side"`
				Unloaded quantity.Length `says:"deflection of the other side"`
			}) (out struct {
				LTE   quantity.Ratio `name:"lte" says:"unloaded over loaded"`
				Share quantity.Ratio `name:"lte_of_sum" says:"twice the unloaded over the sum"`
			}, err error) {
				if err := positive(in.Loaded.Metres()); err != nil || in.Unloaded < 0 {
					return out, firstError(err, errorIf(in.Unloaded < 0, "slab: a deflection is not negative here"))
				}
				out.LTE = quantity.Ratio(in.Unloaded / in.Loaded)
				out.Share = quantity.Ratio(2 * in.Unloaded / (in.Loaded + in.Unloaded))
				return out, nil
			}),
		calc.New("slab.joint_stiffness", "joint stiffness over k l from the load transfer", string(sources.LoadTransferCurve),
			func(in struct {
				LTE quantity.Ratio `name:"lte" says:"unloaded over loaded deflection"`
			}) (out struct {
				R quantity.Ratio `says:"joint stiffness over k l"`
			}, err error) {
				if in.LTE < 0 || in.LTE > mostTransfer {
					return out, errors.New("slab: load transfer is from 0 to 0.99")
				}
				out.R = quantity.Ratio(jointStiffness(float64(in.LTE)))
				return out, nil
			}),
		calc.New("slab.interlock", "joint stiffness over k l of a crack without bars, by its opening", string(sources.LoadTransferCurve),
			func(in struct {
				Opening quantity.Length `says:"how far the crack is open"`
			}) (out struct {
				R quantity.Ratio `says:"joint stiffness over k l"`
			}, err error) {
				if in.Opening.Metres() > interlockLost {
					return out, errors.New("slab: past 1 mm interlock is lost; use a free edge")
				}
				out.R = quantity.Ratio(interlockStiffness(in.Opening.Metres()))
				return out, errorIf(in.Opening < 0, "slab: a crack does not open backwards")
			}),
		calc.New("slab.dowel_stiffness", "shear stiffness of a dowelled joint", string(sources.Dowels),
			func(in struct {
				Diameter quantity.Length          `says:"of a dowel"`
				Spacing  quantity.Length          `says:"of the dowels"`
				Opening  quantity.Length          `says:"of the joint" default:"0"`
				Support  quantity.SubgradeModulus `says:"dowel support" default:"407e9"`
				Steel    quantity.Stress          `says:"modulus of the steel" default:"200e9"`
			}) (out struct {
				Joint float64 `name:"stiffness" says:"per length of joint" unit:"N/m2"`
				Bar   float64 `name:"bar_stiffness" says:"one dowel in its bed, newtons per metre" unit:"1"`
			}, err error) {
				if err := positive(in.Diameter.Metres(), in.Spacing.Metres(), float64(in.Support), float64(in.Steel)); err != nil || in.Opening < 0 {
					return out, firstError(err, errorIf(in.Opening < 0, "slab: a joint does not open backwards"))
				}
				b := dowelBar{in.Diameter.Metres(), in.Spacing.Metres(), float64(in.Steel), float64(in.Support)}
				out.Joint, out.Bar = b.stiffness(in.Opening.Metres())
				return out, nil
			}),
	}
}

func strengthCalculations() []calc.Calculation {
	return append(fatigueCalculations(), standingCalculations()...)
}

func fatigueCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("slab.use_safety", "safety factor on the modulus of rupture under wheels, by how often they come", string(sources.ACI360Factors),
			func(in struct {
				Passes quantity.Frequency `says:"times it drives on or off"`
			}) (out struct {
				Safety quantity.Ratio `name:"safety" says:"1.4 up to once a week, 1.7 once a day, 2 from ten times a day"`
			}, err error) {
				if in.Passes < 0 {
					return out, errors.New("slab: passes are not negative")
				}
				out.Safety = quantity.Ratio(useSafety(perWeek(in.Passes)))
				return out, nil
			}),
		calc.New("slab.fatigue_use", "factor by which stresses stand above those that just last", string(sources.PCAStreets),
			func(in struct {
				Passes []quantity.Ratio `says:"passes at each stress ratio"`
				Ratios []quantity.Ratio `name:"stress_ratios" says:"stress ratios"`
			}) (out struct {
				Use quantity.Ratio `says:"1 when the Miner sum is 1"`
			}, err error) {
				blocks, err := blocksOf(in.Passes, in.Ratios)
				out.Use = quantity.Ratio(fatigueUse(blocks))
				return out, err
			}),
		calc.New("slab.fatigue_passes", "passes at a stress ratio that crack a slab", string(sources.PCAStreets),
			func(in struct {
				SR quantity.Ratio `name:"stress_ratio" says:"stress over modulus of rupture"`
			}) (out struct {
				N         quantity.Ratio `name:"passes" says:"passes; 0 when unlimited"`
				Unlimited bool           `says:"no number of passes cracks it"`
			}, err error) {
				n, unlimited := fatiguePasses(float64(in.SR))
				out.N, out.Unlimited = quantity.Ratio(n), unlimited
				return out, errorIf(in.SR < 0, "slab: a stress ratio is not negative")
			}),
		calc.New("slab.miner_sum", "share of its life that a slab has used", string(sources.PCAStreets),
			func(in struct {
				Passes []quantity.Ratio `says:"passes at each stress ratio"`
				Ratios []quantity.Ratio `name:"stress_ratios" says:"stress ratios"`
			}) (out struct {
				Damage quantity.Ratio `says:"Σ n/N; used up at 1"`
			}, err error) {
				blocks, err := blocksOf(in.Passes, in.Ratios)
				out.Damage = quantity.Ratio(minerSum(blocks))
				return out, err
			}),
	}
}

func blocksOf(passes, ratios []quantity.Ratio) ([]block, error) {
	if len(passes) != len(ratios) {
		return nil, errors.New("slab: as many stress ratios as passes are needed")
	}
	var blocks []block
	for i, n := range passes {
		if !(n >= 0 && ratios[i] >= 0) {
			return nil, errors.New("slab: passes and stress ratios are not negative")
		}
		blocks = append(blocks, block{float64(n), float64(ratios[i])})
	}
	return blocks, nil
}

func standingCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("slab.contact", "print of a tyre from its load and pressure", string(sources.PCATyre),
			func(in struct {
				P        quantity.Force  `says:"load"`
				Pressure quantity.Stress `says:"tyre pressure"`
			}) (out struct {
				Area   quantity.Area   `says:"P/p"`
				Radius quantity.Length `says:"of the disc of that area"`
				Length quantity.Length `says:"of the rectangle 0.8712 L by 0.6 L"`
				Width  quantity.Length
			}, err error) {
				if err := positive(float64(in.P), float64(in.Pressure)); err != nil {
					return out, errors.New("slab: at no pressure the contact radius is infinite, and at no load there is none")
				}
				length, width := tyrePrint(float64(in.P), float64(in.Pressure))
				out.Area, out.Radius = quantity.Area(float64(in.P)/float64(in.Pressure)), quantity.Length(contactRadius(float64(in.P), float64(in.Pressure)))
				out.Length, out.Width = quantity.Length(length), quantity.Length(width)
				return out, nil
			}),
		calc.New("slab.punching", "plate breaking through a plain slab", string(sources.ACI318Plain),
			func(in struct {
				Side   quantity.Length `says:"short side of the plate"`
				Aspect quantity.Ratio  `says:"long side over short" default:"1"`
				H      quantity.Length `says:"thickness"`
				FC     quantity.Stress `name:"fc" says:"f'c"`
			}) (out struct {
				Depth     quantity.Length `name:"effective_depth" says:"h − 50 mm"`
				Perimeter quantity.Length
				Nominal   quantity.Force `says:"V_n"`
				Reduced   quantity.Force `says:"φV_n, φ 0.60"`
			}, err error) {
				if err := positive(in.Side.Metres(), in.H.Metres(), float64(in.FC), float64(in.Aspect)); err != nil || in.Aspect < 1 {
					return out, firstError(err, errorIf(in.Aspect < 1, "slab: the aspect is long over short, 1 or more"))
				}
				p := punchingStrength(float64(in.FC), in.Side.Metres(), float64(in.Aspect), in.H.Metres())
				out.Depth, out.Perimeter = quantity.Length(p.Depth), quantity.Length(p.Perimeter)
				out.Nominal, out.Reduced = quantity.Force(p.Nominal), quantity.Force(p.Reduced)
				return out, nil
			}),
		calc.New("slab.bearing", "concrete crushed under a square plate", string(sources.ACI318Plain),
			func(in struct {
				Side quantity.Length `says:"side of the plate"`
				FC   quantity.Stress `name:"fc" says:"f'c"`
			}) (out struct {
				Reduced quantity.Force `says:"φ 0.85 f'c A, φ 0.60"`
			}, err error) {
				if err := positive(in.Side.Metres(), float64(in.FC)); err != nil {
					return out, err
				}
				out.Reduced = quantity.Force(bearingStrength(float64(in.FC), in.Side.Metres()))
				return out, nil
			}),
		calc.New("slab.aisle_load", "uniform load allowed beside an unloaded aisle", string(sources.ArmyAisle),
			func(in struct {
				Allowed quantity.Stress          `name:"allowed_stress" says:"tension allowed in the aisle's top"`
				K       quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
				H       quantity.Length          `says:"thickness"`
				E       quantity.Stress          `says:"modulus of elasticity"`
			}) (out struct {
				Load quantity.Stress `says:"load per area"`
			}, err error) {
				if err := positive(float64(in.Allowed), float64(in.K), in.H.Metres(), float64(in.E)); err != nil {
					return out, err
				}
				out.Load = quantity.Stress(aisleLoad(float64(in.Allowed), float64(in.K), in.H.Metres(), float64(in.E)))
				return out, nil
			}),
	}
}
