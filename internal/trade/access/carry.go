package access

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Way is how barrows or buggies go: from a stand to the farthest corner of a part that no chute reaches.
type Way struct {
	Stand  int              `json:"stand"` // from 1
	Line   []geometry.Point `json:"line"`
	Length quantity.Length  `json:"length"`
}

// wheelRoom is how far a loaded barrow or buggy keeps from the end of a wall it goes round, m. Source: common practice.
const wheelRoom = 0.6

// ways finds the way to the farthest corner of every part beyond reach, from the stand it is nearest to on foot.
func (r *Result) ways(in Input) {
	var walls []geometry.Segment
	for _, w := range in.Walls {
		for i := 1; i < len(w.Line); i++ {
			if s := (geometry.Segment{A: w.Line[i-1], B: w.Line[i]}); s.Length() > 0 {
				walls = append(walls, s)
			}
		}
	}
	for _, part := range r.Beyond {
		way := r.nearestWay(r.farCorner(part), walls)
		if way.Line == nil {
			r.Blocked = true
			continue
		}
		r.Ways, r.Farthest = append(r.Ways, way), max(r.Farthest, way.Length)
	}
}

// farCorner is the corner of a part that lies farthest from its nearest stand.
func (r *Result) farCorner(part geometry.Polygon) geometry.Point {
	return slices.MaxFunc(part.Outer, func(a, b geometry.Point) int { return cmp.Compare(r.nearest(a), r.nearest(b)) })
}

// nearest is the distance of a point from the nearest stand.
func (r *Result) nearest(p geometry.Point) float64 {
	least := math.Inf(1)
	for _, s := range r.Stands {
		least = min(least, s.Distance(p))
	}
	return least
}

// nearestWay is the shortest way to a place from any stand; no line where there is none.
func (r *Result) nearestWay(to geometry.Point, walls []geometry.Segment) Way {
	best := Way{Length: quantity.Length(math.Inf(1))}
	for i, s := range r.Stands {
		if quantity.Length(s.Distance(to)) >= best.Length {
			continue
		}
		if line := geometry.ShortestWay(s, to, walls, wheelRoom); line != nil {
			if length := quantity.Length(geometry.PathLength(line)); length < best.Length {
				best = Way{i + 1, line, length}
			}
		}
	}
	return best
}

// wholeReach is the share from which the last crumbs are pulled by shovel and rake.
const wholeReach = 0.995

// carry times barrows and buggies and chooses the method.
func (r *Result) carry(in Input) {
	w := &r.Working
	volume := working.Given(w, "volume", "V", "concrete to place", in.Volume, quantity.AsVolume)
	rest := quantity.Volume(float64(in.Volume.Value) * (1 - float64(r.ReachShare)))
	w.Show(working.Step{Name: "beyond_chute", Says: "concrete beyond the chute", Formula: "V · (1 − share reached)", Value: quantity.Show(rest, quantity.AsVolume), From: []string{volume, "reach_share"}, Source: sources.Arithmetic})
	w.Show(working.Step{Name: "farthest", Says: "longest way from a stand to what is beyond the chute, round walls and fences", Value: quantity.Show(r.Farthest, quantity.AsDistance), From: []string{"stands", "useful_reach"}, Source: sources.PlaneGeometry})
	rate := working.Given(w, "barrow_rate", "q", "what one barrow carries", in.BarrowRate, quantity.AsVolumeRate)
	n := working.Given(w, "barrows", "n", "barrows", in.Barrows, quantity.AsCount)
	barrows := quantity.VolumeRate(float64(in.Barrows.Value) * float64(in.BarrowRate.Value))
	r.BarrowTime = quantity.Time(float64(rest) / float64(barrows))
	w.Answer(working.Step{Name: "barrow_time", Says: "time to barrow the rest", Formula: "rest / (n · q)", Value: quantity.Show(r.BarrowTime, quantity.AsMinutes), From: []string{"beyond_chute", rate, n}, Source: sources.BarrowRates})
	buggyRate := working.Given(w, "buggy_rate", "q", "what one buggy carries", in.BuggyRate, quantity.AsVolumeRate)
	onHand := working.Given(w, "buggies", "n", "buggies on hand", in.Buggies, quantity.AsCount)
	buggies := quantity.VolumeRate(math.Max(1, float64(in.Buggies.Value)) * float64(in.BuggyRate.Value))
	r.BuggyTime = quantity.Time(float64(rest) / float64(buggies))
	w.Show(working.Step{Name: "buggy_time", Says: "time to bring the rest by buggy, one where none is on hand", Formula: "rest / (max(1, n) · q)", Value: quantity.Show(r.BuggyTime, quantity.AsMinutes), From: []string{"beyond_chute", buggyRate, onHand}, Source: sources.BarrowRates})
	limit := working.Given(w, "barrow_limit", "", "longest time on barrows", in.BarrowTime, quantity.AsMinutes)
	run := working.Given(w, "barrow_run", "", "longest run for barrows", in.BarrowRun, quantity.AsDistance)
	buggyRun := working.Given(w, "buggy_run", "", "longest run for buggies", in.BuggyRun, quantity.AsDistance)
	r.Method = r.method(in)
	w.Answer(working.Step{Name: "method", Says: "how it gets there", Formula: "chute if it reaches all; barrows if they are quick and near enough; buggies on hand as far as they run; else pump",
		Value: quantity.Words(string(r.Method)), From: []string{"reach_share", "farthest", "barrow_time", "buggy_time", onHand, limit, run, buggyRun}, Source: sources.OwnRule})
	switch r.Method {
	case Barrow:
		r.CarryTime, r.CarryRate, r.Trips = r.BarrowTime, barrows, trips(rest, in.BarrowLoad.Value)
		r.showTrips("barrow_load", working.Given(w, "barrow_load", "", "a barrow load", in.BarrowLoad, quantity.AsVolume))
	case Buggy:
		r.CarryTime, r.CarryRate, r.Trips = r.BuggyTime, buggies, trips(rest, in.BuggyLoad.Value)
		r.showTrips("buggy_load", working.Given(w, "buggy_load", "", "a buggy load", in.BuggyLoad, quantity.AsVolume))
	}
}

func trips(rest, load quantity.Volume) int {
	return int(math.Ceil(float64(rest/load) - 1e-9))
}

func (r *Result) showTrips(name, load string) {
	r.Working.Answer(working.Step{Name: "trips", Says: "trips", Formula: "rest / " + name + ", up", Value: quantity.Counted(r.Trips), From: []string{"beyond_chute", load}, Source: sources.Arithmetic})
}

// method takes the simplest way that does: barrows while they are quick and near enough; buggies on hand as far as they run, since one
// brings more than a crew strikes off.
func (r *Result) method(in Input) Method {
	switch {
	case r.ReachShare >= wholeReach:
		return Chute
	case !r.Blocked && r.BarrowTime <= in.BarrowTime.Value && r.Farthest <= in.BarrowRun.Value:
		return Barrow
	case r.buggiesServe(in) && in.Buggies.Value > 0:
		return Buggy
	}
	return Pump
}

// buggiesServe says whether a buggy comes to all that is beyond the chute.
func (r *Result) buggiesServe(in Input) bool { return !r.Blocked && r.Farthest <= in.BuggyRun.Value }
