package grade

import (
	"errors"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// shapeCalculations are what stands on, under and round the flat slab: steps, edges, ponds, drains, batter boards.
func shapeCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.steps_volume", "concrete of a flight of solid steps", string(sources.Arithmetic),
			func(in struct {
				Risers quantity.Number `says:"how many" range:"1..40"`
				Rise   quantity.Length `says:"height of one" range:"> 0"`
				Run    quantity.Length `says:"depth of one tread" range:"> 0"`
				Width  quantity.Length `says:"width of the flight" range:"> 0"`
			}) (out struct{ Volume quantity.Volume }, err error) {
				n := int(in.Risers)
				if float64(n) != float64(in.Risers) {
					return out, errors.New("risers are counted in whole numbers")
				}
				out.Volume = stepsVolume(n, in.Rise, in.Run, in.Width)
				return out, nil
			}),
		calc.New("grade.thick_edge", "concrete of a thick edge all round a rectangle, below the slab", string(sources.Arithmetic),
			func(in struct {
				Length    quantity.Length `range:"> 0"`
				Width     quantity.Length `range:"> 0"`
				Thickness quantity.Length `says:"slab thickness" range:"> 0"`
				Depth     quantity.Length `says:"top of slab to bottom of edge" range:"> 0"`
				Flat      quantity.Length `says:"width of its flat bottom" range:"> 0"`
				Taper     quantity.Length `says:"width over which it runs up" default:"0" range:">= 0"`
			}) (out struct{ Volume quantity.Volume }, err error) {
				if in.Depth < in.Thickness {
					return out, errors.New("the edge is no deeper than the slab")
				}
				stage := Input{Outline: geometry.Rectangle(in.Length.Metres(), in.Width.Metres()), Thickness: known.Say(in.Thickness)}
				if len(stage.Outline.Faults()) > 0 {
					return out, errors.New("that is no rectangle a slab can have")
				}
				out.Volume, err = newWork(stage).edgeVolume(ThickEdge{Depth: known.Say(in.Depth), Width: known.Say(in.Flat), Taper: known.Say(in.Taper)})
				return out, err
			}),
		calc.New("grade.finish_scatter", "scatter of finished heights for a straightedge tolerance that 19 of 20 pass", string(sources.OwnRule),
			func(in struct {
				Tolerance quantity.Length `says:"gap under a 10 ft straightedge" range:">= 0"`
			}) (out struct{ Sigma quantity.Length }, err error) {
				out.Sigma = quantity.Length(finishScatter(in.Tolerance))
				return out, nil
			}),
		calc.New("grade.pond_chance", "chance that water stands somewhere on a rectangle that falls square to its long side", string(sources.PriorityFlood),
			func(in struct {
				Length    quantity.Length `range:"1..200"`
				Width     quantity.Length `range:"1..200"`
				Slope     quantity.Slope  `says:"fall of the slab" range:"0.001..0.25"`
				Tolerance quantity.Length `says:"gap under a 10 ft straightedge" default:"0.00635" range:"0..0.05"`
			}) (out struct {
				Chance quantity.Percent `says:"of water over 1/16 in deep"`
			}, err error) {
				stage := Defaults()
				stage.Outline, stage.Thickness, stage.Flatness = geometry.Rectangle(in.Length.Metres(), in.Width.Metres()), known.Say(quantity.Inches(6)), known.Say(in.Tolerance)
				stage.Least, stage.Greatest, stage.Cross = known.Say(in.Slope), known.Say(in.Slope), known.Say(quantity.Slope(0))
				stage.Drain = known.Say("to side AB")
				r, err := Design(stage)
				out.Chance = r.Standing
				return out, err
			}),
		calc.New("grade.pipe_size", "least pipe that carries a flow three quarters full", string(sources.Manning),
			func(in struct {
				Flow quantity.Flow  `range:"> 0"`
				Fall quantity.Slope `says:"fall of the pipe" default:"0.01" range:"> 0"`
			}) (out struct {
				Pipe     quantity.Length `says:"inside diameter"`
				Velocity quantity.Speed  `says:"when full"`
			}, err error) {
				out.Pipe, out.Velocity, err = pipeFor(float64(in.Flow), float64(in.Fall))
				return out, err
			}),
		calc.New("grade.batter_nail", "how far past a corner the nail of a batter board stands, along its string", string(sources.PlaneGeometry),
			func(in struct {
				Margin    quantity.Length `says:"dig past the slab edge" range:">= 0"`
				Clearance quantity.Length `says:"board clear of the dig" range:">= 0"`
				Corner    quantity.Angle  `says:"angle of the corner" default:"1.5707963267948966" range:"0.35..2.8"`
			}) (out struct{ Past quantity.Length }, err error) {
				out.Past = quantity.Length(nailPast(in.Margin, in.Clearance, math.Sin(float64(in.Corner))))
				return out, nil
			}),
	}
}
