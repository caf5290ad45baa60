package slab

import (
	"errors"
	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/winkler"
	"slabwright/internal/trade/sources"
)

// discPorts are the inputs of a formula of a round load on a slab.
type discPorts struct {
	P  quantity.Force           `says:"load"`
	A  quantity.Length          `says:"radius of its print"`
	E  quantity.Stress          `says:"modulus of elasticity"`
	Nu quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	H  quantity.Length          `says:"thickness"`
	K  quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
}

func (in discPorts) read() (p winkler.Plate, load, a float64, err error) {
	if p, err = (slabPorts{in.E, in.Nu, in.H, in.K}).plate(); err != nil {
		return p, 0, 0, err
	}
	return p, float64(in.P), in.A.Metres(), positive(float64(in.P), in.A.Metres())
}

// bentPorts are a stress and a deflection.
type bentPorts struct {
	Stress     quantity.Stress
	Deflection quantity.Length
}

func bent(b bending) bentPorts {
	return bentPorts{quantity.Stress(b.Stress), quantity.Length(b.Deflection)}
}

func discCalculation(name, says string, source sources.Key, f func(p winkler.Plate, load, a float64) bending) calc.Calculation {
	return calc.New(name, says, string(source), func(in discPorts) (bentPorts, error) {
		p, load, a, err := in.read()
		if err != nil {
			return bentPorts{}, err
		}
		return bent(f(p, load, a)), nil
	})
}

func wheelCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("slab.radius_of_relative_stiffness", "how far a slab spreads a load", string(sources.Westergaard1926),
			func(in struct {
				E  quantity.Stress          `says:"modulus of elasticity"`
				Nu quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
				H  quantity.Length          `says:"thickness"`
				K  quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
			}) (out struct {
				L quantity.Length `says:"radius of relative stiffness"`
				D quantity.Moment `says:"plate rigidity"`
			}, err error) {
				p, err := slabPorts{in.E, in.Nu, in.H, in.K}.plate()
				if err != nil {
					return out, err
				}
				out.L, out.D = quantity.Length(p.Radius()), quantity.Moment(p.Rigidity())
				return out, nil
			}),
		calc.New("slab.equivalent_radius", "contact radius that makes thin-plate theory right in the interior", string(sources.WestergaardInterior),
			func(in struct {
				A quantity.Length `says:"radius of the print"`
				H quantity.Length `says:"thickness"`
			}) (out struct {
				B quantity.Length `says:"equivalent radius"`
			}, err error) {
				if err := positive(in.A.Metres(), in.H.Metres()); err != nil {
					return out, err
				}
				out.B = quantity.Length(equivalentRadius(in.A.Metres(), in.H.Metres()))
				return out, nil
			}),
		calc.New("slab.interior", "wheel far from any edge", string(sources.WestergaardInterior), interiorPorts),
		discCalculation("slab.edge_circle", "disc touching a free edge, 1947", sources.Westergaard1947, edgeCircle),
		discCalculation("slab.edge_semicircle", "half disc on a free edge, 1947", sources.Westergaard1947, edgeSemicircle),
		calc.New("slab.edge_1926", "wheel at a free edge, old formula, to compare only", string(sources.Westergaard1926), func(in discPorts) (out struct{ Stress quantity.Stress }, err error) {
			p, load, a, err := in.read()
			if err != nil {
				return out, err
			}
			out.Stress = quantity.Stress(edge1926(p, load, a))
			return out, nil
		}),
		discCalculation("slab.corner_1926", "disc in a free corner; tension at the top", sources.Westergaard1926, corner1926),
		calc.New("slab.corner_square", "square in a free corner; tension at the top", string(sources.Ioannides1985),
			func(in struct {
				P  quantity.Force           `says:"load"`
				C  quantity.Length          `says:"side of the square"`
				E  quantity.Stress          `says:"modulus of elasticity"`
				Nu quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
				H  quantity.Length          `says:"thickness"`
				K  quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
			}) (bentPorts, error) {
				p, load, c, err := discPorts{in.P, in.C, in.E, in.Nu, in.H, in.K}.read()
				if err != nil {
					return bentPorts{}, err
				}
				return bent(cornerSquare(p, load, c)), nil
			}),
	}
}

func interiorPorts(in discPorts) (out struct {
	Special        quantity.Stress `name:"stress_special" says:"first term, with b"`
	SpecialSecond  quantity.Stress `name:"stress_special_second" says:"second term, with b"`
	SpecialTotal   quantity.Stress `name:"stress" says:"special theory, both terms"`
	Ordinary       quantity.Stress `name:"stress_ordinary" says:"first term, with a"`
	OrdinarySecond quantity.Stress `name:"stress_ordinary_second" says:"second term, with a"`
	OrdinaryTotal  quantity.Stress `name:"stress_ordinary_total" says:"ordinary theory, both terms"`
	Deflection     quantity.Length
}, err error) {
	p, load, a, err := in.read()
	if err != nil {
		return out, err
	}
	first, second := interiorStress(p, load, equivalentRadius(a, p.H))
	out.Special, out.SpecialSecond, out.SpecialTotal = quantity.Stress(first), quantity.Stress(second), quantity.Stress(first+second)
	first, second = interiorStress(p, load, a)
	out.Ordinary, out.OrdinarySecond, out.OrdinaryTotal = quantity.Stress(first), quantity.Stress(second), quantity.Stress(first+second)
	out.Deflection = quantity.Length(interiorDeflection(p, load, a))
	return out, nil
}

// patchPorts are the inputs of a square patch by an edge.
type patchPorts struct {
	P         quantity.Force           `says:"load"`
	Side      quantity.Length          `says:"side of the square print"`
	Clearance quantity.Length          `says:"from the edge to the print" default:"0"`
	Along     quantity.Length          `says:"from the print's middle along the edge to where it is read" default:"0"`
	E         quantity.Stress          `says:"modulus of elasticity"`
	Nu        quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	H         quantity.Length          `says:"thickness"`
	K         quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
	R         quantity.Ratio           `says:"joint stiffness over k l; 0 is a free edge" default:"0"`
}

func plateCalculations() []calc.Calculation {
	return []calc.Calculation{
		discCalculation("slab.exact_disc", "uniform disc on the infinite thin plate, at its middle", sources.PlateOnSprings, func(p winkler.Plate, load, a float64) bending {
			w, m := p.Disc(load, a)
			return bending{Stress: p.Stress(m), Deflection: w}
		}),
		calc.New("slab.exact_point_load", "point load on the infinite thin plate", string(sources.PlateOnSprings),
			func(in struct {
				P        quantity.Force           `says:"load"`
				Distance quantity.Length          `says:"from the load" default:"0"`
				E        quantity.Stress          `says:"modulus of elasticity"`
				Nu       quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
				H        quantity.Length          `says:"thickness"`
				K        quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
			}) (out struct {
				Deflection quantity.Length
				Radial     quantity.Stress `name:"stress_radial" says:"at the bottom, away from the load; 0 at the load, where there is none"`
				Tangential quantity.Stress `name:"stress_tangential"`
			}, err error) {
				p, err := slabPorts{in.E, in.Nu, in.H, in.K}.plate()
				if err != nil {
					return out, err
				}
				f := p.PointLoad(float64(in.P), in.Distance.Metres(), 0)
				out.Deflection, out.Radial, out.Tangential = quantity.Length(f.W), quantity.Stress(p.Stress(f.Mx)), quantity.Stress(p.Stress(f.My))
				return out, nil
			}),
		calc.New("slab.edge_patch", "square patch by a straight edge or joint of the half-infinite thin plate", string(sources.PlateOnSprings), edgePatch),
		calc.New("slab.bradbury", "share of full curling stress at the middle of a panel", string(sources.Bradbury1938),
			func(in struct {
				Ratio quantity.Ratio `name:"length_over_radius" says:"panel length over radius of relative stiffness"`
			}) (out struct {
				C quantity.Ratio
			}, err error) {
				if err := positive(float64(in.Ratio)); err != nil {
					return out, err
				}
				out.C = quantity.Ratio(bradbury(float64(in.Ratio)))
				return out, nil
			}),
		calc.New("slab.curling_stress", "stress of a temperature difference through a panel", string(sources.Bradbury1938), curlingPorts),
	}
}

func edgePatch(in patchPorts) (out struct {
	Loaded     quantity.Length `name:"deflection" says:"loaded side, at the edge"`
	Unloaded   quantity.Length `name:"deflection_unloaded" says:"other side of the joint"`
	Transfer   quantity.Ratio  `name:"load_transfer" says:"unloaded over loaded deflection"`
	Stress     quantity.Stress `says:"along the edge, at the bottom, loaded side"`
	Across     quantity.Stress `name:"stress_unloaded" says:"the same on the other side"`
	FreeStress quantity.Stress `name:"stress_free" says:"the same were the edge free"`
}, err error) {
	p, load, side, err := discPorts{in.P, in.Side, in.E, in.Nu, in.H, in.K}.read()
	if err != nil || in.Clearance < 0 || in.R < 0 {
		return out, firstError(err, errorIf(in.Clearance < 0 || in.R < 0, "slab: clearance and joint stiffness are not negative"))
	}
	l := p.Radius()
	patch := winkler.Patch{Y: (in.Clearance.Metres() + side/2) / l, Along: side / l, Across: side / l}
	ask := []winkler.Ask{{Patch: patch, X: in.Along.Metres() / l}}
	free, joint := winkler.NewEdge(p.Nu, 0).AtJoint(ask, float64(in.R))
	unit := load / (p.K * l * l)
	w, m := free[0].W, free[0].M
	loadedW, loadedM := joint[0].W, joint[0].M
	out.Loaded, out.Unloaded = quantity.Length(loadedW*unit), quantity.Length((w-loadedW)*unit)
	if out.Loaded == 0 {
		return out, errors.New("slab: the print stands too far from the edge to move it")
	}
	out.Transfer = quantity.Ratio(float64(out.Unloaded) / float64(out.Loaded))
	out.Stress, out.Across = quantity.Stress(p.Stress(loadedM*load)), quantity.Stress(p.Stress((m-loadedM)*load))
	out.FreeStress = quantity.Stress(p.Stress(m * load))
	return out, nil
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func curlingPorts(in struct {
	E          quantity.Stress   `says:"modulus of elasticity"`
	Nu         quantity.Ratio    `says:"Poisson's ratio" default:"0.15"`
	Alpha      float64           `says:"thermal expansion" unit:"1/K" default:"1e-5"`
	Difference quantity.TempDiff `says:"top minus bottom"`
	Cx         quantity.Ratio    `name:"c_x" says:"Bradbury's coefficient along"`
	Cy         quantity.Ratio    `name:"c_y" says:"Bradbury's coefficient across"`
}) (out struct {
	Interior quantity.Stress `says:"middle of the panel, along"`
	Edge     quantity.Stress `says:"middle of the longer-restrained edge"`
}, err error) {
	p, err := slabPorts{in.E, in.Nu, 1, 1}.plate()
	if err != nil {
		return out, err
	}
	c := curlingStress(p, in.Alpha, float64(in.Difference), float64(in.Cx), float64(in.Cy))
	out.Interior, out.Edge = quantity.Stress(c.Interior), quantity.Stress(c.Edge)
	return out, nil
}
