package order

import (
	_ "embed" // the table of check rows
	"errors"
	"fmt"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows of this package, as CSV.
func Checks() string { return checksCSV }

// Calculations are the formulas of this package, callable by name.
func Calculations() []calc.Calculation {
	return slices.Concat(volumeCalculations(), orderCalculations(), truckCalculations(), baseCalculations(), pourCalculations())
}

func volumeCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("order.slab_volume", "concrete of a slab", string(sources.Arithmetic),
			func(in struct {
				Area      quantity.Area   `range:">= 0"`
				Thickness quantity.Length `range:">= 0"`
				Edges     quantity.Volume `says:"what thick edges add" default:"0"`
			}) (out struct{ Volume quantity.Volume }, err error) {
				out.Volume = SlabVolume(in.Area, in.Thickness, in.Edges)
				return out, nil
			}),
		calc.New("order.coverage", "area a volume covers", string(sources.Arithmetic),
			func(in struct {
				Volume    quantity.Volume
				Thickness quantity.Length
			}) (out struct{ Area quantity.Area }, err error) {
				if !(in.Thickness > 0) {
					return out, fmt.Errorf("a thickness is above zero")
				}
				out.Area = Coverage(in.Volume, in.Thickness)
				return out, nil
			}),
		calc.New("order.allowance_order", "neat volume and a share on top, up to the plant's step", string(sources.CommonPractice),
			func(in struct {
				Neat      quantity.Volume  `range:">= 0"`
				Allowance quantity.Percent `default:"0.07" range:">= 0"`
				Increment quantity.Volume  `says:"the plant's step; default a quarter yard" default:"0.191138714496" range:"> 0"`
			}) (out struct {
				Needed quantity.Volume `says:"neat and the share"`
				Order  quantity.Volume
			}, err error) {
				if !(in.Increment > 0) {
					return out, fmt.Errorf("a step is above zero")
				}
				out.Needed, out.Order = AllowanceOrder(in.Neat, float64(in.Allowance), in.Increment)
				return out, nil
			}),
		calc.New("order.thickness_error", "what a slab that comes out thicker takes of an order", string(sources.NRMCAYield),
			func(in struct {
				Error     quantity.Length `says:"thicker than planned by"`
				Thickness quantity.Length `says:"planned"`
				Order     quantity.Volume
			}) (out struct {
				Share  quantity.Percent
				Volume quantity.Volume
			}, err error) {
				if !(in.Thickness > 0) {
					return out, fmt.Errorf("a thickness is above zero")
				}
				out.Share = quantity.Percent(in.Error / in.Thickness)
				out.Volume = in.Order * quantity.Volume(out.Share)
				return out, nil
			}),
		calc.New("order.thickness_scatter", "standard deviation of the mean thickness over a pour", string(sources.Arithmetic),
			func(in struct {
				Area       quantity.Area
				Systematic quantity.Length `says:"sd that does not average out"`
				Roughness  quantity.Length `says:"sd within one cell"`
				Cell       quantity.Area   `says:"area that is one cell"`
			}) (out struct{ Sd quantity.Length }, err error) {
				if !(in.Area > 0 && in.Cell > 0) {
					return out, fmt.Errorf("areas are above zero")
				}
				out.Sd = ThicknessScatter(in.Area, in.Systematic, in.Roughness, in.Cell)
				return out, nil
			}),
		calc.New("order.needed_volume", "mean and scatter of the volume that will be needed", string(sources.CommonPractice),
			func(in struct {
				Net           quantity.Volume
				Area          quantity.Area
				Perimeter     quantity.Length
				Depth         quantity.Length  `says:"of the form edge"`
				BaseMean      quantity.Length  `says:"how low bases lie on average" default:"0.003175"`
				BaseLevel     quantity.Length  `says:"sd of the base level over the whole pour" default:"0.00635"`
				Roughness     quantity.Length  `says:"sd of the base within one cell" default:"0.009525"`
				Cell          quantity.Area    `says:"area of a cell; default 25 ft2" default:"2.322576"`
				Bow           quantity.Length  `says:"forms bow out" default:"0.00635"`
				Yield         quantity.Percent `says:"sd of a load's yield" default:"0.01"`
				Waste         quantity.Volume  `says:"default 0.1 yd3" default:"0.0764554857984"`
				WasteSd       quantity.Volume  `says:"default 0.05 yd3" default:"0.0382277428992"`
				Penetration   quantity.Length  `says:"into open stone" default:"0"`
				PenetrationSd quantity.Length  `default:"0"`
			}) (out struct {
				Mean quantity.Volume
				Sd   quantity.Volume
			}, err error) {
				u := Uncertain{in.Net, in.Area, in.Perimeter, in.Depth, in.BaseMean, in.BaseLevel, in.Roughness, in.Cell, in.Bow, float64(in.Yield), in.Waste, in.WasteSd, in.Penetration, in.PenetrationSd}
				out.Mean, out.Sd = Total(in.Net, u.Parts())
				return out, nil
			}),
	}
}

type bestPorts struct {
	Mean      quantity.Volume      `says:"needed on average"`
	Sd        quantity.Volume      `says:"scatter of the need"`
	Over      quantity.MoneyVolume `says:"cost of concrete left over"`
	Under     quantity.MoneyVolume `says:"extra cost of concrete brought later"`
	TopUp     quantity.Money       `says:"fixed cost of any top-up" default:"0"`
	Increment quantity.Volume      `says:"the plant's step; default a quarter yard" default:"0.191138714496"`
	Least     quantity.Volume      `says:"never order less" default:"0"`
	MostShort quantity.Percent     `says:"largest chance of running short; 0: any" default:"0"`
}

type bestAnswer struct {
	Z           quantity.Ratio  `says:"deviate of the best order of any size"`
	Quantity    quantity.Volume `says:"best order of any size"`
	Cost        quantity.Money  `says:"expected cost of being wrong, of that"`
	Order       quantity.Volume `says:"best order in whole steps"`
	OrderCost   quantity.Money
	ShortChance quantity.Ratio  `says:"of the order in whole steps"`
	LeftOver    quantity.Volume `says:"of the order in whole steps, on average"`
}

func orderCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("order.best_quantity", "cheapest order under uncertain need, with a fixed cost of topping up", string(sources.Newsvendor),
			func(in bestPorts) (out bestAnswer, err error) {
				if !(in.Increment > 0) || in.Sd < 0 || in.Mean < 0 || in.Over < 0 || in.Under < 0 || in.TopUp < 0 {
					return out, fmt.Errorf("a step is above zero; volumes, scatter and costs are not below")
				}
				if in.Sd/in.Increment > 1e5 || max(in.Mean, in.Least)/in.Increment > 1e9 {
					return out, fmt.Errorf("the step is too small for this volume")
				}
				n := Need{in.Mean, in.Sd, in.Over, in.Under, in.TopUp}
				z, best := n.Best()
				grid := n.BestOnGrid(in.Increment, in.Least, float64(in.MostShort))
				return bestAnswer{quantity.Ratio(z), best.Quantity, best.Cost, grid.Quantity, grid.Cost, quantity.Ratio(grid.ShortChance), grid.LeftOver}, nil
			}),
		calc.New("order.outlook", "what to expect of one order", string(sources.Newsvendor),
			func(in struct {
				Order quantity.Volume
				Mean  quantity.Volume
				Sd    quantity.Volume
				Over  quantity.MoneyVolume
				Under quantity.MoneyVolume
				TopUp quantity.Money `default:"0"`
			}) (out struct {
				Cost        quantity.Money
				ShortChance quantity.Ratio
				LeftOver    quantity.Volume
			}, err error) {
				if in.Sd < 0 {
					return out, fmt.Errorf("a scatter is not below zero")
				}
				o := Need{in.Mean, in.Sd, in.Over, in.Under, in.TopUp}.Outlook(in.Order)
				out.Cost, out.ShortChance, out.LeftOver = o.Cost, quantity.Ratio(o.ShortChance), o.LeftOver
				return out, nil
			}),
		calc.New("order.spoken_amount", "an amount as it is said to the dispatcher", string(sources.CommonPractice),
			func(in struct {
				Amount quantity.Volume
				Units  string `says:"us or metric" default:"us"`
			}) (out struct {
				Written string
				Spoken  string
			}, err error) {
				system, ok := map[string]quantity.System{"us": quantity.US, "metric": quantity.Metric}[in.Units]
				if !ok {
					return out, fmt.Errorf("no units %q; name us or metric", in.Units)
				}
				if in.Amount < 0 {
					return out, errors.New("an amount is not below zero")
				}
				out.Written, out.Spoken = WriteAmount(in.Amount, system), SayAmount(in.Amount, system)
				return out, nil
			}),
	}
}

func truckCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("order.load_split", "an order shared evenly over the fewest loads", string(sources.Arithmetic),
			func(in struct {
				Volume    quantity.Volume
				Capacity  quantity.Volume `says:"what a truck brings"`
				Increment quantity.Volume `says:"the plant's step; default a quarter yard" default:"0.191138714496"`
			}) (out struct {
				Loads []quantity.Volume
				Count int
			}, err error) {
				if !(in.Increment > 0 && in.Capacity >= in.Increment && in.Volume > 0) || in.Volume/in.Increment > 1e6 {
					return out, fmt.Errorf("a truck brings at least one step, and the volume is above zero")
				}
				out.Loads = Split(in.Volume, in.Capacity, in.Increment)
				out.Count = len(out.Loads)
				return out, nil
			}),
		calc.New("order.truck_cycle", "spacing, round and number of trucks for a placing rate", string(sources.CommonPractice),
			func(in struct {
				Load  quantity.Volume
				Rate  quantity.VolumeRate `says:"the crew places"`
				Batch quantity.Time       `default:"600"`
				Haul  quantity.Time       `says:"one way"`
				SetUp quantity.Time       `default:"300"`
				Wash  quantity.Time       `default:"600"`
				Loads int                 `says:"loads in all; trucks are never more" default:"1000"`
				Asked quantity.Time       `name:"spacing_asked" says:"spacing kept; 0: load over rate" default:"0"`
			}) (out struct {
				Spacing quantity.Time `says:"load over placing rate"`
				Cycle   quantity.Time
				Trucks  int
			}, err error) {
				if !(in.Load > 0 && in.Rate > 0) || in.Loads < 1 {
					return out, fmt.Errorf("load, rate and number of loads are above zero")
				}
				d := Delivery{in.Rate, in.Batch, in.Haul, in.SetUp, in.Wash}
				out.Spacing, out.Cycle = d.discharge(in.Load), d.Cycle(in.Load)
				if in.Asked > 0 {
					out.Spacing = in.Asked
				}
				out.Trucks = d.TrucksFor(in.Load, out.Spacing, in.Loads)
				return out, nil
			}),
		calc.New("order.truck_timeline", "waits, gaps and ages of loads at a spacing with so many trucks", string(sources.Arithmetic),
			func(in struct {
				Loads   []quantity.Volume
				Rate    quantity.VolumeRate
				Spacing quantity.Time
				Trucks  int
				Batch   quantity.Time `default:"600"`
				Haul    quantity.Time
				SetUp   quantity.Time `default:"300"`
				Wash    quantity.Time `default:"600"`
			}) (out struct {
				Arrives []quantity.Time `says:"from the first truck's arrival"`
				Ends    []quantity.Time `says:"end of discharge"`
				Waits   []quantity.Time `says:"of each truck in the queue"`
				Gaps    []quantity.Time `says:"of the crew before each load"`
				Ages    []quantity.Time `says:"from batching to the end of discharge"`
			}, err error) {
				if !(in.Rate > 0) || in.Trucks < 1 {
					return out, fmt.Errorf("rate and number of trucks are above zero")
				}
				for _, l := range (Delivery{in.Rate, in.Batch, in.Haul, in.SetUp, in.Wash}).Timeline(in.Loads, in.Spacing, in.Trucks) {
					out.Arrives, out.Ends = append(out.Arrives, l.Arrives), append(out.Ends, l.Ends)
					out.Waits, out.Gaps, out.Ages = append(out.Waits, l.Wait), append(out.Gaps, l.Gap), append(out.Ages, l.Age)
				}
				return out, nil
			}),
		calc.New("order.short_load_fee", "what a load below the plant's least costs", string(sources.CommonPractice),
			func(in struct {
				Load       quantity.Volume
				Below      quantity.Volume      `says:"the plant's least"`
				Flat       quantity.Money       `default:"0"`
				PerMissing quantity.MoneyVolume `says:"of each volume missing" default:"0"`
			}) (out struct{ Fee quantity.Money }, err error) {
				out.Fee = ShortLoadFee(in.Load, in.Below, in.Flat, in.PerMissing)
				return out, nil
			}),
		calc.New("order.bridge_formula", "weight a group of axles may carry on a public road", string(sources.BridgeFormula),
			func(in struct {
				Length quantity.Length `says:"between the outer axles"`
				Axles  int
			}) (out struct {
				Weight quantity.Mass `says:"by the formula"`
				Posted quantity.Mass `says:"to the nearest 500 lb"`
			}, err error) {
				out.Weight, out.Posted, err = BridgeFormula(in.Length, in.Axles)
				return out, err
			}),
	}
}
