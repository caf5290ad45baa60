package order

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Line is one breath of the phone call, in the order the dispatcher asks.
type Line struct {
	Number  int      `json:"number"`
	Asks    string   `json:"asks"`              // what the dispatcher wants to know
	Written string   `json:"written"`           // as it is read from the sheet
	Spoken  string   `json:"spoken"`            // as it is said
	Blank   []string `json:"blank,omitempty"`   // boxes still to fill before the call
	Assumed []string `json:"assumed,omitempty"` // parts of the line nobody has said yet
	Breaths []Breath `json:"-"`                 // the same part by part
}

// Breath is one part of a line, as written and as said.
type Breath struct{ Written, Spoken string }

// note writes and says one part of the line.
func (l *Line) note(written, spoken string) {
	join := func(to *string, part string) {
		if *to != "" {
			*to += ", "
		}
		*to += part
	}
	join(&l.Written, written)
	join(&l.Spoken, spoken)
	l.Breaths = append(l.Breaths, Breath{written, spoken})
}

// part notes a value that is known, marks one that is assumed, and leaves a box for one that is missing.
func part[T any](l *Line, k known.Known[T], what string, say func(T) (written, spoken string)) {
	if !k.Given() {
		l.Blank = append(l.Blank, what)
		return
	}
	l.note(say(k.Value))
	if k.Origin == known.Assumed {
		l.Assumed = append(l.Assumed, what)
	}
}

func asTyped(text string) (string, string) { return text, text }

// prefixed says a typed answer after what it is about.
func prefixed(what string) func(string) (string, string) {
	return func(text string) (string, string) { return what + ": " + text, what + ", " + text }
}

// callSheet is the twelve lines. Source of the order: NRMCA CIP 31 and common practice; plants differ.
func callSheet(in Input, r Result) []Line {
	return []Line{
		who(in), when(in), first(in), where(in), amount(in, r), mixLine(in), pace(in, r), reach(in), access(in), limit(in), deciders(in), last(r),
	}
}

func who(in Input) Line {
	l := Line{Number: 1, Asks: "account and call-back number"}
	part(&l, in.Account, "account", asTyped)
	part(&l, in.CallBack, "call-back number", asTyped)
	return l
}

func when(in Input) Line {
	l := Line{Number: 2, Asks: "day and date"}
	part(&l, in.Day, "day and date", func(d quantity.Date) (string, string) {
		return d.Long(in.locale()), d.Time().Format("Monday the ") + ordinal(d.Day) + d.Time().Format(" of January")
	})
	return l
}

func first(in Input) Line {
	l := Line{Number: 3, Asks: "first truck on site"}
	part(&l, in.Start, "time the first truck is on site", func(c quantity.Clock) (string, string) {
		return c.Spoken(in.locale()) + ", first truck on site", sayClock(c) + ", first truck on site"
	})
	return l
}

func where(in Input) Line {
	l := Line{Number: 4, Asks: "address, cross street, which side, gate"}
	part(&l, in.Address, "address, cross street, which side, gate", asTyped)
	return l
}

func amount(in Input, r Result) Line {
	l := Line{Number: 5, Asks: "how much"}
	l.note(WriteAmount(r.Today(), in.Units), SayAmount(r.Today(), in.Units)+" "+spokenUnit(in.Units))
	if r.Pour > 0 {
		l.note(r.Day()+", "+WriteAmount(r.Yards, in.Units)+" in all", fmt.Sprintf("pour %s of %s, a call each", words(r.Pour), words(len(r.Pours))))
	}
	if r.Rule == ByAllowance && in.Allowance.Origin == known.Assumed {
		l.Assumed = append(l.Assumed, in.Allowance.Show(quantity.AsPercent).String(in.Units)+" on top of the neat volume")
	}
	return l
}

func mixLine(in Input) Line {
	l := Line{Number: 6, Asks: "mix"}
	u := in.Units
	part(&l, in.Strength, "strength", func(f quantity.Stress) (string, string) {
		return quantity.Show(f, quantity.AsStrength).Trimmed(u), sayStrength(f, u)
	})
	part(&l, in.Stone, "stone size", func(s quantity.Length) (string, string) {
		return quantity.Show(s, quantity.AsNominal).String(u) + " stone", sayLength(s, quantity.AsNominal, u) + " stone"
	})
	part(&l, in.Slump, "slump", func(s quantity.Length) (string, string) {
		return quantity.Show(s, quantity.AsSlump).String(u) + " slump at the chute", sayLength(s, quantity.AsSlump, u) + " slump at the chute"
	})
	part(&l, in.Air, "air or no air", func(a quantity.Percent) (string, string) {
		if a <= 0 {
			return "no air", "no air"
		}
		return quantity.Show(a, quantity.AsPercent).Trimmed(u) + " air", sayPercent(a) + " air"
	})
	if in.WaterCement.Given() && in.WaterCement.Value > 0 {
		ratio := quantity.Decimal(float64(in.WaterCement.Value), 2, 0)
		l.note("w/cm "+ratio+" at most", "water to cement "+digits(ratio)+" at most")
	}
	part(&l, in.Added, "anything added", prefixed("added"))
	part(&l, in.Fibre, "fibre", prefixed("fibre"))
	return l
}

func pace(in Input, r Result) Line {
	l := Line{Number: 7, Asks: "loads and spacing"}
	rate := quantity.Show(r.Pace, quantity.AsVolumeRate)
	perHour := trimZeros(quantity.Decimal(rate.In(in.Units), 1, 0))
	written, spoken := []string{}, []string{}
	for _, load := range r.Loads {
		written = append(written, WriteAmount(load.Volume, in.Units))
		spoken = append(spoken, SayAmount(load.Volume, in.Units))
	}
	if len(r.Loads) == 1 {
		l.note("one load", "one load")
	} else {
		l.note(fmt.Sprintf("%d loads: %s", len(r.Loads), listed(written)), words(len(r.Loads))+" loads: "+listed(spoken))
		minutes := int(math.Round(r.Spacing.Minutes()))
		l.note(fmt.Sprintf("%d min apart", minutes), words(minutes)+" minutes apart")
	}
	said := digits(strings.ReplaceAll(perHour, ",", ""))
	if q, ok := inQuarters(rate.In(in.Units)); ok {
		said = q
	}
	l.note(perHour+" "+volumeUnit(in.Units)+" an hour", said+" "+spokenUnit(in.Units)+" an hour")
	if in.Rate.Origin == known.Assumed {
		l.Assumed = append(l.Assumed, "placing rate")
	}
	if in.Capacity.Origin == known.Assumed {
		l.Assumed = append(l.Assumed, "what a truck brings")
	}
	return l
}

// listed keeps a long list of loads short: the first ones, then how the rest run.
func listed(parts []string) string {
	if len(parts) <= 4 {
		return strings.Join(parts, ", then ")
	}
	return parts[0] + " first, " + parts[len(parts)-1] + " last"
}

// ours is how a way is said that the crew itself brings: the truck comes with its chute all the same.
var ours = map[string]string{"barrow": "chute, the rest in our barrows", "buggy": "chute, the rest in our power buggy"}

func reach(in Input) Line {
	l := Line{Number: 8, Asks: "chute, buggy or pump, and reach"}
	part(&l, in.Method, "chute, buggy or pump", func(method string) (string, string) {
		if said, ok := ours[method]; ok {
			method = said
		}
		return asTyped(method)
	})
	part(&l, in.Reach, "reach", func(r quantity.Length) (string, string) {
		text := quantity.Show(r, quantity.AsDistance).String(in.Units) + " reach"
		return text, text
	})
	return l
}

func access(in Input) Line {
	l := Line{Number: 9, Asks: "driveway, weight limit, wires, wash-out"}
	switch {
	case in.Drive.Given():
		l.note(prefixed("driveway")(in.Drive.Value))
	case in.OverDrive.Given() && !in.OverDrive.Value:
		l.note("the truck crosses no drive", "the truck crosses no drive")
	default:
		l.Blank = append(l.Blank, "driveway and weight limit")
	}
	part(&l, in.Wires, "wires overhead", prefixed("wires"))
	part(&l, in.WashOut, "wash-out place", prefixed("wash-out"))
	return l
}

func limit(in Input) Line {
	l := Line{Number: 10, Asks: "discharge time limit agreed"}
	minutes := int(math.Round(in.TimeLimit.Value.Minutes()))
	l.note(fmt.Sprintf("%d min from batching", minutes), words(minutes)+" minutes from batching")
	if !in.timeAgreed() {
		l.Assumed = append(l.Assumed, "time limit (the older rule; agree one, it stands on the ticket)")
	}
	return l
}

func deciders(in Input) Line {
	l := Line{Number: 11, Asks: "who accepts a load, who allows water"}
	part(&l, in.Accepts, "who accepts or turns away a load", prefixed("loads accepted by"))
	part(&l, in.WaterBy, "who may allow water", prefixed("water allowed by"))
	return l
}

func last(r Result) Line {
	l := Line{Number: 12, Asks: "last load"}
	if len(r.Loads) > 1 {
		l.note("call for balance before the last load", "the last load on call, we phone the balance")
	} else {
		l.note("no balance to call", "one load, no balance to call")
	}
	return l
}

// Blanks lists every box still to fill, in the order of the call.
func Blanks(call []Line) []string {
	var out []string
	for _, l := range call {
		out = append(out, l.Blank...)
	}
	return out
}

// callSteps puts the mix values the call reads on the working, and what is still to ask.
func (d *design) callSteps() {
	w, in := &d.r.Working, d.in
	from := []string{"yards", "loads", "time_limit"}
	if in.Strength.Given() {
		from = append(from, working.Given(w, "strength", "f'c", "strength to order", in.Strength, quantity.AsStrength))
	}
	if in.Stone.Given() {
		from = append(from, working.Given(w, "stone", "", "largest stone", in.Stone, quantity.AsNominal))
	}
	if in.Slump.Given() {
		from = append(from, working.Given(w, "slump", "", "slump at the chute", in.Slump, quantity.AsSlump))
	}
	if in.Air.Given() {
		from = append(from, working.Given(w, "air", "", "air", in.Air, quantity.AsPercent))
	}
	w.Show(working.Step{Name: "still_to_ask", Says: "boxes of the call sheet still empty", Value: quantity.Counted(len(Blanks(d.r.Call))), From: from, Source: sources.NRMCAOrdering})
}
