package order

import (
	"fmt"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

func baseCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("order.base_after_depths", "level and roughness of a base after depths from string to base", string(sources.NormalLearning),
			func(in struct {
				Depths    []quantity.Length `says:"from string to base, one a place"`
				Thickness quantity.Length   `says:"of the slab as drawn"`
				Low       quantity.Length   `says:"how low it is believed to lie; default 1/8 in" default:"0.003175"`
				Level     quantity.Length   `says:"deviation of that; default 1/4 in" default:"0.00635"`
				Roughness quantity.Length   `says:"deviation from place to place; default 3/8 in" default:"0.009525"`
			}) (out struct {
				Low       quantity.Length
				Level     quantity.Length
				Roughness quantity.Length
			}, err error) {
				if in.Level < 0 || in.Roughness < 0 {
					return out, fmt.Errorf("deviations are not below zero")
				}
				over := make([]quantity.Length, len(in.Depths))
				for i, d := range in.Depths {
					over[i] = d - in.Thickness
				}
				b := Base{Low: in.Low, Level: in.Level, Roughness: in.Roughness}.Seen(over)
				out.Low, out.Level, out.Roughness = b.Low, b.Level, b.Roughness
				return out, nil
			}),
		calc.New("order.knowing_better", "what a smaller scatter of the need saves, ordering at least cost before and after", string(sources.NormalLearning),
			func(in struct {
				Mean  quantity.Volume
				Sd    quantity.Volume `says:"scatter now"`
				After quantity.Volume `says:"scatter after one more depth"`
				Over  quantity.MoneyVolume
				Under quantity.MoneyVolume
				TopUp quantity.Money `default:"0"`
			}) (out struct{ Value quantity.Money }, err error) {
				if in.Sd < 0 || in.After < 0 || in.After > in.Sd {
					return out, fmt.Errorf("scatters are not below zero, and the one after is not the larger")
				}
				out.Value = ShotValue(Need{in.Mean, in.Sd, in.Over, in.Under, in.TopUp}, Need{in.Mean, in.After, in.Over, in.Under, in.TopUp})
				return out, nil
			}),
		calc.New("order.correlated_scatter", "deviation of the mean of a square of cells whose neighbours are correlated", string(sources.Arithmetic),
			func(in struct {
				Side        int            `says:"cells along one side"`
				Correlation quantity.Ratio `says:"of neighbours, along and across"`
			}) (out struct {
				Share quantity.Ratio `says:"of a cell's deviation"`
			}, err error) {
				if in.Side < 1 || in.Side > 10000 || in.Correlation < 0 || in.Correlation > 1 {
					return out, fmt.Errorf("1 to 10,000 cells a side, correlation 0 to 1")
				}
				out.Share = quantity.Ratio(CorrelatedScatter(in.Side, float64(in.Correlation)))
				return out, nil
			}),
	}
}

type pourPorts struct {
	Net       quantity.Volume
	Area      quantity.Area
	Perimeter quantity.Length      `default:"0"`
	Depth     quantity.Length      `says:"of the form edge" default:"0"`
	Low       quantity.Length      `says:"how low the base lies; default 1/8 in" default:"0.003175"`
	Level     quantity.Length      `says:"deviation of that; default 1/4 in" default:"0.00635"`
	Roughness quantity.Length      `says:"deviation within one cell; default 3/8 in" default:"0.009525"`
	Cell      quantity.Area        `says:"default 25 ft2" default:"2.322576"`
	Bow       quantity.Length      `default:"0.00635"`
	Yield     quantity.Percent     `default:"0.01"`
	Waste     quantity.Volume      `says:"default 0.1 yd3" default:"0.0764554857984"`
	WasteSd   quantity.Volume      `says:"default 0.05 yd3" default:"0.0382277428992"`
	Placed    quantity.Volume      `default:"0"`
	Done      quantity.Percent     `says:"share of the area placed" default:"0"`
	Order     quantity.Volume      `says:"an order to try" default:"0"`
	Reach     quantity.Length      `says:"how far errors of the base hang together; 0: each cell for itself" default:"0"`
	Runs      int                  `default:"10000"`
	Seed      int                  `default:"1"`
	Over      quantity.MoneyVolume `default:"0"`
	Under     quantity.MoneyVolume `default:"0"`
	TopUp     quantity.Money       `default:"0"`
}

func (p pourPorts) uncertain() (Uncertain, error) {
	if !(p.Net > 0 && p.Area > 0 && p.Cell > 0) || p.Level < 0 || p.Roughness < 0 || p.Done < 0 || p.Done > 1 || p.Runs < 1 || p.Runs > 1000000 || p.Seed < 0 {
		return Uncertain{}, fmt.Errorf("net, area and cell are above zero, deviations not below, done between 0 and 1, runs 1 to 1,000,000")
	}
	return Uncertain{Net: p.Net, Area: p.Area, Perimeter: p.Perimeter, Depth: p.Depth, BaseMean: p.Low, BaseLevel: p.Level, Roughness: p.Roughness,
		Cell: p.Cell, Bow: p.Bow, Yield: float64(p.Yield), Waste: p.Waste, WasteSD: p.WasteSd}, nil
}

func pourCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("order.rest_of_pour", "what the rest of a pour will need, learned from the part done", string(sources.NormalLearning),
			func(in pourPorts) (out struct {
				Mean quantity.Volume
				Sd   quantity.Volume
			}, err error) {
				u, err := in.uncertain()
				if err == nil {
					out.Mean, out.Sd = u.Rest(Progress{in.Placed, float64(in.Done)})
				}
				return out, err
			}),
		calc.New("order.simulated_order", "an order tried on invented pours with correlated errors of the base", string(sources.OwnRule),
			func(in pourPorts) (out struct {
				Mean        quantity.Volume
				Sd          quantity.Volume
				ShortChance quantity.Ratio
				LeftOver    quantity.Volume
				Cost        quantity.Money
				Need95      quantity.Volume `says:"nineteen pours in twenty need no more"`
			}, err error) {
				u, err := in.uncertain()
				if err != nil {
					return out, err
				}
				p := u.Play(Need{Over: in.Over, Under: in.Under, TopUp: in.TopUp}, in.Order, in.Reach, in.Runs, uint64(in.Seed))
				out.Mean, out.Sd, out.ShortChance, out.LeftOver, out.Cost, out.Need95 = p.Mean, p.SD, quantity.Ratio(p.ShortChance), p.LeftOver, p.Cost, p.Need95
				return out, nil
			}),
		calc.New("order.balance_call", "load to phone while the pour runs", string(sources.Newsvendor),
			func(in struct {
				Rest      quantity.Volume `says:"still needed, on average"`
				Sd        quantity.Volume
				Firm      quantity.Volume `says:"on its way or on site"`
				Capacity  quantity.Volume `says:"what a truck brings; default 9 yd3" default:"6.880993722144"`
				Increment quantity.Volume `says:"default a quarter yard" default:"0.191138714496"`
				Over      quantity.MoneyVolume
				Under     quantity.MoneyVolume
				TopUp     quantity.Money   `says:"of running short later"`
				FeeBelow  quantity.Volume  `says:"loads below this cost the fee" default:"0"`
				Fee       quantity.Money   `default:"0"`
				MostShort quantity.Percent `says:"0: any" default:"0"`
			}) (out struct {
				Call        quantity.Volume `says:"0: nothing"`
				ShortChance quantity.Ratio  `says:"with it"`
				Without     quantity.Ratio  `says:"chance of running short without it"`
				Cost        quantity.Money  `says:"of being wrong and the fee"`
			}, err error) {
				if !(in.Increment > 0) || in.Sd < 0 || in.Capacity/in.Increment > 1e5 {
					return out, fmt.Errorf("a step is above zero and not too small, scatter not below zero")
				}
				b := BestBalance(Need{in.Rest, in.Sd, in.Over, in.Under, in.TopUp}, in.Firm, in.Increment, in.Capacity, float64(in.MostShort),
					func(load quantity.Volume) quantity.Money { return ShortLoadFee(load, in.FeeBelow, in.Fee, 0) })
				out.Call, out.ShortChance, out.Without, out.Cost = b.Call, quantity.Ratio(b.Outlook.ShortChance), quantity.Ratio(b.Without.ShortChance), b.Outlook.Cost+b.CallCost
				return out, nil
			}),
		calc.New("order.delivery_ticket", "a delivery ticket held against the order: age, water, yield, running total", string(sources.C94Ticket),
			func(in ticketPorts) (out ticketAnswer, err error) { return in.judge() }),
	}
}

type ticketPorts struct {
	Units        string           `says:"us or metric tolerances" default:"us"`
	Ordered      quantity.Volume  `says:"of the whole order" default:"0"`
	Before       quantity.Volume  `says:"brought by loads before" default:"0"`
	Volume       quantity.Volume  `says:"on the ticket"`
	Minutes      quantity.Time    `says:"from batching to the end of the chute" default:"0"`
	TimeLimit    quantity.Time    `default:"5400"`
	Limit        quantity.Ratio   `says:"most w/cm ordered; 0: none" default:"0"`
	Cementitious quantity.Mass    `says:"of the load" default:"0"`
	Water        quantity.Volume  `says:"batched, of the load" default:"0"`
	Added        quantity.Volume  `says:"let in on site" default:"0"`
	SlumpOrdered quantity.Length  `default:"0"`
	Slump        quantity.Length  `default:"0"`
	AirOrdered   quantity.Percent `default:"0"`
	Air          quantity.Percent `default:"0"`
	Temperature  quantity.Temp    `default:"20"`
	Section      quantity.Length  `default:"0.1524"`
	Weight       quantity.Mass    `says:"all that was batched" default:"0"`
	Density      quantity.Density `says:"measured" default:"0"`
}

type ticketAnswer struct {
	Verdict     string          `says:"good, care or stop: the gravest"`
	WaterCement quantity.Ratio  `says:"0: not known"`
	MayAdd      quantity.Volume `says:"water the limit still allows"`
	Left        quantity.Time   `says:"of the time limit"`
	Yield       quantity.Ratio  `says:"0: not known"`
	Total       quantity.Volume `says:"received, this load in it"`
	Balance     quantity.Volume
	Stops       []string `says:"checks that say don't"`
	Cares       []string `says:"checks that say take care"`
}

// given makes a known value of a number that is not zero.
func given[T ~float64](v T) known.Known[T] {
	if v == 0 {
		return known.Known[T]{}
	}
	return known.Say(v)
}

func (in ticketPorts) judge() (out ticketAnswer, err error) {
	system, ok := map[string]quantity.System{"us": quantity.US, "metric": quantity.Metric}[in.Units]
	if !ok {
		return out, fmt.Errorf("no units %q; name us or metric", in.Units)
	}
	o := Ordered{Units: system, Volume: in.Ordered, WaterCement: float64(in.Limit), Slump: given(in.SlumpOrdered), Air: given(in.AirOrdered), TimeLimit: in.TimeLimit, Section: in.Section}
	t := Ticket{Volume: given(in.Volume), Cementitious: given(in.Cementitious), Water: given(in.Water), Added: given(in.Added), Slump: given(in.Slump),
		Air: given(in.Air), Temp: known.Say(in.Temperature), Weight: given(in.Weight), Density: given(in.Density)}
	if in.Minutes > 0 {
		t.Batched, t.Emptied = known.Say(quantity.Clock(0)), known.Say(quantity.Clock(int(in.Minutes.Minutes()+0.5)))
	}
	r := o.JudgeTicket(1, in.Before, t)
	return answerOf(r), nil
}

// answerOf puts a receipt into the ports of its calculation.
func answerOf(r Receipt) ticketAnswer {
	out := ticketAnswer{Verdict: check.Worst(r.Checks).Word(), WaterCement: quantity.Ratio(r.WaterCement), MayAdd: r.MayAdd, Left: r.Left, Yield: quantity.Ratio(r.Yield),
		Total: r.Total, Balance: r.Balance, Stops: []string{}, Cares: []string{}}
	for _, c := range r.Checks {
		switch c.Level {
		case check.Stop:
			out.Stops = append(out.Stops, string(c.ID))
		case check.Care:
			out.Cares = append(out.Cares, string(c.ID))
		}
	}
	return out
}
