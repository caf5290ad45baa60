package heat

import (
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

// groundForms offers the temperature of undisturbed ground and the conductivity of concrete as it hardens.
func groundForms() []calc.Calculation {
	return []calc.Calculation{
		calc.New("heat.ground_wave", "temperature of undisturbed ground through the year", "carslaw-jaeger", groundWave),
		calc.New("heat.frost_depth", "how deep ground at 0 °C has frozen under a face held below", "carslaw-jaeger", func(in frostPorts) (out frostDepth, err error) {
			out.Depth = quantity.Length(FrostDepth(-in.Face.Celsius(), in.Conductivity, in.Capacity, in.Latent, in.Time.Seconds()))
			return out, in.check()
		}),
		calc.New("heat.cells_frost_depth", "the same by cells: 3 m of ground that freezes, or thaws from frozen", "carslaw-jaeger", func(in frostPorts) (out frostDepth, err error) {
			if err := errors.Join(in.check(), shortRun(in.Time)); err != nil {
				return out, err
			}
			begins := 1e-9
			if in.Face > 0 {
				begins = -1e-9
			}
			b, err := NewBody([]Layer{{Thickness: 3, Conductivity: in.Conductivity, Capacity: in.Capacity, Latent: in.Latent, Cell: 0.01}}, func(float64) float64 { return begins }, begins)
			if err != nil {
				return out, err
			}
			err = b.March(0, in.Time.Seconds(), Even(600), nil, func(_, _ float64) Surface { return Held(in.Face.Celsius()) }, nil, nil)
			out.Depth = quantity.Length(b.Frozen())
			if in.Face > 0 {
				out.Depth = quantity.Length(3 - b.Frozen())
			}
			if off := b.Unclosed(); off > 1e-9 {
				err = errors.Join(err, fmt.Errorf("%.1e of the heat is unaccounted for", off))
			}
			return out, err
		}),
		calc.New("heat.concrete_conductivity", "conductivity of concrete as it hardens", "schindler-folliard-2005", concreteConductivity),
	}
}

type frostDepth struct{ Depth quantity.Length }

type frostPorts struct {
	Face         quantity.Temp `says:"held; above 0 °C: thawing, by the cells only"`
	Conductivity float64       `unit:"W/m/K"`
	Capacity     float64       `unit:"J/m3/K"`
	Latent       float64       `unit:"J/m3"`
	Time         quantity.Time
}

func (p frostPorts) check() error {
	if p.Face == 0 || !(p.Face > -80 && p.Face < 80) {
		return errors.New("the face is held at -80 to 80 °C, not at 0")
	}
	return above(p.Conductivity, p.Capacity, p.Latent, float64(p.Time))
}

// groundWave: T = Tm + As·exp(−z/d)·cos(ω(t − t₀) − z/d), d = √(2a/ω), ω one turn a year of 365.25 days.
func groundWave(in struct {
	Mean        quantity.Temp     `says:"of the year"`
	Swing       quantity.TempDiff `says:"of the surface, half from coldest to warmest"`
	Depth       quantity.Length
	Diffusivity float64       `unit:"m2/s" default:"6.0185e-7"`
	Time        quantity.Time `says:"since the surface was warmest"`
}) (out struct {
	Temp    quantity.Temp
	Damping quantity.Length `says:"depth at which the swing has shrunk to 1/e"`
}, err error) {
	if !(in.Diffusivity > 0 && in.Depth >= 0) {
		return out, errors.New("diffusivity is above zero, a depth not below")
	}
	const year = 365.25 * 86400
	d := DampingDepth(in.Diffusivity, year)
	z := in.Depth.Metres() / d
	out.Damping = quantity.Length(d)
	out.Temp = in.Mean + quantity.Temp(float64(in.Swing)*math.Exp(-z)*math.Cos(2*math.Pi*math.Mod(in.Time.Seconds(), year)/year-z))
	return out, nil
}

// concreteConductivity: k = ku(1.33 − 0.33α), α the share hydrated.
func concreteConductivity(in struct {
	Ultimate float64        `unit:"W/m/K" says:"when hardened" default:"2"`
	Degree   quantity.Ratio `says:"share hydrated, 0 to 1"`
}) (out struct {
	Conductivity float64 `unit:"W/m/K"`
}, err error) {
	if !(in.Ultimate > 0 && in.Degree >= 0 && in.Degree <= 1) {
		return out, errors.New("conductivity is above zero, the share 0 to 1")
	}
	out.Conductivity = in.Ultimate * (1.33 - 0.33*float64(in.Degree))
	return out, nil
}
