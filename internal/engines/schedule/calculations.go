package schedule

import (
	_ "embed"
	"errors"
	"math"
	"strings"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the engine's table of check rows.
func Checks() string { return checksCSV }

// Keys of the sources this engine's calculations rest on.
const (
	arithmetic = "arithmetic"
	definition = "definition"
	queueing   = "queueing-survey"
	pert       = "pert-textbook"
	habit      = "common-practice"
)

// Calculations offers the engine's formulas by name.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("schedule.keep_up_area", "greatest area that finishers can follow", arithmetic, keepUpCalculation),
		calc.New("schedule.strips", "each strip of a day placed, finished, and late or not", arithmetic, stripsCalculation),
		calc.New("schedule.rate_in_series", "rate of one crew that does several operations one after another", arithmetic, seriesCalculation),
		calc.New("schedule.finishing_window", "finishing window of a strip by temperature, a stand-in for a set model", habit, windowCalculation),
		calc.New("schedule.steady_queue", "waits of trucks that come and unload steadily (D/D/1)", definition, steadyCalculation),
		calc.New("schedule.queue", "line before one server in the long run: M/D/1, M/M/1 or between", queueing, queueCalculation),
		calc.New("schedule.simulated_queue", "line before a steady server with random arrivals, from a seed", queueing, simulateCalculation),
		calc.New("schedule.three_points", "mean and variance of three guesses of a time", pert, pointsCalculation),
		calc.New("schedule.network", "longest path of activities that wait for one another, and the chance to be done by a time", pert, networkCalculation),
		calc.New("schedule.done_by", "chance that activities one after another are done by a time, from means and variances", pert, doneByCalculation),
		calc.New("schedule.later_of_two", "mean of the later of two independent normal times (merge bias)", definition, laterCalculation),
	}
}

func keepUpCalculation(in struct {
	Opens     quantity.Time     `says:"from placing to the opening of the finishing window"`
	Closes    quantity.Time     `says:"from placing to its closing"`
	Finishing quantity.AreaRate `says:"all finishers together"`
	Placing   quantity.AreaRate
	Strip     quantity.Area `says:"area of a strip, windows counted from its end; 0: continuous" default:"0"`
}) (out struct {
	Area    quantity.Area `says:"0 when unlimited"`
	Limited bool          `says:"finishing is slower than placing"`
}, err error) {
	switch {
	case in.Finishing <= 0 || in.Placing <= 0:
		return out, errors.New("rates are above zero")
	case in.Opens < 0 || in.Opens >= in.Closes:
		return out, errors.New("the finishing window closes before it opens")
	case in.Strip < 0:
		return out, errors.New("a strip is not below zero")
	}
	area := KeepUp(in.Opens.Hours(), in.Closes.Hours(), 3600*float64(in.Finishing), 3600*float64(in.Placing), float64(in.Strip))
	if !math.IsInf(area, 1) {
		out.Area, out.Limited = quantity.Area(area), true
	}
	return out, nil
}

func stripsCalculation(in struct {
	Area      quantity.Area
	Strip     quantity.Area     `says:"of one strip"`
	Placing   quantity.AreaRate `says:"all placers together"`
	Finishing quantity.AreaRate `says:"all finishers together"`
	Opens     quantity.Time     `says:"after the end of a strip"`
	Closes    quantity.Time     `says:"after the end of a strip"`
	SameCrew  bool              `says:"the placers finish, once all is placed" default:"false"`
}) (out struct {
	Strips   int
	Late     int             `says:"strips finished after their window closed"`
	End      quantity.Time   `says:"all finished, since placing began"`
	Slack    quantity.Time   `says:"least time from finished to closed; late is below zero"`
	Finished []quantity.Time `says:"each strip, since placing began"`
	Closed   []quantity.Time `says:"end of each window"`
}, err error) {
	f := Following{Area: float64(in.Area), Strip: float64(in.Strip), Placing: 3600 * float64(in.Placing),
		Finishing: 3600 * float64(in.Finishing), Opens: in.Opens.Hours(), Closes: in.Closes.Hours(), SameCrew: in.SameCrew}
	strips, err := f.Strips()
	slack := math.Inf(1)
	for _, s := range strips {
		if s.Late() {
			out.Late++
		}
		slack = math.Min(slack, s.Closed-s.Finished)
		out.End, out.Slack = quantity.Hours(s.Finished), quantity.Hours(slack)
		out.Finished, out.Closed = append(out.Finished, quantity.Hours(s.Finished)), append(out.Closed, quantity.Hours(s.Closed))
	}
	out.Strips = len(strips)
	return out, err
}

func seriesCalculation(in struct {
	Rates []quantity.AreaRate `says:"of each operation"`
	Crew  float64             `says:"persons who share the work" unit:"1" default:"1"`
}) (out struct {
	Rate quantity.AreaRate
}, err error) {
	rates := make([]float64, len(in.Rates))
	for i, r := range in.Rates {
		rates[i] = float64(r)
	}
	out.Rate = quantity.AreaRate(in.Crew * InSeries(rates))
	if out.Rate <= 0 {
		return out, errors.New("rates and crew are above zero, one rate at least")
	}
	return out, nil
}

func windowCalculation(in struct {
	Temp   quantity.Temp
	Opens  quantity.Time `says:"at 70 °F" default:"8100"`
	Closes quantity.Time `says:"at 70 °F" default:"14400"`
}) (out struct {
	Factor float64 `unit:"1" says:"2^((70 − T)/18), T in °F"`
	Opens  quantity.Time
	Closes quantity.Time
}, err error) {
	f := quantity.In(in.Temp, "°F")
	if f < 20 || f > 130 || in.Opens < 0 || in.Closes <= in.Opens {
		return out, errors.New("temperature 20 to 130 °F, and a window that opens before it closes")
	}
	out.Factor = math.Exp2((70 - f) / 18)
	out.Opens, out.Closes = quantity.Time(out.Factor*float64(in.Opens)), quantity.Time(out.Factor*float64(in.Closes))
	return out, nil
}

func steadyCalculation(in struct {
	Spacing quantity.Time `says:"between arrivals"`
	Service quantity.Time `says:"to unload one"`
	Trucks  int
}) (out struct {
	Waits []quantity.Time `says:"of each truck"`
	Total quantity.Time   `says:"all waits together"`
	Idle  quantity.Time   `says:"the crew's wait before each truck but the first"`
	Use   float64         `unit:"1" says:"service over spacing"`
}, err error) {
	if in.Spacing <= 0 || in.Service <= 0 || in.Trucks < 1 || in.Trucks > 1000 {
		return out, errors.New("spacing and service are above zero and trucks 1 to 1000")
	}
	waits, idle := SteadyWaits(in.Spacing.Hours(), in.Service.Hours(), in.Trucks)
	for _, w := range waits {
		out.Waits = append(out.Waits, quantity.Hours(w))
		out.Total += quantity.Hours(w)
	}
	out.Idle, out.Use = quantity.Hours(idle), float64(in.Service/in.Spacing)
	return out, nil
}

func queueCalculation(in struct {
	Arrivals quantity.Frequency `says:"λ"`
	Service  quantity.Frequency `says:"μ, what the server can do"`
	Scatter  float64            `says:"of the time of service, its standard deviation over its mean: 0 M/D/1, 1 M/M/1" unit:"1" default:"0"`
}) (out struct {
	Use     float64       `unit:"1" says:"ρ = λ/μ"`
	Waiting float64       `unit:"1" says:"Lq, in the line on average"`
	Present float64       `unit:"1" says:"L, waiting or being served"`
	Wait    quantity.Time `says:"Wq, before service"`
	Stay    quantity.Time `says:"W, in all"`
}, err error) {
	q, err := LongRun(3600*float64(in.Arrivals), 3600*float64(in.Service), in.Scatter)
	out.Use, out.Waiting, out.Present = q.Use, q.Waiting, q.Present
	out.Wait, out.Stay = quantity.Hours(q.Wait), quantity.Hours(q.Stay)
	return out, err
}

func simulateCalculation(in struct {
	Arrivals quantity.Frequency
	Service  quantity.Time `says:"of each customer"`
	Number   int           `says:"customers" default:"200000"`
	Seed     int           `default:"1"`
}) (out struct {
	Wait    quantity.Time `says:"mean"`
	P90     quantity.Time `name:"p90" says:"nine waits in ten are no longer"`
	Longest quantity.Time
	Idle    float64 `unit:"1" says:"share of the time the server stood idle"`
}, err error) {
	line, err := Simulate(3600*float64(in.Arrivals), in.Service.Hours(), in.Number, uint64(in.Seed))
	out.Wait, out.P90, out.Longest, out.Idle = quantity.Hours(line.Wait), quantity.Hours(line.P90), quantity.Hours(line.Longest), line.Idle
	return out, err
}

func pointsCalculation(in struct {
	Low    quantity.Time
	Likely quantity.Time
	High   quantity.Time
}) (out struct {
	Mean      quantity.Time
	Deviation quantity.Time
}, err error) {
	a := Activity{Low: in.Low.Hours(), Likely: in.Likely.Hours(), High: in.High.Hours()}
	if a.Low < 0 || a.Likely < a.Low || a.High < a.Likely {
		return out, errors.New("guesses go from low over likely to high, none below zero")
	}
	out.Mean, out.Deviation = quantity.Hours(a.Mean()), quantity.Hours(math.Sqrt(a.Variance()))
	return out, nil
}

func networkCalculation(in struct {
	Names  []string  `says:"of the activities"`
	After  []string  `says:"what each waits for, names between spaces: [\"\", \"A\", \"A B\"]"`
	Low    []float64 `unit:"1" says:"in any one unit of time"`
	Likely []float64 `unit:"1"`
	High   []float64 `unit:"1"`
	By     float64   `unit:"1" default:"0" says:"time asked about"`
	Share  float64   `unit:"1" default:"0.9" says:"chance for within"`
}) (out struct {
	Mean      float64   `unit:"1" says:"length of the longest path"`
	Variance  float64   `unit:"1"`
	Deviation float64   `unit:"1"`
	Path      []string  `says:"names along it"`
	Chance    float64   `unit:"1" says:"done by the time asked about; other paths make it smaller"`
	Within    float64   `unit:"1" says:"time kept with the chance share"`
	Starts    []float64 `unit:"1" says:"earliest start of each activity"`
	Floats    []float64 `unit:"1" says:"how much later each may finish"`
}, err error) {
	n := len(in.Names)
	if len(in.After) != n || len(in.Low) != n || len(in.Likely) != n || len(in.High) != n {
		return out, errors.New("names, after, low, likely and high are of one length")
	}
	if !(in.Share > 0 && in.Share < 1) {
		return out, errors.New("share is above 0 and below 1")
	}
	activities := make([]Activity, n)
	for i := range activities {
		activities[i] = Activity{in.Names[i], in.Low[i], in.Likely[i], in.High[i],
			strings.FieldsFunc(in.After[i], func(r rune) bool { return strings.ContainsRune(" ,;+", r) })}
	}
	p, err := Critical(activities)
	if err != nil {
		return out, err
	}
	out.Mean, out.Variance, out.Deviation, out.Path = p.Mean, p.Variance, math.Sqrt(p.Variance), p.Names
	out.Chance, out.Within = p.By(in.By), p.Within(in.Share)
	for _, t := range p.Times {
		out.Starts, out.Floats = append(out.Starts, t.Start), append(out.Floats, t.Float)
	}
	return out, nil
}

func doneByCalculation(in struct {
	Means     []float64 `unit:"1" says:"of the activities, in any one unit of time"`
	Variances []float64 `unit:"1" says:"that unit squared"`
	By        float64   `unit:"1" says:"time asked about"`
}) (out struct {
	Mean      float64 `unit:"1"`
	Variance  float64 `unit:"1"`
	Deviation float64 `unit:"1"`
	Chance    float64 `unit:"1"`
}, err error) {
	if len(in.Means) != len(in.Variances) || len(in.Means) == 0 {
		return out, errors.New("as many variances as means, one at least")
	}
	var p Path
	for i, m := range in.Means {
		if in.Variances[i] < 0 {
			return out, errors.New("a variance is not below zero")
		}
		p.Mean, p.Variance = p.Mean+m, p.Variance+in.Variances[i]
	}
	out.Mean, out.Variance, out.Deviation, out.Chance = p.Mean, p.Variance, math.Sqrt(p.Variance), p.By(in.By)
	return out, nil
}

func laterCalculation(in struct {
	Mean1      float64 `name:"mean_1" unit:"1" says:"in any one unit of time"`
	Deviation1 float64 `name:"deviation_1" unit:"1"`
	Mean2      float64 `name:"mean_2" unit:"1"`
	Deviation2 float64 `name:"deviation_2" unit:"1"`
}) (out struct {
	Mean float64 `unit:"1"`
}, err error) {
	if in.Deviation1 < 0 || in.Deviation2 < 0 {
		return out, errors.New("a deviation is not below zero")
	}
	out.Mean = LaterOf(in.Mean1, in.Deviation1, in.Mean2, in.Deviation2)
	return out, nil
}
