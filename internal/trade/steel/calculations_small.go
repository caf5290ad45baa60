package steel

import (
	"errors"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// smallCalculations offers supports, mesh, working stress and the general development equation.
func smallCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("steel.working_stress", "working stress of steel from its yield", string(sources.DragExample), workingStress),
		calc.New("steel.mesh", "welded wire of one style both ways: area and weight", string(sources.WireTable), meshCalculation),
		calc.New("steel.supports", "chairs under a mat and ties of its crossings, rectangle", string(sources.CommonPractice), supportsCalculation),
		calc.New("steel.development_general", "development length by the general equation", string(sources.DevelopmentLength), developmentGeneral),
		calc.New("steel.tie_bars", "bars that hold a construction joint shut", string(sources.CommonPractice), tieBars),
	}
}

func workingStress(in struct {
	Yield quantity.Stress `default:"413685437.6"`
	Share quantity.Ratio  `says:"of the yield; some guides 0.75" default:"0.6666666666666666"`
}) (out struct{ WorkingStress quantity.Stress }, err error) {
	if in.Yield <= 0 || in.Share <= 0 || in.Share > 1 {
		return out, errors.New("the yield is above zero and the share of it 0 to 1")
	}
	out.WorkingStress = quantity.Stress(float64(in.Share) * in.Yield.Pascals())
	return out, nil
}

func meshCalculation(in struct {
	Wire    float64         `unit:"1" says:"wire number, W or D: 2.9"`
	Spacing quantity.Length `says:"wires apart, both ways"`
	Area    quantity.Area   `says:"covered, laps apart" default:"9.290304"`
}) (out struct {
	Area     quantity.SteelArea `says:"per width, each way"`
	Diameter quantity.Length
	Weight   float64       `unit:"kg/m2" says:"both ways"`
	Mass     quantity.Mass `says:"on the area covered"`
}, err error) {
	out.Area, out.Diameter, err = WireArea(in.Wire, in.Spacing)
	if in.Area < 0 {
		return out, errors.New("the area covered is not below zero")
	}
	out.Weight = meshWeight(out.Area)
	out.Mass = quantity.Mass(out.Weight * in.Area.SquareMetres())
	return out, err
}

// supportsCalculation: (⌈Lx/s⌉ + 1)(⌈Ly/s⌉ + 1) chairs and 5 % spare; of the crossings of the mat the outermost are all tied
// and of the others a share.
func supportsCalculation(in struct {
	Length  quantity.Length `says:"of the mat"`
	Width   quantity.Length
	Chairs  quantity.Length `says:"chairs apart" default:"1.2192"`
	Spare   quantity.Ratio  `default:"0.05"`
	Along   int             `says:"bars along" default:"0"`
	Across  int             `says:"bars across" default:"0"`
	Share   quantity.Ratio  `says:"of the inner crossings that is tied" default:"0.5"`
	TieWire quantity.Length `says:"of one tie" default:"0.1778"`
}) (out struct {
	Chairs int             `says:"without spares"`
	Order  int             `says:"with spares"`
	Ties   int             `says:"0 without bars"`
	Wire   quantity.Length `says:"tie wire in all"`
}, err error) {
	if !(in.Length > 0 && in.Width > 0 && in.Chairs > 0 && in.Spare >= 0 && in.Spare <= 1 && in.Share >= 0 && in.Share <= 1) ||
		in.Along < 0 || in.Across < 0 || in.Along > 10000 || in.Across > 10000 || in.TieWire < 0 {
		return out, errors.New("lengths are above zero, shares 0 to 1, bars 0 to 10,000")
	}
	rows := func(l quantity.Length) float64 { return math.Ceil(float64(l/in.Chairs)-1e-9) + 1 }
	chairs := rows(in.Length) * rows(in.Width)
	if chairs > 1e6 {
		return out, errors.New("more than a million chairs: check the units")
	}
	out.Chairs, out.Order = int(chairs), int(math.Ceil(chairs*(1+float64(in.Spare))-1e-9))
	inner := max(in.Along-2, 0) * max(in.Across-2, 0)
	out.Ties = in.Along*in.Across - inner + int(math.Ceil(float64(in.Share)*float64(inner)-1e-9))
	out.Wire = quantity.Length(float64(out.Ties)) * in.TieWire
	return out, nil
}

// developmentGeneral: ℓd = (3/40)(fy/(λ√f'c)) ψt ψe ψs/((cb + Ktr)/db ≤ 2.5) db, at least 12 in; fy, f'c psi.
func developmentGeneral(in struct {
	Diameter    quantity.Length
	Yield       quantity.Stress `default:"413685437.6"`
	Strength    quantity.Stress `says:"f'c, 2500 to 10,000 psi"`
	Confinement quantity.Ratio  `says:"(cb + Ktr)/db; 2.5 at most counts"`
	Top         quantity.Ratio  `says:"ψt: 1.3 with more than 12 in below" default:"1"`
	Epoxy       quantity.Ratio  `says:"ψe: 1.2 or 1.5" default:"1"`
	Size        quantity.Ratio  `says:"ψs: 0.8 up to #6, 1 above" default:"0.8"`
	Light       quantity.Ratio  `says:"λ: 1 for normal weight" default:"1"`
}) (out struct {
	Unrounded   quantity.Length `says:"before the 12 in floor"`
	Development quantity.Length `says:"at least 12 in"`
	ClassB      quantity.Length `name:"class_b_lap" says:"1.3 times, at least 12 in"`
}, err error) {
	psi := in.Strength.PSI()
	if !(psi >= 2499 && psi <= 10_001 && in.Diameter > 0 && in.Yield > 0 && in.Confinement > 0 && in.Top > 0 && in.Epoxy > 0 && in.Size > 0 && in.Light > 0) {
		return out, errors.New("sizes and factors are above zero, concrete 2500 to 10,000 psi")
	}
	factors := float64(in.Top*in.Epoxy*in.Size) / math.Min(float64(in.Confinement), 2.5)
	raw := quantity.Length(0.075 * in.Yield.PSI() / (float64(in.Light) * math.Sqrt(psi)) * factors * in.Diameter.Metres())
	out.Unrounded, out.Development, out.ClassB = raw, max(raw, quantity.Inches(12)), max(classB*raw, quantity.Inches(12))
	return out, nil
}

func tieBars(in struct {
	Joint   quantity.Length
	Spacing quantity.Length `says:"24 to 36 in" default:"0.762"`
	Length  quantity.Length `says:"24 to 30 in" default:"0.6096"`
}) (out struct {
	Count int
	Total quantity.Length
}, err error) {
	if !(in.Joint > 0 && in.Spacing > 0 && in.Length > 0 && in.Joint < 10_000*in.Spacing) {
		return out, errors.New("lengths are above zero")
	}
	out.Count = max(1, int(math.Floor(float64(in.Joint/in.Spacing)+1e-9)))
	out.Total = quantity.Length(float64(out.Count)) * in.Length
	return out, nil
}
