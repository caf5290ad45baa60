package grade

import (
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

func waterCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.runoff", "rain that runs off an area", string(sources.RationalMethod),
			func(in struct {
				Share quantity.Ratio      `says:"share of the rain that runs off" default:"0.95" range:"0..1"`
				Rain  quantity.LengthRate `says:"intensity" range:">= 0"`
				Area  quantity.Area       `range:">= 0"`
			}) (out struct {
				Flow      quantity.Flow
				Customary quantity.Flow `says:"by the rule cfs = C · in/h · acres, its factor taken as 1"`
			}, err error) {
				q, err := runoff(float64(in.Share), float64(in.Rain), float64(in.Area))
				out.Flow, out.Customary = quantity.Flow(q), quantity.Flow(q/rationalFactor)
				return out, err
			}),
		calc.New("grade.full_pipe", "flow of a round pipe running full", string(sources.Manning),
			func(in struct {
				Diameter  quantity.Length
				Slope     quantity.Slope
				Roughness quantity.Ratio `says:"Manning's n"`
			}) (out struct {
				Flow     quantity.Flow
				Velocity quantity.Speed
			}, err error) {
				q, err := fullPipe(in.Diameter.Metres(), float64(in.Roughness), float64(in.Slope))
				if err != nil {
					return out, err
				}
				out.Flow, out.Velocity = quantity.Flow(q), quantity.Speed(q/(math.Pi*in.Diameter.Metres()*in.Diameter.Metres()/4))
				return out, nil
			}),
		calc.New("grade.part_full_pipe", "flow of a round pipe part full, over its flow when full", string(sources.Manning),
			func(in struct {
				Fill quantity.Ratio `says:"depth over diameter"`
			}) (out struct{ Ratio quantity.Ratio }, err error) {
				r, err := partFull(float64(in.Fill))
				out.Ratio = quantity.Ratio(r)
				return out, err
			}),
		calc.New("grade.fullest_pipe", "depth at which a round pipe carries most", string(sources.Manning),
			func(struct{}) (out struct {
				Fill  quantity.Ratio `says:"depth over diameter"`
				Ratio quantity.Ratio `says:"flow over the flow when full"`
			}, err error) {
				fill, ratio := fullestFlow()
				out.Fill, out.Ratio = quantity.Ratio(fill), quantity.Ratio(ratio)
				return out, nil
			}),
		calc.New("grade.trench_flow", "flow of a rectangular trench drain at a depth", string(sources.Manning),
			func(in struct {
				Width     quantity.Length
				Depth     quantity.Length
				Slope     quantity.Slope
				Roughness quantity.Ratio `says:"Manning's n"`
			}) (out struct{ Flow quantity.Flow }, err error) {
				q, err := trenchFlow(in.Width.Metres(), in.Depth.Metres(), float64(in.Roughness), float64(in.Slope))
				out.Flow = quantity.Flow(q)
				return out, err
			}),
		calc.New("grade.trench_depth", "depth of water in a rectangular trench drain", string(sources.Manning),
			func(in struct {
				Width     quantity.Length
				Flow      quantity.Flow
				Slope     quantity.Slope
				Roughness quantity.Ratio `says:"Manning's n"`
			}) (out struct{ Depth quantity.Length }, err error) {
				y, err := normalDepth(in.Width.Metres(), float64(in.Flow), float64(in.Roughness), float64(in.Slope))
				out.Depth = quantity.Length(y)
				return out, err
			}),
		calc.New("grade.v_gutter", "flow of a gutter with two straight sides", string(sources.GutterFlow),
			func(in struct {
				Roughness quantity.Ratio  `says:"Manning's n"`
				Side1     quantity.Slope  `name:"side_1" says:"slope of one side"`
				Side2     quantity.Slope  `name:"side_2" says:"slope of the other"`
				Along     quantity.Slope  `says:"fall along the gutter"`
				Width     quantity.Length `says:"width of the water"`
			}) (out struct{ Flow quantity.Flow }, err error) {
				q, err := gutter(float64(in.Roughness), float64(in.Side1), float64(in.Side2), float64(in.Along), in.Width.Metres())
				out.Flow = quantity.Flow(q)
				return out, err
			}),
	}
}
