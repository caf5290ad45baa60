package pour

import (
	"errors"
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/daywork"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Rehearsal is the pour played through, once as planned and many times by chance.
type Rehearsal struct {
	Start    time.Time        `json:"start"`
	Hands    int              `json:"hands"`
	Placers  int              `json:"placers"`
	Strips   int              `json:"strips"`
	Spacing  quantity.Time    `json:"spacing"` // between trucks; zero with one
	Days     int              `json:"days"`
	Seed     int              `json:"seed"`
	Late     quantity.Percent `json:"late"`    // days on which some step comes after its window
	Doubt    quantity.Percent `json:"doubt"`   // of that share, 95 % either way
	LateBy   []StepChance     `json:"late_by"` // by step
	TooOld   quantity.Percent `json:"too_old"` // days on which a load is over the age limit before it is empty
	Idle     quantity.Time    `json:"idle"`    // the placers', waiting for trucks, on average
	Queue    quantity.Time    `json:"queue"`   // all trucks', waiting to be unloaded, on average
	Charged  quantity.Time    `json:"charged"` // of trucks on site over the free time, on average
	Use      quantity.Percent `json:"use"`     // of the hands' time at work
	EndP50   time.Time        `json:"end_p50"`
	EndP90   time.Time        `json:"end_p90"`
	Board    []BoardRow       `json:"board"`
	Trucks   []TruckRow       `json:"trucks"`
	Crews    []Option         `json:"crews"`          // hands tried
	Spacings []Option         `json:"spacings"`       // truck spacings tried
	Need     int              `json:"need"`           // fewest hands that keep the chosen risk; zero: none tried does
	NeedSets int              `json:"need_sets"`      // of tools, for them
	Best     quantity.Time    `json:"best_spacing"`   // spacing that keeps both risks with these hands, by least waiting; zero: one truck, or none does
	Choice   *Option          `json:"choice"`         // fewest hands, then tools, then waiting that keep both risks; nil: none tried does
	Stretch  float64          `json:"set_stretch"`    // how the set runs against the plan by what was tapped; zero: nothing tapped
	Now      time.Time        `json:"now,omitzero"`   // of the last tap
	Next     []BoardRow       `json:"next,omitempty"` // what is to be done from now, first first
}

// StepChance is how often a step comes too late.
type StepChance struct {
	Step string           `json:"step"`
	Late quantity.Percent `json:"late"`
}

// BoardRow is one step on one strip. Strip 1 is placed first.
type BoardRow struct {
	Step     string    `json:"step"`
	Strip    int       `json:"strip"`
	From     time.Time `json:"from"`
	Until    time.Time `json:"until"`
	Hands    int       `json:"hands"`
	Opens    time.Time `json:"opens"`
	Closes   time.Time `json:"closes,omitzero"` // zero: no hurry
	Earliest time.Time `json:"earliest"`        // one day in ten it begins before
	Latest   time.Time `json:"latest"`          // one day in ten it is done after
	Late     bool      `json:"late"`
	Done     bool      `json:"done"` // tapped
}

// TruckRow is one truck.
type TruckRow struct {
	Number int             `json:"number"`
	Volume quantity.Volume `json:"volume"`
	Due    time.Time       `json:"due"`
	Comes  time.Time       `json:"comes"`
	From   time.Time       `json:"from"`
	Empty  time.Time       `json:"empty"`
	Age    quantity.Time   `json:"age"` // when empty
	Here   bool            `json:"here"`
}

// Option is one number of hands or one spacing tried.
type Option struct {
	Hands   int              `json:"hands,omitempty"`
	Sets    int              `json:"sets,omitempty"` // of bull floats, groovers and brooms, against those on site
	Spacing quantity.Time    `json:"spacing,omitempty"`
	Late    quantity.Percent `json:"late"`
	TooOld  quantity.Percent `json:"too_old"`
	Idle    quantity.Time    `json:"idle"`
	Queue   quantity.Time    `json:"queue"`
	End     quantity.Time    `json:"end_p90"` // after the start
}

// Rehearse plays the pour that begins at start. Design does it too when the input asks for it; it costs some tenths of a second.
func Rehearse(in Input, start time.Time) (Rehearsal, error) {
	j, faults := prepare(in)
	if len(faults) > 0 {
		return Rehearsal{}, faults.Err()
	}
	return j.rehearse(start)
}

// Rehearsal sizes: the least area of a strip in m² and the most strips cut by area; days played for each option; hands and
// spacings tried.
const (
	leastStrip   = 6.0
	mostStrips   = 12
	optionDays   = 1000
	mostHands    = 10
	setPlaces    = 5
	sawFrom      = 1.0 // h after final set, early entry; source: ACI 302.1R, recalled
	sawUntil     = 4.0
	spacingRound = 5 * minute
)

func (j job) rehearse(start time.Time) (Rehearsal, error) {
	if start.IsZero() {
		return Rehearsal{}, errors.New("pour: no start to rehearse")
	}
	day, err := j.day(start)
	if err != nil {
		return Rehearsal{}, err
	}
	t := j.in.Team
	r := Rehearsal{Start: start, Hands: day.Hands, Placers: day.Bringer, Strips: len(day.Pieces), Days: int(t.Days.Value), Seed: int(t.Seed.Value)}
	if len(day.Loads) > 1 {
		r.Spacing = quantity.Hours(day.Loads[1].Due)
	}
	if r.Stretch, r.Now, err = j.tapped(&day, start); err != nil {
		return r, err
	}
	odds, err := daywork.Play(day, j.dayLimits(), r.Days, uint64(r.Seed))
	if err != nil {
		return r, err
	}
	r.odds(odds)
	played, err := daywork.Planned(day)
	if err != nil {
		return r, err
	}
	j.board(&r, day, played, odds)
	return r, j.options(&r, day)
}

func (r *Rehearsal) at(h float64) time.Time { return r.Start.Add(hours(h)) }

func (r *Rehearsal) odds(o daywork.Odds) {
	r.Late, r.Doubt, r.TooOld, r.Use = quantity.Percent(o.Late), quantity.Percent(o.Doubt(o.Late)), quantity.Percent(o.TooOld), quantity.Percent(o.Use)
	r.Idle, r.Queue, r.Charged = quantity.Hours(o.Idle), quantity.Hours(o.Queue), quantity.Hours(o.Charged)
	r.EndP50, r.EndP90 = r.at(o.P50), r.at(o.P90)
	for k, late := range o.LateBy {
		r.LateBy = append(r.LateBy, StepChance{steps[k].name, quantity.Percent(late)})
	}
}

// hands is everybody: told, or the placers and the finishers.
func (j job) hands() int {
	t := j.in.Team
	return int(t.Hands.Or(known.Guess(t.Placers.Value+j.in.Finishers.Value, "", sources.OwnRule)).Value)
}

func (j job) dayLimits() daywork.Limits {
	t := j.in.Team
	return daywork.Limits{Age: t.AgeLimit.Value.Hours(), Made: t.Made.Value.Hours(), Wait: t.FreeTime.Value.Hours()}
}

// day makes the plan of the day: strips of equal area, trucks of equal load at an even spacing, windows by the set clock.
func (j job) day(start time.Time) (daywork.Day, error) {
	t, n := j.in.Team, j.strips()
	edge, grooves, saw := t.Edge.Value.Metres(), t.Grooves.Value.Metres(), t.Saw.Value.Metres()
	if !t.Edge.Given() {
		edge = 4 * math.Sqrt(j.area)
	}
	d := daywork.Day{Hands: j.hands(), Bringer: int(t.Placers.Value), Rate: 3600 * float64(j.in.PlacingRate.Value), Swap: t.Swap.Value.Hours(),
		Tools: []int{int(t.BullFloats.Value), int(t.Groovers.Value), int(t.Brooms.Value), 1, 1}, Chance: t.chance(), Ops: t.ops()}
	d.Bringer = min(d.Bringer, d.Hands)
	work := []float64{j.area, edge, grooves, j.area, j.area, j.area, saw}
	for k := range work {
		work[k] /= float64(n)
	}
	for range n {
		d.Pieces = append(d.Pieces, daywork.Piece{Volume: j.volume / float64(n), Work: work})
	}
	loads := int(math.Ceil(j.volume/t.Load.Value.CubicMetres() - 1e-9))
	for i := range loads {
		d.Loads = append(d.Loads, daywork.Load{Due: float64(i) * j.spacing(loads), Volume: j.volume / float64(loads) * (1 + 1e-9)})
	}
	var err error
	d.Windows, err = j.windows(start, 1.5*d.Loads[loads-1].Due+1.5*j.crew.placingTime().Hours()+2)
	return d, err
}

// strips is how many strips the slab is placed in.
func (j job) strips() int {
	if n := int(j.in.Team.Strips.Value); n > 0 {
		return n
	}
	return max(1, min(mostStrips, int(j.area/leastStrip)))
}

// spacing is the hours between trucks: told, or a load over the placing rate, down to five minutes.
func (j job) spacing(loads int) float64 {
	if told := j.in.Team.Spacing.Value.Hours(); told > 0 {
		return told
	}
	h := j.volume / float64(loads) / (3600 * float64(j.in.PlacingRate.Value))
	return math.Max(spacingRound, math.Floor(3600*h/spacingRound)*spacingRound) / 3600
}

func (t Team) chance() daywork.Chance {
	return daywork.Chance{Spacing: float64(t.SpacingScatter.Value), Late: float64(t.LateTrucks.Value), LateBy: t.LateBy.Value.Hours(), Bring: float64(t.PlacingScatter.Value),
		Window: float64(t.WindowScatter.Value), Work: float64(t.WorkScatter.Value)}
}

func (t Team) ops() []daywork.Op {
	per := func(rate float64) float64 { return 3600 * rate }
	op := func(k int, rate float64, most, tool int) daywork.Op {
		return daywork.Op{Name: steps[k].name, Rate: per(rate), Most: most, Tool: tool}
	}
	return []daywork.Op{op(bullStep, float64(t.BullFloatRate.Value), 1, bullTool), op(edgeStep, float64(t.EdgeRate.Value), 2, -1), op(grooveStep, float64(t.GrooveRate.Value), 1, grooveTool),
		op(floatStep, float64(t.FloatRate.Value), 2, -1), op(broomStep, float64(t.BroomRate.Value), 1, broomTool), op(cureStep, float64(t.SprayRate.Value), 1, sprayTool), op(sawStep, float64(t.SawRate.Value), 1, sawTool)}
}

// windows are when each step may begin and must be done, by when its strip was struck off: the set clock followed at some places
// of the day, on straight lines between. Bull floating before bleed water shows; edging to brooming from initial to final set of
// the surface; curing any time after; sawing by early entry after the final set.
func (j job) windows(start time.Time, span float64) (func(op int, brought float64) daywork.Window, error) {
	var initial, final, bull [setPlaces]float64
	for i := range setPlaces {
		s, err := j.follow(start.Add(hours(span*float64(i)/(setPlaces-1))), j.touch, false)
		if err != nil {
			return nil, fmt.Errorf("pour: the set of concrete placed %.1f h after the start: %w", span*float64(i)/(setPlaces-1), err)
		}
		initial[i], final[i] = s.initial.Sub(s.placed).Hours(), s.final.Sub(s.placed).Hours()
		bull[i] = math.Min(j.in.Team.BullWithin.Value.Hours()/j.bleedPace(s.chute), initial[i])
	}
	return func(op int, brought float64) daywork.Window {
		x := math.Max(0, math.Min(1, brought/span)) * (setPlaces - 1)
		i := min(int(x), setPlaces-2)
		between := func(v *[setPlaces]float64) float64 { return v[i] + (x-float64(i))*(v[i+1]-v[i]) }
		switch op {
		case bullStep:
			return daywork.Window{Opens: 0, Closes: between(&bull)}
		case cureStep:
			return daywork.Window{Opens: between(&initial), Closes: math.Inf(1)}
		case sawStep:
			return daywork.Window{Opens: between(&final) + sawFrom, Closes: between(&final) + sawUntil}
		}
		return daywork.Window{Opens: between(&initial), Closes: between(&final)}
	}, nil
}
