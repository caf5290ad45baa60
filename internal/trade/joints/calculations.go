package joints

import (
	_ "embed"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows of this stage.
func Checks() string { return checksCSV }

// Calculations are the formulas of this stage, callable by name.
func Calculations() []calc.Calculation {
	return append(formulas(), layoutCalculation())
}

func formulas() []calc.Calculation {
	return []calc.Calculation{
		calc.New("joints.spacing", "largest joint spacing by thickness", string(sources.ACI330Joints),
			func(in struct {
				Thickness quantity.Length `says:"slab thickness"`
				Factor    quantity.Ratio  `says:"spacing over thickness, 24 to 36" default:"30"`
				Cap       quantity.Length `says:"never farther apart than" default:"4.572"`
			}) (out struct{ Spacing quantity.Length }, err error) {
				out.Spacing, err = Spacing(in.Thickness, in.Factor, in.Cap)
				return out, err
			}),
		calc.New("joints.table_spacing", "joint spacing from the PCA table", string(sources.PCAJointTable),
			func(in struct {
				Thickness quantity.Length `says:"slab thickness, 4 to 10 in"`
				Slump     quantity.Length `says:"slump, up to 6 in"`
				Stone     quantity.Length `says:"largest stone"`
			}) (out struct{ Spacing quantity.Length }, err error) {
				out.Spacing, err = TableSpacing(in.Thickness, in.Slump, in.Stone)
				return out, err
			}),
		calc.New("joints.saw_depth", "how deep to cut a joint", string(sources.ACI330Joints),
			func(in struct {
				Thickness quantity.Length `says:"slab thickness"`
				Share     quantity.Ratio  `says:"cut depth over thickness" default:"0.25"`
			}) (out struct{ Depth quantity.Length }, err error) {
				out.Depth, err = SawDepth(in.Thickness, in.Share)
				return out, err
			}),
		calc.New("joints.rectangle", "fewest panels of a rectangle and their sides", string(sources.Arithmetic),
			func(in struct {
				Length    quantity.Length `says:"one side"`
				Width     quantity.Length `says:"the other side"`
				Spacing   quantity.Length `says:"largest joint spacing"`
				MaxAspect quantity.Ratio  `says:"longest panel, length over width" default:"1.5"`
			}) (out struct {
				Panels, Columns, Rows   int
				PanelLength, PanelWidth quantity.Length
			}, err error) {
				box := geometry.Rectangle(in.Length.Metres(), in.Width.Metres())
				if faults := box.Faults(); len(faults) > 0 || !(in.Spacing > 0) || !(in.MaxAspect >= 1) {
					return out, errRectangle
				}
				nx, ny, ok := rectangleBound(in.Length.Metres(), in.Width.Metres(), in.Spacing.Metres(), float64(in.MaxAspect))
				if !ok {
					return out, errRectangle
				}
				out.Panels, out.Columns, out.Rows = nx*ny, nx, ny
				out.PanelLength, out.PanelWidth = in.Length/quantity.Length(nx), in.Width/quantity.Length(ny)
				return out, nil
			}),
		calc.New("joints.bend", "panels of a curved strip cut by radial joints", string(sources.CommonPractice),
			func(in struct {
				InnerRadius quantity.Length `says:"radius of the inner edge"`
				OuterRadius quantity.Length `says:"radius of the outer edge"`
				Turn        quantity.Angle  `says:"angle the strip turns through"`
				Spacing     quantity.Length `says:"largest joint spacing"`
				MaxAspect   quantity.Ratio  `says:"longest panel, length over width" default:"1.5"`
			}) (out struct {
				Panels   int
				OuterArc quantity.Length
				Aspect   quantity.Ratio
			}, err error) {
				out.Panels, out.OuterArc, out.Aspect, err = BendPanels(in.InnerRadius, in.OuterRadius, in.Turn, in.Spacing, in.MaxAspect)
				return out, err
			}),
		calc.New("joints.panels_by_crossings", "panels of a slab without box-outs from its joint lines and their crossings", string(sources.Definition),
			func(in struct {
				Joints    int `says:"joint lines, each from edge to edge"`
				Crossings int `says:"places where two joints cross inside the slab"`
			}) (out struct{ Panels int }, err error) {
				out.Panels = 1 + in.Joints + in.Crossings
				return out, nil
			}),
		calc.New("joints.silica_respirator", "respirator for sawing concrete", string(sources.SilicaTable),
			func(in struct {
				Tool    string  `says:"handheld saw, walk-behind saw or stationary saw"`
				Water   bool    `says:"integrated water feeds the blade" default:"true"`
				Indoors bool    `says:"indoors or in an enclosed area" default:"false"`
				Hours   float64 `unit:"h" says:"hours of the task in a shift"`
			}) (out struct {
				Respirator string `says:"none, APF 10, or what to do instead"`
			}, err error) {
				out.Respirator, err = SilicaRespirator(in.Tool, in.Water, in.Indoors, in.Hours)
				return out, err
			}),
		calc.New("joints.diamond", "point-to-point size of the diamond box-out round a rectangular one", string(sources.Definition),
			func(in struct {
				Length quantity.Length `says:"one side of the box-out"`
				Width  quantity.Length `says:"the other side"`
			}) (out struct{ PointToPoint quantity.Length }, err error) {
				out.PointToPoint = in.Length + in.Width
				return out, nil
			}),
	}
}

// layoutCalculation is the whole stage on an outline, for tables of test outlines.
func layoutCalculation() calc.Calculation {
	return calc.New("joints.layout", "joint layout of an outline", string(sources.OwnRule),
		func(in struct {
			Corners   [][]float64     `unit:"m" says:"corners of the outline, in order"`
			BoxOut    [][]float64     `unit:"m" says:"corners of one box-out" default:"none"`
			Diamond   bool            `says:"turn a square box-out so that joints run into its points" default:"true"`
			Thickness quantity.Length `says:"slab thickness"`
			Factor    quantity.Ratio  `says:"spacing over thickness" default:"30"`
			Cap       quantity.Length `says:"never farther apart than" default:"4.572"`
			MaxAspect quantity.Ratio  `says:"longest panel, length over width" default:"1.5"`
			Prefer    string          `says:"fewest or squarest" default:"fewest"`
		}) (out struct {
			Panels       int
			Cuts         int
			Crossings    int
			SawLength    quantity.Length
			LargestPanel quantity.Length
			WorstAspect  quantity.Ratio
			SmallestArea quantity.Area
			LargestArea  quantity.Area
			Broken       []string `says:"hard rules the layout breaks though another outline is not to blame"`
			Forced       []string `says:"hard rules the outline itself breaks"`
			Words        string   `says:"what is said of the first rule the outline breaks"`
		}, err error) {
			stage := Defaults()
			if stage.Outline, err = outlineOf(in.Corners); err != nil {
				return out, err
			}
			if len(in.BoxOut) > 0 {
				hole, err := outlineOf(in.BoxOut)
				if err != nil {
					return out, err
				}
				stage.Outline.Holes = [][]geometry.Point{hole.Outer}
			}
			stage.Thickness, stage.Factor, stage.Cap = known.Say(in.Thickness), known.Say(in.Factor), known.Say(in.Cap)
			stage.MaxAspect, stage.Prefer, stage.Diamond = known.Say(in.MaxAspect), known.Say(in.Prefer), known.Say(in.Diamond)
			r, err := Design(stage)
			if err != nil {
				return out, err
			}
			out.Panels, out.Cuts, out.SawLength, out.Crossings = len(r.Panels), len(r.Cuts), r.SawLength, crossings(r.Cuts)
			out.SmallestArea = r.Panels[0].Area
			for _, p := range r.Panels {
				out.LargestPanel, out.WorstAspect = max(out.LargestPanel, p.Length), max(out.WorstAspect, p.Aspect)
				out.SmallestArea, out.LargestArea = min(out.SmallestArea, p.Area), max(out.LargestArea, p.Area)
			}
			out.Broken, out.Forced = []string{}, []string{}
			for _, b := range r.Breaches {
				list := &out.Broken
				if b.Outline {
					list = &out.Forced
					if out.Words == "" {
						out.Words = b.Says
					}
				}
				if !slices.Contains(*list, b.Rule) {
					*list = append(*list, b.Rule)
				}
			}
			return out, nil
		})
}

func crossings(cuts []Cut) int {
	n := 0
	for i, a := range cuts {
		for _, b := range cuts[:i] {
			if how, _ := a.Line.Meet(b.Line); how == geometry.Crossing {
				n++
			}
		}
	}
	return n
}
