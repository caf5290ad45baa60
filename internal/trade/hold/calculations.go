package hold

import (
	"context"
	_ "embed"
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows that these calculations answer.
func Checks() string { return checksCSV }

// Calculations lists the plate solutions, callable by name.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("plate.panel", "rectangular panel on soil under one patch, weight and a temperature difference, by plate elements", string(sources.PlateElements), panelPorts),
		calc.New("plate.joint", "two rectangular panels with a joint along x = length, a square patch beside it on the first", string(sources.PlateElements), jointPorts),
		calc.New("plate.outline", "panel of any outline on soil under one square patch", string(sources.PlateElements), outlinePorts),
	}
}

// bodyPorts are a slab's material and ground.
type bodyPorts struct {
	E  quantity.Stress          `says:"modulus of elasticity"`
	Nu quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	H  quantity.Length          `says:"thickness"`
	K  quantity.SubgradeModulus `says:"modulus of subgrade reaction; 0 for none"`
}

func (b bodyPorts) slab() plate.Slab {
	return plate.Slab{Thickness: b.H.Metres(), Modulus: float64(b.E), Poisson: float64(b.Nu), Support: float64(b.K)}
}

func rectangle(x0, y0, x1, y1 float64) plate.Polygon {
	return plate.Polygon{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// panelIn is a free or simply supported rectangular panel with its lower left corner at the origin.
type panelIn struct {
	Length     quantity.Length          `says:"along x"`
	Width      quantity.Length          `says:"along y"`
	E          quantity.Stress          `says:"modulus of elasticity"`
	Nu         quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	H          quantity.Length          `says:"thickness"`
	K          quantity.SubgradeModulus `says:"modulus of subgrade reaction; 0 for none"`
	P          quantity.Force           `says:"load on the patch; 0 for none" default:"0"`
	PatchX     quantity.Length          `says:"middle of the patch" default:"0"`
	PatchY     quantity.Length          `says:"middle of the patch" default:"0"`
	PatchLong  quantity.Length          `says:"side of the patch along x" default:"0"`
	PatchWide  quantity.Length          `says:"side of the patch along y" default:"0"`
	Difference quantity.TempDiff        `says:"top minus bottom" default:"0"`
	Alpha      float64                  `says:"thermal expansion" unit:"1/K" default:"1e-5"`
	Weight     float64                  `says:"weight of the material, newtons per cubic metre" unit:"1" default:"0"`
	LiftOff    bool                     `says:"the ground cannot pull" default:"false"`
	Supported  bool                     `says:"the edges are simply supported" default:"false"`
	Pinned     bool                     `says:"clamped at its middle point" default:"false"`
	Size       quantity.Length          `says:"largest element; 0 to choose" default:"0"`
	X          quantity.Length          `says:"where it is read" default:"0"`
	Y          quantity.Length          `says:"where it is read" default:"0"`
}

type panelOut struct {
	W        quantity.Length `name:"deflection" says:"where it is read, down"`
	SX       quantity.Stress `name:"stress_x" says:"at the bottom there, along x, tension positive"`
	SY       quantity.Stress `name:"stress_y" says:"at the bottom there, along y, tension positive"`
	MX       float64         `name:"moment_x" says:"there, newtons" unit:"1"`
	Bottom   quantity.Stress `name:"bottom" says:"greatest tension in the bottom face"`
	Top      quantity.Stress `name:"top" says:"greatest tension in the top face"`
	Down     quantity.Length `name:"down" says:"greatest deflection"`
	Contact  quantity.Ratio  `name:"contact" says:"share of the panel that bears on the ground"`
	Reaction quantity.Force  `name:"reaction" says:"of the ground"`
}

func panelPorts(in panelIn) (out panelOut, err error) {
	s := bodyPorts{in.E, in.Nu, in.H, in.K}.slab()
	long, wide := in.Length.Metres(), in.Width.Metres()
	outline := rectangle(0, 0, long, wide)
	s.Panels, s.Expansion, s.Weight, s.LiftOff = []plate.Panel{{Outline: outline}}, in.Alpha, in.Weight, in.LiftOff
	if in.LiftOff && in.Weight == 0 && in.P == 0 {
		return out, errors.New("hold: hold-down weight missing: a curled slab without weight leaves its ground; give weight=24000 for concrete")
	}
	if in.Supported {
		for i, a := range outline {
			s.Holds = append(s.Holds, plate.Hold{From: a, To: outline[(i+1)%len(outline)]})
		}
	}
	if in.Pinned {
		middle := plate.Point{X: long / 2, Y: wide / 2}
		s.Holds = append(s.Holds, plate.Hold{From: middle, To: middle, Clamped: true})
	}
	load := plate.Load{Temperature: plate.Gradient(float64(in.Difference))}
	if in.P != 0 {
		load.Patches = []plate.Patch{plate.Rectangle(plate.Point{X: in.PatchX.Metres(), Y: in.PatchY.Metres()}, in.PatchLong.Metres(), in.PatchWide.Metres(), float64(in.P))}
	}
	mesh := plate.Mesh{Size: in.Size.Metres()}
	if in.Size > 0 {
		mesh.PerPatch = 1
	}
	r, err := plate.Solve(context.Background(), s, load, mesh)
	if err != nil {
		return out, err
	}
	return panelState(r, plate.Point{X: in.X.Metres(), Y: in.Y.Metres()})
}

func panelState(r *plate.Result, at plate.Point) (out panelOut, err error) {
	state, err := r.At(0, at)
	if err != nil {
		return out, err
	}
	return panelOut{W: quantity.Length(state.Deflection), SX: quantity.Stress(state.Bottom.X), SY: quantity.Stress(state.Bottom.Y), MX: state.MomentX,
		Bottom: quantity.Stress(r.Bottom.Value), Top: quantity.Stress(r.Top.Value), Down: quantity.Length(r.Down.Value),
		Contact: quantity.Ratio(r.Contact), Reaction: quantity.Force(r.Balance.Soil)}, nil
}

func jointPorts(in struct {
	Length quantity.Length          `says:"of each panel, across the joint"`
	Width  quantity.Length          `says:"of each panel, along the joint"`
	E      quantity.Stress          `says:"modulus of elasticity"`
	Nu     quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	H      quantity.Length          `says:"thickness"`
	K      quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
	R      quantity.Ratio           `says:"joint stiffness over k l; 0 for none"`
	P      quantity.Force           `says:"load on the patch, at the middle of the joint"`
	Side   quantity.Length          `says:"of the patch"`
}) (out struct {
	Loaded   quantity.Length `name:"deflection" says:"loaded side of the joint"`
	Unloaded quantity.Length `name:"deflection_unloaded" says:"other side"`
	Transfer quantity.Ratio  `name:"load_transfer" says:"unloaded over loaded"`
	Stress   quantity.Stress `says:"along the joint, at the bottom, loaded side"`
	Across   quantity.Stress `name:"stress_unloaded" says:"the same on the other side"`
	Both     quantity.Length `name:"deflection_sum" says:"of both sides: that of a free edge, whatever the joint"`
}, err error) {
	s := bodyPorts{in.E, in.Nu, in.H, in.K}.slab()
	if in.R < 0 || !(in.K > 0) || !(in.E > 0) || !(in.H > 0) {
		return out, errors.New("hold: stiffness, ground and thickness are more than nothing, and a joint's stiffness is not negative")
	}
	long, wide, side := in.Length.Metres(), in.Width.Metres(), in.Side.Metres()
	s.Panels, s.Joints = plate.Bays([]float64{0, long, 2 * long}, []float64{0, wide}, nil, s.JointShear(float64(in.R)))
	patch := plate.Rectangle(plate.Point{X: long - side/2, Y: wide / 2}, side, side, float64(in.P))
	r, err := plate.Solve(context.Background(), s, plate.Load{Patches: []plate.Patch{patch}}, plate.Mesh{})
	if err != nil {
		return out, err
	}
	at := plate.Point{X: long, Y: wide / 2}
	loaded, err := r.At(0, at)
	if err != nil {
		return out, err
	}
	unloaded, err := r.At(1, at)
	out.Loaded, out.Unloaded = quantity.Length(loaded.Deflection), quantity.Length(unloaded.Deflection)
	out.Transfer = quantity.Ratio(unloaded.Deflection / loaded.Deflection)
	out.Stress, out.Across = quantity.Stress(loaded.Bottom.Y), quantity.Stress(unloaded.Bottom.Y)
	out.Both = out.Loaded + out.Unloaded
	return out, err
}

func outlinePorts(in struct {
	Corners [][]float64              `says:"corners of the panel, in order" unit:"m"`
	E       quantity.Stress          `says:"modulus of elasticity"`
	Nu      quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	H       quantity.Length          `says:"thickness"`
	K       quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
	P       quantity.Force           `says:"load on the patch"`
	Side    quantity.Length          `says:"of the patch"`
	PatchX  quantity.Length          `says:"middle of the patch"`
	PatchY  quantity.Length          `says:"middle of the patch"`
	X       quantity.Length          `says:"where it is read"`
	Y       quantity.Length          `says:"where it is read"`
}) (out panelOut, err error) {
	s := bodyPorts{in.E, in.Nu, in.H, in.K}.slab()
	var ring plate.Polygon
	for _, c := range in.Corners {
		if len(c) != 2 {
			return out, errors.New("hold: a corner is two numbers, such as [0, 4]")
		}
		ring = append(ring, plate.Point{X: c[0], Y: c[1]})
	}
	s.Panels = []plate.Panel{{Outline: ring}}
	patch := plate.Rectangle(plate.Point{X: in.PatchX.Metres(), Y: in.PatchY.Metres()}, in.Side.Metres(), in.Side.Metres(), float64(in.P))
	r, err := plate.Solve(context.Background(), s, plate.Load{Patches: []plate.Patch{patch}}, plate.Mesh{})
	if err != nil {
		return out, err
	}
	return panelState(r, plate.Point{X: in.X.Metres(), Y: in.Y.Metres()})
}
