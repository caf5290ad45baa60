package pour

import (
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/daywork"
	"slabwright/internal/engines/quantity"
)

// dayPorts is a day of strips and trucks as a table of checks writes it: one finishing operation, one window for all strips.
type dayPorts struct {
	Area           quantity.Area     `says:"of the slab"`
	Strip          quantity.Area     `says:"of one strip"`
	Placing        quantity.AreaRate `says:"all placers together"`
	Finishing      quantity.AreaRate `says:"one finisher"`
	Finishers      int               `says:"apart from the placers" default:"1" range:"1..60"`
	Opens          quantity.Time     `says:"after the end of a strip"`
	Closes         quantity.Time     `says:"after the end of a strip"`
	Trucks         int               `default:"1" range:"1..1000"`
	Spacing        quantity.Time     `says:"between trucks" default:"0"`
	SpacingScatter float64           `unit:"1" default:"0" range:"0..5" says:"standard deviation over mean"`
	PlacingScatter float64           `unit:"1" default:"0" range:"0..5"`
	WindowScatter  float64           `unit:"1" default:"0" range:"0..5"`
	WorkScatter    float64           `unit:"1" default:"0" range:"0..5"`
}

func (p dayPorts) day() daywork.Day {
	d := daywork.Day{Ops: []daywork.Op{{Name: "finish", Rate: 3600 * float64(p.Finishing), Most: 1, Tool: -1}}, Hands: 1 + p.Finishers, Bringer: 1, Apart: true,
		Rate: 3600 * float64(p.Placing), Windows: func(int, float64) daywork.Window {
			return daywork.Window{Opens: p.Opens.Hours(), Closes: p.Closes.Hours()}
		},
		Chance: daywork.Chance{Spacing: p.SpacingScatter, Bring: p.PlacingScatter, Window: p.WindowScatter, Work: p.WorkScatter}}
	for left := float64(p.Area); left > 1e-9*float64(p.Area) && p.Strip > 0 && len(d.Pieces) < 1000; left -= float64(p.Strip) {
		size := math.Min(left, float64(p.Strip))
		d.Pieces = append(d.Pieces, daywork.Piece{Volume: size, Work: []float64{size}})
	}
	for i := range p.Trucks {
		d.Loads = append(d.Loads, daywork.Load{Due: float64(i) * p.Spacing.Hours(), Volume: float64(p.Area) / float64(p.Trucks) * (1 + 1e-12)})
	}
	return d
}

// dayCalculations play the day of the crew.
func dayCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("pour.day_as_planned", "one day of trucks, strips and finishers played without chance", "own-rule", func(in dayPorts) (out struct {
			Late     int             `says:"strips finished after their window closed"`
			End      quantity.Time   `says:"all done, since the first truck"`
			Slack    quantity.Time   `says:"least time from finished to closed"`
			Waits    []quantity.Time `says:"of each truck"`
			Idle     quantity.Time   `says:"placers waiting for trucks"`
			Finished []quantity.Time `says:"each strip"`
		}, err error) {
			p, err := daywork.Planned(in.day())
			if err != nil {
				return out, err
			}
			slack := math.Inf(1)
			for _, t := range p.Tasks {
				if t.Late() > 0 {
					out.Late++
				}
				slack = math.Min(slack, t.Closes-t.Until)
				out.Finished = append(out.Finished, quantity.Hours(t.Until))
			}
			for _, l := range p.Loads {
				out.Waits = append(out.Waits, quantity.Hours(l.Begun-l.Came))
			}
			out.End, out.Slack, out.Idle = quantity.Hours(p.End), quantity.Hours(slack), quantity.Hours(p.Idle)
			return out, nil
		}),
		calc.New("pour.many_days", "the same day played many times by chance: the share on which finishing cannot keep up", "own-rule", func(in struct {
			Area           quantity.Area
			Strip          quantity.Area
			Placing        quantity.AreaRate
			Finishing      quantity.AreaRate `says:"one finisher"`
			Finishers      int               `default:"1" range:"1..60"`
			Opens          quantity.Time
			Closes         quantity.Time
			Trucks         int           `default:"1" range:"1..1000"`
			Spacing        quantity.Time `default:"0"`
			SpacingScatter float64       `unit:"1" default:"0.25" range:"0..5"`
			PlacingScatter float64       `unit:"1" default:"0.15" range:"0..5"`
			WindowScatter  float64       `unit:"1" default:"0.12" range:"0..5"`
			WorkScatter    float64       `unit:"1" default:"0.2" range:"0..5"`
			Days           int           `default:"2000" range:"1..100000"`
			Seed           int           `default:"1" range:"0..1000000000"`
		}) (out struct {
			Late  quantity.Ratio `says:"share of days"`
			Doubt quantity.Ratio `says:"1.96 √(p(1 − p)/N)"`
			P50   quantity.Time  `name:"p50" says:"all done, half of the days"`
			P90   quantity.Time  `name:"p90" says:"all done, nine days in ten"`
			Idle  quantity.Time  `says:"placers waiting for trucks, on average"`
			Queue quantity.Time  `says:"trucks waiting, all together, on average"`
		}, err error) {
			p := dayPorts{in.Area, in.Strip, in.Placing, in.Finishing, in.Finishers, in.Opens, in.Closes, in.Trucks, in.Spacing, in.SpacingScatter, in.PlacingScatter, in.WindowScatter, in.WorkScatter}
			o, err := daywork.Play(p.day(), daywork.Limits{}, in.Days, uint64(in.Seed))
			if err != nil {
				return out, err
			}
			out.Late, out.Doubt = quantity.Ratio(o.Late), quantity.Ratio(o.Doubt(o.Late))
			out.P50, out.P90, out.Idle, out.Queue = quantity.Hours(o.P50), quantity.Hours(o.P90), quantity.Hours(o.Idle), quantity.Hours(o.Queue)
			return out, nil
		}),
	}
}
