package plate

import (
	"context"
	_ "embed"
	"errors"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

//go:embed testdata/rows.csv
var rowsCSV string

// Checks is the engine's table of check rows.
func Checks() string { return rowsCSV }

// Calculations offers the engine by name: one slab of rectangular bays under patches, weight and a temperature difference.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("plate.slab", "slab of rectangular bays on springs, by plate elements", "plate-elements", slabCalculation),
		calc.New("plate.boundless", "point force or disc on the boundless thin plate on springs", "plate-on-springs", boundlessCalculation),
		calc.New("plate.dowels", "shear stiffness that round bars give a joint", "friberg-1940", dowelCalculation),
	}
}

type slabPorts struct {
	Xs         []quantity.Length        `says:"edges and joints across x, ascending: [0, 4] is one bay of 4"`
	Ys         []quantity.Length        `says:"edges and joints across y, ascending"`
	H          quantity.Length          `says:"thickness"`
	E          quantity.Stress          `says:"modulus of elasticity"`
	Nu         quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	K          quantity.SubgradeModulus `says:"modulus of subgrade reaction; 0: no soil" default:"0"`
	Weight     quantity.Density         `says:"weight of the concrete, 24 kN/m3 usual; 0: weightless" default:"0"`
	LiftOff    bool                     `says:"the soil cannot pull" default:"false"`
	Alpha      float64                  `unit:"1/K" says:"thermal expansion" default:"1e-5"`
	Difference quantity.TempDiff        `says:"top less bottom" default:"0"`
	Patches    [][]float64              `unit:"m" says:"contact areas [x, y, along x, along y], x and y of the middle" default:"[]"`
	Forces     []quantity.Force         `says:"on each patch, down" default:"[]"`
	Joint      quantity.Ratio           `says:"joint stiffness over k l; 0: open" default:"0"`
	HeldEdges  bool                     `says:"outer edges simply supported" default:"false"`
	HeldMiddle bool                     `says:"the middle clamped, for a slab without soil" default:"false"`
	At         [][]float64              `unit:"m" says:"places asked about [x, y]"`
	Bays       []int                    `says:"bay of each place from 0, along y first; none: the first bay that holds it" default:"[]"`
	Element    quantity.Length          `says:"largest element; 0: a third of the radius of relative stiffness" default:"0"`
}

// Bounds of what a row may ask for: within them a solve takes seconds.
const (
	mostBays    = 25
	mostPatches = 16
	widest      = 40  // radii of relative stiffness across
	mostAcross  = 150 // elements across, of the size asked for
)

func (in slabPorts) model() (Slab, error) {
	s := Slab{Thickness: in.H.Metres(), Modulus: float64(in.E), Poisson: float64(in.Nu), Support: float64(in.K),
		Weight: quantity.In(in.Weight, "kN/m3") * 1000, LiftOff: in.LiftOff, Expansion: in.Alpha}
	xs, ys := metres(in.Xs), metres(in.Ys)
	if len(xs) < 2 || len(ys) < 2 || (len(xs)-1)*(len(ys)-1) > mostBays || !slices.IsSorted(xs) || !slices.IsSorted(ys) {
		return s, errors.New("give the lines of one to 25 bays, ascending")
	}
	across := max(xs[len(xs)-1]-xs[0], ys[len(ys)-1]-ys[0])
	if !(s.Thickness > 0 && s.Modulus > 0 && s.Support >= 0 && s.Poisson >= 0 && s.Poisson < 0.5 && in.Joint >= 0) {
		return s, errors.New("thickness and modulus are above zero, Poisson's ratio 0 to 0.5, soil and joints not below zero")
	}
	if s.Support > 0 && !(across <= widest*s.Radius()) || in.Element > 0 && !(across <= mostAcross*in.Element.Metres()) {
		return s, errors.New("the slab is too wide for its stiffness or its elements")
	}
	s.Panels, s.Joints = Bays(xs, ys, nil, s.JointShear(float64(in.Joint)))
	corners := Polygon{{xs[0], ys[0]}, {xs[len(xs)-1], ys[0]}, {xs[len(xs)-1], ys[len(ys)-1]}, {xs[0], ys[len(ys)-1]}}
	for i, a := range corners {
		if in.HeldEdges {
			s.Holds = append(s.Holds, Hold{From: a, To: corners[(i+1)%4]})
		}
	}
	if in.HeldMiddle {
		middle := Point{(xs[0] + xs[len(xs)-1]) / 2, (ys[0] + ys[len(ys)-1]) / 2}
		s.Holds = append(s.Holds, Hold{From: middle, To: middle, Clamped: true})
	}
	return s, nil
}

func metres(lengths []quantity.Length) []float64 {
	out := make([]float64, len(lengths))
	for i, l := range lengths {
		out[i] = l.Metres()
	}
	return out
}

func (in slabPorts) load() (Load, error) {
	l := Load{}
	if in.Difference != 0 {
		l.Temperature = Gradient(float64(in.Difference))
	}
	if len(in.Patches) != len(in.Forces) || len(in.Patches) > mostPatches {
		return l, errors.New("give as many forces as patches, at most 16")
	}
	for i, p := range in.Patches {
		if len(p) != 4 || !(p[2] >= 0.01 && p[3] >= 0.01) {
			return l, errors.New("a patch is [x, y, along x, along y], at least 10 mm each way")
		}
		l.Patches = append(l.Patches, Rectangle(Point{p[0], p[1]}, p[2], p[3], float64(in.Forces[i])))
	}
	return l, nil
}

// stateAt is the state of a place on the bay named for it, else on the first that holds it.
func (in slabPorts) stateAt(r *Result, panels, i int) (State, error) {
	place := Point{in.At[i][0], in.At[i][1]}
	if len(in.Bays) > 0 {
		return r.At(in.Bays[i], place)
	}
	var s State
	err := errors.New("no bay")
	for panel := 0; panel < panels && err != nil; panel++ {
		s, err = r.At(panel, place)
	}
	return s, err
}

func slabCalculation(in slabPorts) (out struct {
	Deflections []quantity.Length `says:"of each place, down"`
	StressX     []quantity.Stress `says:"at the bottom, along x, of each place; tension positive"`
	StressY     []quantity.Stress `says:"at the bottom, along y"`
	TopTension  []quantity.Stress `says:"greatest at the top of each place, in any direction"`
	MomentX     []float64         `unit:"N*m/m" says:"tension at the bottom positive, bending along x"`
	MomentY     []float64         `unit:"N*m/m"`
	Transfer    quantity.Ratio    `says:"second place's deflection over the first's; 0 with one place"`
	Top         quantity.Stress   `says:"greatest tension of the top face"`
	Bottom      quantity.Stress   `says:"greatest tension of the bottom face"`
	Down        quantity.Length   `says:"greatest deflection"`
	Up          quantity.Length   `says:"least deflection; below zero it rises"`
	Contact     quantity.Ratio    `says:"share of the slab that presses on the soil"`
	Reaction    quantity.Force    `says:"of the soil"`
	Radius      quantity.Length   `says:"radius of relative stiffness; 0 without soil"`
}, err error) {
	s, err := in.model()
	if err != nil {
		return out, err
	}
	l, err := in.load()
	if err != nil {
		return out, err
	}
	for _, p := range in.At {
		if len(p) != 2 || (len(in.Bays) > 0 && len(in.Bays) != len(in.At)) {
			return out, errors.New("a place is [x, y], and every place has a bay or none has")
		}
	}
	r, err := Solve(context.Background(), s, l, Mesh{Size: in.Element.Metres()})
	if err != nil {
		return out, err
	}
	if r.Status != Solved {
		return out, errors.New("contact did not settle")
	}
	for i := range in.At {
		at, err := in.stateAt(r, len(s.Panels), i)
		if err != nil {
			return out, err
		}
		tension, _, _ := at.Top.Principal()
		out.Deflections = append(out.Deflections, quantity.Length(at.Deflection))
		out.StressX, out.StressY = append(out.StressX, quantity.Stress(at.Bottom.X)), append(out.StressY, quantity.Stress(at.Bottom.Y))
		out.TopTension = append(out.TopTension, quantity.Stress(tension))
		out.MomentX, out.MomentY = append(out.MomentX, at.MomentX), append(out.MomentY, at.MomentY)
	}
	if len(out.Deflections) > 1 && out.Deflections[0] != 0 {
		out.Transfer = quantity.Ratio(out.Deflections[1] / out.Deflections[0])
	}
	out.Top, out.Bottom = quantity.Stress(r.Top.Value), quantity.Stress(r.Bottom.Value)
	out.Down, out.Up = quantity.Length(r.Down.Value), quantity.Length(r.Up.Value)
	out.Contact, out.Reaction = quantity.Ratio(r.Contact), quantity.Force(r.Balance.Soil)
	if s.Support > 0 {
		out.Radius = quantity.Length(s.Radius())
	}
	return out, nil
}

func boundlessCalculation(in struct {
	P        quantity.Force           `says:"load"`
	A        quantity.Length          `says:"radius of its print; 0: a point" default:"0"`
	Distance quantity.Length          `says:"from a point load" default:"0"`
	H        quantity.Length          `says:"thickness"`
	E        quantity.Stress          `says:"modulus of elasticity"`
	Nu       quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
	K        quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
}) (out struct {
	Deflection quantity.Length `says:"under the disc's middle, or at the distance from the point"`
	Stress     quantity.Stress `says:"at the bottom under the disc's middle; 0 for a point"`
	Radius     quantity.Length `says:"radius of relative stiffness"`
}, err error) {
	if !(in.H > 0 && in.E > 0 && in.K > 0 && in.A >= 0 && in.Distance >= 0 && in.Nu >= 0 && in.Nu < 0.5) {
		return out, errors.New("thickness, modulus and soil are above zero, Poisson's ratio 0 to 0.5, radius and distance not below zero")
	}
	b := Boundless{in.H.Metres(), float64(in.E), float64(in.Nu), float64(in.K)}
	out.Radius = quantity.Length(b.slab().Radius())
	var w, tension float64
	if in.A > 0 {
		w, tension, err = b.UnderDisc(float64(in.P), in.A.Metres())
	} else {
		w, err = b.UnderPoint(float64(in.P), in.Distance.Metres())
	}
	out.Deflection, out.Stress = quantity.Length(w), quantity.Stress(tension)
	return out, err
}

func dowelCalculation(in struct {
	Diameter quantity.Length          `says:"of the bars"`
	Modulus  quantity.Stress          `says:"of the bars" default:"200e9"`
	Spacing  quantity.Length          `says:"along the joint"`
	Opening  quantity.Length          `says:"of the joint" default:"0"`
	Bedding  quantity.SubgradeModulus `says:"reaction of the concrete per depth a bar presses into it, 1.5e6 pci usual" default:"407e9"`
}) (out struct {
	Shear quantity.Stress `says:"force along a length of joint, over that length and the step between its sides"`
}, err error) {
	shear, err := Dowels{in.Diameter.Metres(), float64(in.Modulus), in.Spacing.Metres(), in.Opening.Metres(), float64(in.Bedding)}.JointShear()
	out.Shear = quantity.Stress(shear)
	return out, err
}
