package heat

import (
	"errors"
	"math"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
)

var errMaterial = errors.New("depths, times and material values are above zero")

// Calculations lists the formulas of this package: each closed form, and the cells run on the same case.
func Calculations() []calc.Calculation {
	return slices.Concat(closedForms(), groundForms(), numericForms())
}

func closedForms() []calc.Calculation {
	return []calc.Calculation{
		calc.New("heat.surface_step", "temperature in deep ground whose face is stepped", "carslaw-jaeger", func(in stepPorts) (out tempPort, err error) {
			out.Temp = quantity.Temp(SurfaceStep(in.Initial.Celsius(), in.Face.Celsius(), in.Depth.Metres(), in.Diffusivity, in.Time.Seconds()))
			return out, in.check()
		}),
		calc.New("heat.surface_convection", "share of the way to the air's temperature that deep ground has gone", "carslaw-jaeger", func(in convectionPorts) (out sharePort, err error) {
			out.Share = quantity.Ratio(SurfaceConvection(in.Transfer, in.Conductivity, in.Diffusivity, in.Depth.Metres(), in.Time.Seconds()))
			return out, in.check()
		}),
		calc.New("heat.damping_depth", "depth at which a periodic swing has shrunk to 1/e, and swing and lag at a depth", "carslaw-jaeger", func(in struct {
			Diffusivity float64 `unit:"m2/s"`
			Period      quantity.Time
			Depth       quantity.Length `default:"0"`
		}) (out struct {
			Damping quantity.Length
			Swing   quantity.Ratio
			Lag     quantity.Time
		}, err error) {
			if in.Diffusivity <= 0 || in.Period <= 0 || in.Depth < 0 {
				return out, errMaterial
			}
			swing, lag := Periodic(in.Depth.Metres(), in.Diffusivity, in.Period.Seconds())
			out.Damping, out.Swing, out.Lag = quantity.Length(DampingDepth(in.Diffusivity, in.Period.Seconds())), quantity.Ratio(swing), quantity.Time(lag)
			return out, nil
		}),
		calc.New("heat.slab_with_source", "rise in a slab that gives heat evenly, both faces held", "carslaw-jaeger", func(in sourcePorts) (out risePort, err error) {
			t := in.Time.Seconds()
			if t == 0 {
				t = math.Inf(1)
			}
			out.Rise = quantity.TempDiff(SlabWithSource(in.Heat, in.Thickness.Metres(), in.Conductivity, in.Conductivity/in.Capacity, in.Depth.Metres(), t))
			return out, in.check()
		}),
		calc.New("heat.surface_balance", "heat into a face outdoors, its temperature and the water it loses", "nistir-6551", func(in struct {
			Solar        float64 `says:"sun on level ground" unit:"W/m2"`
			Air          quantity.Temp
			Dew          quantity.Temp
			Wind         quantity.Speed
			Cloud        quantity.Ratio
			Node         quantity.Temp       `says:"middle of the first cell"`
			HalfCell     quantity.Length     `says:"from the face to the middle of the first cell"`
			Conductivity float64             `unit:"W/m/K" default:"2"`
			Absorptance  quantity.Ratio      `default:"0.60"`
			Emissivity   quantity.Ratio      `default:"0.90"`
			Wet          bool                `default:"false"`
			Cover        quantity.Insulation `default:"0"`
		}) (out struct {
			Flux        float64       `unit:"W/m2"`
			Face        quantity.Temp `says:"of the body, under any cover"`
			Evaporation quantity.Evaporation
		}, err error) {
			if in.HalfCell <= 0 || in.Conductivity <= 0 || in.Cover < 0 {
				return out, errMaterial
			}
			for _, temp := range []quantity.Temp{in.Air, in.Dew, in.Node} {
				if !(temp > -80 && temp < 120) {
					return out, errors.New("temperatures are -80 to 120 °C")
				}
			}
			if !(in.Wind >= 0 && in.Cloud >= 0 && in.Cloud <= 1) {
				return out, errors.New("wind is not below zero, cloud is 0 to 1")
			}
			air, dew := in.Air.Celsius(), in.Dew.Celsius()
			s := Outdoors(weather.Conditions{Air: air, Dew: dew, Humidity: weather.Humidity(air, dew), Wind: float64(in.Wind), Cloud: float64(in.Cloud), Solar: in.Solar},
				Skin{Absorptance: float64(in.Absorptance), Emissivity: float64(in.Emissivity), Cover: float64(in.Cover), Wet: in.Wet})
			half := in.HalfCell.Metres() / in.Conductivity
			outer, _, flux := s.balance(firm, firm*in.Node.Celsius(), half+s.Cover, in.Node.Celsius())
			out.Flux, out.Face, out.Evaporation = flux, quantity.Temp(in.Node.Celsius()+flux*half), quantity.Evaporation(s.Lost(outer))
			return out, nil
		}),
	}
}

// firm is the stiffness of a cell whose temperature is given, W/m²K.
const firm = 1e12

type tempPort struct{ Temp quantity.Temp }
type sharePort struct{ Share quantity.Ratio }
type risePort struct{ Rise quantity.TempDiff }

type stepPorts struct {
	Initial     quantity.Temp
	Face        quantity.Temp
	Depth       quantity.Length
	Diffusivity float64 `unit:"m2/s"`
	Time        quantity.Time
}

func (p stepPorts) check() error {
	if p.Depth < 0 {
		return errMaterial
	}
	return above(p.Diffusivity, float64(p.Time))
}

type convectionPorts struct {
	Transfer     float64 `unit:"W/m2/K"`
	Conductivity float64 `unit:"W/m/K"`
	Diffusivity  float64 `unit:"m2/s"`
	Depth        quantity.Length
	Time         quantity.Time
}

func (p convectionPorts) check() error {
	if p.Depth < 0 {
		return errMaterial
	}
	return above(p.Transfer, p.Conductivity, p.Diffusivity, float64(p.Time))
}

type sourcePorts struct {
	Heat         float64 `unit:"W/m3"`
	Thickness    quantity.Length
	Conductivity float64 `unit:"W/m/K"`
	Capacity     float64 `unit:"J/m3/K"`
	Depth        quantity.Length
	Time         quantity.Time `says:"0: in the end" default:"0"`
}

func (p sourcePorts) check() error {
	if p.Time < 0 || p.Depth < 0 || p.Depth > p.Thickness {
		return errors.New("a time is not below zero, and a depth lies inside the slab")
	}
	return above(float64(p.Thickness), p.Conductivity, p.Capacity)
}

func above(values ...float64) error {
	for _, v := range values {
		if !(v > 0) {
			return errMaterial
		}
	}
	return nil
}

// numericForms run the cells on the cases of the closed forms.
func numericForms() []calc.Calculation {
	return []calc.Calculation{
		calc.New("heat.cells_surface_step", "the same by cells: face stepped on 3 m of ground", "carslaw-jaeger", func(in stepPorts) (out tempPort, err error) {
			if err := errors.Join(in.check(), shortRun(in.Time)); err != nil {
				return out, err
			}
			b, err := deepGround(in.Diffusivity, 1, in.Initial.Celsius())
			if err != nil {
				return out, err
			}
			err = b.March(0, in.Time.Seconds(), Even(stepSeconds), nil, func(_, _ float64) Surface { return Held(in.Face.Celsius()) }, nil, nil)
			out.Temp = quantity.Temp(b.At(in.Depth.Metres()))
			return out, err
		}),
		calc.New("heat.cells_surface_convection", "the same by cells: wind on 3 m of ground", "carslaw-jaeger", func(in convectionPorts) (out sharePort, err error) {
			if err := errors.Join(in.check(), shortRun(in.Time)); err != nil {
				return out, err
			}
			b, err := deepGround(in.Diffusivity, in.Conductivity, 0)
			if err != nil {
				return out, err
			}
			err = b.March(0, in.Time.Seconds(), Even(stepSeconds), nil, func(_, _ float64) Surface { return Surface{Transfer: in.Transfer, Air: 1} }, nil, nil)
			out.Share = quantity.Ratio(b.At(in.Depth.Metres()))
			return out, err
		}),
		calc.New("heat.cells_slab_with_source", "the same by cells: slab that gives heat, both faces held", "carslaw-jaeger", func(in sourcePorts) (out risePort, err error) {
			if err := in.check(); err != nil {
				return out, err
			}
			b, err := NewBody([]Layer{{Thickness: in.Thickness.Metres(), Conductivity: in.Conductivity, Capacity: in.Capacity, Cell: in.Thickness.Metres() / 40}},
				func(float64) float64 { return 0 }, 0)
			if err != nil {
				return out, err
			}
			end := in.Time.Seconds()
			if end == 0 {
				end = 20 * in.Thickness.Metres() * in.Thickness.Metres() * in.Capacity / in.Conductivity / (math.Pi * math.Pi)
			}
			err = b.March(0, end, Even(end/600), nil, func(_, _ float64) Surface { return Held(0) },
				func(age, _, dt float64) (float64, float64) { return age + dt, in.Heat * (age + dt) }, nil)
			out.Rise = quantity.TempDiff(b.At(in.Depth.Metres()))
			return out, err
		}),
	}
}

// stepSeconds is the step of the runs against closed forms.
const stepSeconds = 30

// shortRun refuses runs of more steps than a check is worth.
func shortRun(t quantity.Time) error {
	if t.Days() > 366 {
		return errors.New("the cells run at most 366 days; use the closed form")
	}
	return nil
}

// deepGround is 3 m of one material in cells of 5 mm growing downwards.
func deepGround(diffusivity, conductivity, temp float64) (*Body, error) {
	return NewBody([]Layer{{Thickness: 3, Conductivity: conductivity, Capacity: conductivity / diffusivity, Cell: 0.004, Growth: 1.04, Largest: 0.1}},
		func(float64) float64 { return temp }, temp)
}
