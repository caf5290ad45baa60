package mix

import (
	_ "embed" // the table of check rows
	"errors"
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/fresh"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows of this package, as CSV.
func Checks() string { return checksCSV }

// Calculations are the formulas and tables of this package, callable by name.
func Calculations() []calc.Calculation {
	return slices.Concat(tableCalculations(), recipeCalculations(), exposureCalculations(), sackCalculations(),
		statisticsCalculations(), freshCalculations(), ageCalculations(), ruleCalculations(), labCalculations())
}

// edition reads a calculation's edition port.
func edition(name string) (Tables, quantity.System, error) {
	switch strings.ToLower(name) {
	case "us":
		return usTables, quantity.US, nil
	case "si":
		return siTables, quantity.Metric, nil
	}
	return Tables{}, quantity.US, fmt.Errorf("no edition %q; name us or si", name)
}

func tableCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.water_content", "mixing water and air from the tables", string(sources.ACI211Tables),
			func(in struct {
				Edition string          `says:"us or si table" default:"us"`
				Stone   quantity.Length `says:"nominal maximum size"`
				Slump   quantity.Length `says:"slump"`
				Frost   string          `says:"none, mild is not kept, moderate or severe; not none means air-entrained" default:"none"`
			}) (out struct {
				Water quantity.Density `says:"mixing water"`
				Air   quantity.Percent `says:"trapped or recommended air"`
			}, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				frost, ok := map[string]Frost{"none": NoFrost, "moderate": Moderate, "severe": Severe}[in.Frost]
				if !ok {
					return out, fmt.Errorf("no frost grade %q; name none, moderate or severe", in.Frost)
				}
				if out.Air, err = t.Air(in.Stone, frost); err != nil {
					return out, err
				}
				out.Water, _, err = t.Water(in.Stone, in.Slump, frost != NoFrost)
				return out, err
			}),
		calc.New("mix.average_strength", "average 28-day strength at a water/cementitious ratio, by the table", string(sources.ACI211Tables),
			func(in struct {
				Edition     string         `says:"us or si table" default:"us"`
				WaterCement quantity.Ratio `says:"water over cementitious, by mass"`
				Entrained   bool           `says:"air-entrained" default:"true"`
			}) (out struct{ Average quantity.Stress }, err error) {
				t, _, err := edition(in.Edition)
				if err == nil {
					out.Average, err = t.AverageStrength(float64(in.WaterCement), in.Entrained)
				}
				return out, err
			}),
		calc.New("mix.water_cement", "water/cementitious ratio for an average strength, by the table", string(sources.ACI211Tables),
			func(in struct {
				Edition   string          `says:"us or si table" default:"us"`
				Average   quantity.Stress `says:"average strength aimed at"`
				Entrained bool            `says:"air-entrained" default:"true"`
			}) (out struct{ WaterCement quantity.Ratio }, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				ratio, err := t.WaterCement(in.Average, in.Entrained)
				out.WaterCement = quantity.Ratio(ratio)
				return out, err
			}),
		calc.New("mix.coarse_share", "dry-rodded volume of coarse aggregate per volume of concrete", string(sources.ACI211Tables),
			func(in struct {
				Edition  string          `says:"us or si table" default:"us"`
				Stone    quantity.Length `says:"nominal maximum size"`
				Fineness quantity.Ratio  `says:"fineness modulus of the sand"`
			}) (out struct{ Share quantity.Ratio }, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				share, err := t.CoarseShare(in.Stone, float64(in.Fineness))
				out.Share = quantity.Ratio(share)
				return out, err
			}),
		calc.New("mix.fresh_density_table", "estimated density of fresh concrete, by the table", string(sources.ACI211Weight),
			func(in struct {
				Edition   string          `says:"us or si table" default:"us"`
				Stone     quantity.Length `says:"nominal maximum size"`
				Entrained bool            `says:"air-entrained" default:"true"`
			}) (out struct{ Density quantity.Density }, err error) {
				t, _, err := edition(in.Edition)
				if err == nil {
					out.Density, err = t.FreshDensity(in.Stone, in.Entrained)
				}
				return out, err
			}),
		calc.New("mix.fresh_density", "estimated density of fresh concrete, by equation", string(sources.ACI211Weight),
			func(in struct {
				Edition       string           `says:"us or si form" default:"us"`
				Gravity       quantity.Ratio   `says:"mean relative density of the aggregates"`
				Air           quantity.Percent `says:"air"`
				Cement        quantity.Density `says:"cement per volume"`
				Water         quantity.Density `says:"water per volume"`
				CementGravity quantity.Ratio   `says:"relative density of the cement" default:"3.15"`
			}) (out struct{ Density quantity.Density }, err error) {
				if !(in.Gravity > 1 && in.CementGravity > 1) {
					return out, errors.New("relative densities are above 1")
				}
				t, _, err := edition(in.Edition)
				out.Density = t.FreshDensityEstimate(float64(in.Gravity), float64(in.Air), float64(in.CementGravity), in.Cement, in.Water)
				return out, err
			}),
	}
}

func recipeCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.proportion", "trial recipe by absolute volume, with the weight method beside it", string(sources.ACI211Tables), runProportion),
		calc.New("mix.moisture", "batch masses after the moisture of the aggregates", string(sources.ACI211Tables),
			func(in struct {
				Basis            string           `says:"recipe masses counted dry or ssd" default:"dry"`
				Water            quantity.Density `says:"mixing water" range:">= 0"`
				Coarse           quantity.Density `says:"stone of the recipe" range:">= 0"`
				Sand             quantity.Density `says:"sand of the recipe" range:">= 0"`
				Binder           quantity.Density `says:"cementitious of the recipe, for the total" default:"0" range:">= 0"`
				CoarseMoisture   quantity.Percent `says:"total moisture of the stone" range:"0..0.15"`
				CoarseAbsorption quantity.Percent `says:"absorption of the stone" range:"0..0.15"`
				SandMoisture     quantity.Percent `says:"total moisture of the sand" range:"0..0.15"`
				SandAbsorption   quantity.Percent `says:"absorption of the sand" range:"0..0.15"`
			}) (out struct {
				Coarse   quantity.Density `says:"stone to weigh"`
				Sand     quantity.Density `says:"sand to weigh"`
				Water    quantity.Density `says:"water to add"`
				Absorbed quantity.Density `says:"water inside the aggregates"`
				Total    quantity.Density `says:"all that goes into the drum"`
			}, err error) {
				b, err := BatchMasses(Basis(in.Basis), in.Water, Aggregate{in.Coarse, float64(in.CoarseMoisture), float64(in.CoarseAbsorption)},
					Aggregate{in.Sand, float64(in.SandMoisture), float64(in.SandAbsorption)})
				out.Coarse, out.Sand, out.Water, out.Absorbed = b.Coarse, b.Sand, b.Water, b.Absorbed
				out.Total = b.Coarse + b.Sand + b.Water + in.Binder
				return out, err
			}),
		calc.New("mix.fly_ash_volume_share", "share of fly ash by volume from its share by mass", string(sources.ACI211FlyAsh),
			func(in struct {
				MassShare quantity.Percent `says:"fly ash, share of the binder's mass"`
				Gravity   quantity.Ratio   `says:"relative density of the fly ash" default:"2.40"`
			}) (out struct{ VolumeShare quantity.Ratio }, err error) {
				out.VolumeShare = quantity.Ratio(VolumeShare(float64(in.MassShare), float64(in.Gravity)))
				return out, nil
			}),
		calc.New("mix.equivalent_ratio", "water over cement and pozzolan at equal paste volume", string(sources.ACI211FlyAsh),
			func(in struct {
				WaterCement quantity.Ratio `says:"water/cement of the plain mix"`
				VolumeShare quantity.Ratio `says:"fly ash, share of the binder's volume"`
				Gravity     quantity.Ratio `says:"relative density of the fly ash" default:"2.40"`
			}) (out struct{ WaterBinder quantity.Ratio }, err error) {
				if !(in.WaterCement > 0 && in.Gravity > 0 && in.VolumeShare >= 0 && in.VolumeShare < 1) {
					return out, errors.New("w/c and relative density are above zero, the share 0 to below 1")
				}
				out.WaterBinder = quantity.Ratio(EquivalentRatio(float64(in.WaterCement), float64(in.VolumeShare), float64(in.Gravity)))
				return out, nil
			}),
		calc.New("mix.supplementary_limits", "do fly ash, slag and silica fume keep the limits where it freezes with deicers", string(sources.ACI318Binders),
			func(in struct {
				FlyAsh     quantity.Percent `says:"share of the binder" default:"0"`
				Slag       quantity.Percent `says:"share of the binder" default:"0"`
				SilicaFume quantity.Percent `says:"share of the binder" default:"0"`
			}) (out struct {
				Allowed bool
				Over    []string `says:"limits broken"`
			}, err error) {
				out.Over = OverBinderLimits(float64(in.FlyAsh), float64(in.Slag), float64(in.SilicaFume))
				out.Allowed = len(out.Over) == 0
				return out, nil
			}),
	}
}

type proportionPorts struct {
	Edition        string           `says:"us or si tables" default:"us"`
	Stone          quantity.Length  `says:"nominal maximum size"`
	Entrained      bool             `says:"air-entrained, for the weight method" default:"true"`
	Water          quantity.Density `says:"mixing water"`
	WaterReduction quantity.Percent `says:"water saved by admixture or fly ash" default:"0"`
	WaterCement    quantity.Ratio   `says:"water over cementitious, by mass"`
	Air            quantity.Percent `says:"air"`
	Fineness       quantity.Ratio   `says:"fineness modulus of the sand"`
	Rodded         quantity.Density `says:"dry-rodded density of the stone"`
	CementGravity  quantity.Ratio   `default:"3.15"`
	CoarseGravity  quantity.Ratio   `says:"relative density of the stone"`
	SandGravity    quantity.Ratio   `says:"relative density of the sand"`
	FlyAsh         quantity.Percent `says:"share of the binder" default:"0"`
	AshGravity     quantity.Ratio   `default:"2.40"`
	Slag           quantity.Percent `says:"share of the binder" default:"0"`
	SlagGravity    quantity.Ratio   `default:"2.90"`
	SilicaFume     quantity.Percent `says:"share of the binder" default:"0"`
	FumeGravity    quantity.Ratio   `default:"2.20"`
}

type recipePorts struct {
	Cementitious quantity.Density
	Cement       quantity.Density `says:"Portland cement"`
	FlyAsh       quantity.Density
	Slag         quantity.Density
	SilicaFume   quantity.Density
	Water        quantity.Density
	Coarse       quantity.Density `says:"stone, dry-rodded share times its density"`
	Sand         quantity.Density `says:"sand by absolute volume"`
	SandByWeight quantity.Density `says:"sand by the weight method; 0 where its table ends"`
	Density      quantity.Density `says:"fresh concrete"`
	BinderVolume quantity.Volume  `says:"in one cubic yard (us) or cubic metre (si)"`
	WaterVolume  quantity.Volume
	CoarseVolume quantity.Volume
	AirVolume    quantity.Volume
	SandVolume   quantity.Volume
}

func runProportion(in proportionPorts) (out recipePorts, err error) {
	t, system, err := edition(in.Edition)
	if err != nil {
		return out, err
	}
	if !(in.WaterCement > 0) || !(in.CementGravity > 0 && in.CoarseGravity > 0 && in.SandGravity > 0) {
		return out, fmt.Errorf("w/cm and relative densities are above zero")
	}
	share, err := t.CoarseShare(in.Stone, float64(in.Fineness))
	if err != nil {
		return out, err
	}
	r, err := t.Proportion(Proportions{Water: in.Water * quantity.Density(1-in.WaterReduction), WaterCement: float64(in.WaterCement),
		FlyAsh: float64(in.FlyAsh), Slag: float64(in.Slag), SilicaFume: float64(in.SilicaFume), CoarseShare: share, Rodded: in.Rodded, Air: float64(in.Air),
		CementGravity: float64(in.CementGravity), AshGravity: float64(in.AshGravity), SlagGravity: float64(in.SlagGravity), FumeGravity: float64(in.FumeGravity),
		CoarseGravity: float64(in.CoarseGravity), SandGravity: float64(in.SandGravity)})
	if err != nil {
		return out, err
	}
	unit := quantity.CubicYards(1)
	if system == quantity.Metric {
		unit = 1
	}
	part := func(share float64) quantity.Volume { return quantity.Volume(share) * unit }
	out = recipePorts{Cementitious: r.Cementitious, Cement: r.Cement, FlyAsh: r.FlyAsh, Slag: r.Slag, SilicaFume: r.SilicaFume, Water: r.Water,
		Coarse: r.Coarse, Sand: r.Sand, Density: r.Density, BinderVolume: part(r.Shares.Binder), WaterVolume: part(r.Shares.Water),
		CoarseVolume: part(r.Shares.Coarse), AirVolume: part(r.Shares.Air), SandVolume: part(r.Shares.Sand)}
	if fresh, err := t.FreshDensity(in.Stone, in.Entrained); err == nil {
		out.SandByWeight = WeightSand(fresh, r)
	}
	return out, nil
}

func exposureCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.exposure_class", "limits of one exposure class of one edition", string(sources.ACI318Exposure),
			func(in struct {
				Code  string `says:"ACI 318-19, ACI 332-20, ACI 332-14, IBC 2021 or IRC R402.2"`
				Class string `says:"class as the edition names it"`
			}) (out struct {
				WaterCement quantity.Ratio  `says:"most allowed; 0: no limit"`
				Strength    quantity.Stress `says:"least, as printed in psi"`
				StrengthSi  quantity.Stress `says:"least, as printed in MPa"`
			}, err error) {
				c, err := ClassOf(in.Code, in.Class)
				out.WaterCement, out.Strength, out.StrengthSi = quantity.Ratio(c.WaterCement), c.Strength(quantity.US), c.Strength(quantity.Metric)
				return out, err
			}),
		calc.New("mix.governing_exposure", "strength, w/cm and air an exposure asks together, with the class that governs each", string(sources.ACI332Exterior),
			func(in struct {
				Edition    string          `says:"us or si values" default:"us"`
				Code       string          `says:"edition of the code" default:"ACI 332-20"`
				Freezing   bool            `default:"true"`
				Deicers    bool            `default:"true"`
				Vehicles   bool            `default:"true"`
				Structural bool            `says:"carries the building" default:"false"`
				Reinforced bool            `says:"structural steel" default:"false"`
				Sulphate   string          `says:"S0 to S3" default:"S0"`
				Weathering string          `says:"zone for the IRC" default:"\"\""`
				Stone      quantity.Length `says:"nominal maximum size"`
			}) (out struct {
				Strength      quantity.Stress
				WaterCement   quantity.Ratio `says:"most allowed; 0: no limit"`
				Air           quantity.Percent
				AirTolerance  quantity.Percent
				StrengthBy    string   `says:"class that governs the strength"`
				WaterCementBy string   `says:"class that governs it"`
				Classes       []string `says:"that apply"`
			}, err error) {
				t, system, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				applying, err := Exposure{in.Code, in.Freezing, in.Deicers, in.Vehicles, in.Structural, in.Reinforced, in.Sulphate, in.Weathering}.Applying()
				if err != nil {
					return out, err
				}
				for _, c := range applying {
					out.Classes = append(out.Classes, title(c))
				}
				r := Govern(applying, system)
				out.Strength, out.WaterCement, out.AirTolerance = r.Strength, quantity.Ratio(r.WaterCement), fresh.AirTolerance
				out.StrengthBy, out.WaterCementBy = title(r.StrengthBy), r.WaterCementBy.Code+" "+r.WaterCementBy.Name
				out.Air, err = t.Air(in.Stone, r.Frost)
				return out, err
			}),
		calc.New("mix.weathering_index", "weathering zone from climate normals", string(sources.WeatheringIndex),
			func(in struct {
				FreezingDays quantity.Ratio  `says:"freezing-cycle days a year" range:">= 0"`
				WinterRain   quantity.Length `says:"winter rainfall" range:">= 0"`
			}) (out struct {
				Index quantity.Ratio `says:"days times inches"`
				Zone  string         `says:"negligible, moderate or severe"`
			}, err error) {
				i, zone := WeatheringZone(float64(in.FreezingDays), in.WinterRain)
				out.Index, out.Zone = quantity.Ratio(i), zone
				return out, nil
			}),
	}
}

func sackCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.sack_cement", "cementitious content of an n-sack mix, 94 lb a sack per cubic yard", string(sources.Definition),
			func(in struct {
				Sacks quantity.Ratio `says:"sacks per cubic yard" range:">= 0"`
			}) (out struct{ Cement quantity.Density }, err error) {
				out.Cement = SackContent(float64(in.Sacks))
				return out, nil
			}),
		calc.New("mix.sack_strength", "what a sack order reaches with the water given", string(sources.ACI211Tables),
			func(in struct {
				Edition   string           `says:"us or si tables" default:"us"`
				Sacks     quantity.Ratio   `says:"sacks per cubic yard" range:"> 0"`
				Water     quantity.Density `says:"mixing water" range:"> 0"`
				Entrained bool             `says:"air-entrained" default:"true"`
				Limit     quantity.Ratio   `says:"most w/cm allowed; 0: none" default:"0"`
			}) (out struct {
				WaterCement quantity.Ratio
				Average     quantity.Stress `says:"average at 28 days"`
				Specified   quantity.Stress `says:"f'c that may be promised without a record"`
				SacksNeeded quantity.Ratio  `says:"to reach the allowed w/cm"`
			}, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				if !(in.Sacks > 0) {
					return out, fmt.Errorf("a mix has more than zero sacks")
				}
				r := t.ReadSacks(SackContent(float64(in.Sacks)), in.Water, in.Entrained, float64(in.Limit))
				if r.Average == 0 {
					_, err = t.AverageStrength(r.WaterCement, in.Entrained)
				}
				out.WaterCement, out.Average, out.Specified, out.SacksNeeded = quantity.Ratio(r.WaterCement), r.Average, r.Specified, quantity.Ratio(r.SacksNeeded)
				return out, err
			}),
	}
}
