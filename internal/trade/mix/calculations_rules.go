package mix

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// ruleCalculations offers the small rules that a table may ask by themselves.
func ruleCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.largest_stone", "largest stone that fits slab, bars and forms", string(sources.ACI318Stone), largestStone),
		calc.New("mix.exposure_air", "air ordered where it freezes, by stone and strength", string(sources.ACI318Exposure), exposureAir),
		calc.New("mix.sulphate_class", "sulphate class of soil or ground water", string(sources.ACI318Exposure), sulphateCalculation),
		calc.New("mix.chloride_limit", "most water-soluble chloride of reinforced concrete", string(sources.ACI318Exposure), chlorideLimit),
		calc.New("mix.test_age_window", "how far from its age a cylinder may be broken", string(sources.CylinderAges), testAgeWindow),
	}
}

// largestStone is the least of a third of the slab, three quarters of the clear bar spacing and a fifth between forms.
func largestStone(in struct {
	Thickness quantity.Length
	Bars      quantity.Length `says:"clear between bars; 0: none" default:"0"`
	Forms     quantity.Length `says:"narrowest between forms; 0: not narrow" default:"0"`
}) (out struct {
	Largest quantity.Length
	By      string `says:"slab, bars or forms"`
}, err error) {
	if in.Thickness <= 0 || in.Bars < 0 || in.Forms < 0 {
		return out, errors.New("the thickness is above zero, spacings not below")
	}
	out.Largest, out.By = in.Thickness/3, "slab"
	if most := 0.75 * in.Bars; in.Bars > 0 && most < out.Largest {
		out.Largest, out.By = most, "bars"
	}
	if most := in.Forms / 5; in.Forms > 0 && most < out.Largest {
		out.Largest, out.By = most, "forms"
	}
	return out, nil
}

// airTolerance is how far air may lie from its target either way. Source: ACI 318-19, 19.3.3.1; ASTM C94.
const airTolerance = quantity.Percent(0.015)

func exposureAir(in struct {
	Edition  string          `says:"us or si form" default:"us"`
	Stone    quantity.Length `says:"nominal maximum size"`
	Class    string          `says:"F1, F2 or F3"`
	Strength quantity.Stress `says:"f'c; from 5000 psi one point less is allowed" default:"0"`
}) (out struct {
	Air       quantity.Percent
	Tolerance quantity.Percent
	Least     quantity.Percent `says:"with the point less that a strong concrete may have"`
}, err error) {
	t, system, err := edition(in.Edition)
	frost, ok := map[string]Frost{"F1": Moderate, "F2": Severe, "F3": Severe}[strings.ToUpper(in.Class)]
	if err == nil && !ok {
		err = fmt.Errorf("no class %q asks for air; name F1, F2 or F3", in.Class)
	}
	if err != nil {
		return out, err
	}
	out.Air, err = t.Air(in.Stone, frost)
	out.Tolerance, out.Least = airTolerance, StrongAir(out.Air, in.Strength, system)
	return out, err
}

// sulphateSteps are where the classes S1, S2 and S3 begin: soil in share of mass, water in parts per million.
var sulphateSteps = []struct{ soil, water float64 }{{0.0010, 150}, {0.0020, 1500}, {0.0200, 10000}}

// SulphateClass is the class S0 to S3 of a soil's water-soluble sulphate (share of mass) and its ground water's (parts per
// million), whichever is worse; sea water is S1 at least. Source: ACI 318-19 Table 19.3.1.1. S3 begins above 2 % and 10,000
// ppm, the others at their step.
func SulphateClass(soil, water float64, sea bool) string {
	class := 0
	for i, step := range sulphateSteps {
		above := soil >= step.soil || water >= step.water
		if i == 2 {
			above = soil > step.soil || water > step.water
		}
		if above {
			class = i + 1
		}
	}
	if sea {
		class = max(class, 1)
	}
	return fmt.Sprintf("S%d", class)
}

func sulphateCalculation(in struct {
	Soil     quantity.Percent `says:"sulphate in soil by mass" default:"0"`
	Water    quantity.Ratio   `says:"sulphate in water, parts per million: 1500 ppm" default:"0"`
	SeaWater bool             `default:"false"`
}) (out struct {
	Class    string
	Strength quantity.Stress `says:"least"`
	Ratio    quantity.Ratio  `name:"water_cement" says:"most allowed; 0: no limit"`
}, err error) {
	if in.Soil < 0 || in.Soil > 1 || in.Water < 0 || in.Water > 1 {
		return out, errors.New("sulphate is a share: write 0.15 % of soil, 1500 ppm of water")
	}
	out.Class = SulphateClass(float64(in.Soil), 1e6*float64(in.Water), in.SeaWater)
	c, err := ClassOf(ACI318, out.Class)
	out.Strength, out.Ratio = c.Strength(quantity.US), quantity.Ratio(c.WaterCement)
	return out, err
}

// chlorides are the most water-soluble chloride ions by mass of cementitious, by class. Source: ACI 318-19 Table 19.3.2.1.
var chlorides = map[string]quantity.Percent{"C0": 0.0100, "C1": 0.0030, "C2": 0.0015}

func chlorideLimit(in struct {
	Class string `says:"C0, C1 or C2"`
}) (out struct {
	Most quantity.Percent `says:"of the cementitious"`
}, err error) {
	most, ok := chlorides[strings.ToUpper(in.Class)]
	if !ok {
		return out, fmt.Errorf("no class %q; name C0, C1 or C2", in.Class)
	}
	out.Most = most
	return out, nil
}

// ageWindows are test ages and their tolerances, hours. Source: ASTM C39 (recalled).
var ageWindows = []struct{ age, off float64 }{{24, 0.5}, {72, 2}, {168, 6}, {672, 20}}

func testAgeWindow(in struct {
	Age quantity.Time `says:"1, 3, 7 or 28 days"`
}) (out struct {
	Tolerance quantity.Time `says:"either way"`
}, err error) {
	for _, w := range ageWindows {
		if math.Abs(in.Age.Hours()-w.age) < 1e-6 {
			out.Tolerance = quantity.Hours(w.off)
			return out, nil
		}
	}
	return out, errors.New("tolerances are kept for 1, 3, 7 and 28 days")
}
