package grade

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Curve is a side that is bowed: corners of the outline that follow one another on an arc.
type Curve struct {
	Side  string       `yaml:"side" says:"the side that is its chord, like AB"`
	First int          `yaml:"first" says:"position of the corner where it starts, the first is 0"`
	Last  int          `yaml:"last" says:"position of the corner where it ends"`
	Rise  known.Length `yaml:"rise" says:"how far its middle stands off the chord" unit:"ft|m" show:"side"`
}

// StringLine is a level string over a side, from batter board to batter board; at a wall it is tied to a nail in it.
type StringLine struct {
	Name   string           `json:"name"`
	Line   geometry.Segment `json:"line"`
	Level  quantity.Length  `json:"level"`
	Length quantity.Length  `json:"length"`
	Ends   [2]string        `json:"ends"` // board, wall or stake
}

// Board is a batter board: a rail on two stakes, clear of the dig, with a nail where the string crosses it.
type Board struct {
	Name string           `json:"name"`
	Line geometry.Segment `json:"line"`
	Nail geometry.Point   `json:"nail"`
	Past quantity.Length  `json:"past"` // from the corner to the nail, along the string
}

// Measured is a distance between two marks that checks the set-out.
type Measured struct {
	Name   string          `json:"name"`
	Length quantity.Length `json:"length"`
}

// Offset is how far a curved edge stands off its chord.
type Offset struct {
	Side  string          `json:"side"`
	Along quantity.Length `json:"along"` // from the chord's first corner
	Off   quantity.Length `json:"off"`
}

// Lengths of the set-out. Source: common practice.
const (
	boardLength    = 1.2   // m, 4 ft
	longString     = 15.24 // m, 50 ft: a longer one sags and wants a pin every 25 ft
	flattest       = 0.3   // sine under which a corner is too sharp to stretch a string past
	roundingRoom   = 1e-6  // m, what moving an outline out may lose
	mostRails      = 100   // a slab that wants more is poured in parts
	mostRailStakes = 1000  // past these they stand wider
)

func (in Input) setOutFaults(l *bounds.List) {
	w := newWork(in)
	bounds.Needed(l, "grade.board_clearance", in.Clear, 0, quantity.Feet(30), quantity.AsDistance)
	bounds.Needed(l, "grade.screed_length", in.Screed, quantity.Feet(2), quantity.Feet(100), quantity.AsDistance)
	for i, c := range in.Curves {
		field := fmt.Sprintf("grade.bows[%d]", i+1)
		if n := len(w.slab.Outer); c.First < 0 || c.First >= n || c.Last < 0 || c.Last >= n || c.First == c.Last {
			l.Add(field, c.Side, fmt.Sprintf("does not run between two of the %d corners.", n), "Give first and last as positions of corners; the first is 0.")
		}
	}
	for i, j := range in.JointEnds {
		if !near(j.A) || !near(j.B) {
			l.Add(fmt.Sprintf("grade.joint_ends[%d]", i+1), "", "is no place on the lot.", "Give metres from a corner of the lot.")
		}
	}
}

// stretch places strings and batter boards, rails and the ends of joints.
func (w *work) stretch() {
	plain := w.in.plainCorners()
	n := len(plain)
	for k, i := range plain {
		w.stringOver(i, plain[(k+1)%n])
	}
	for a := range n {
		for b := a + 2; b < n && b-a < n-1; b++ {
			if i, j := plain[a], plain[b]; n == 4 || b == a+2 || b == a+n/2 {
				w.Diagonals = append(w.Diagonals, Measured{Name: w.names[i] + w.names[j], Length: quantity.Length(w.slab.Outer[i].Distance(w.slab.Outer[j]))})
			}
		}
	}
	rails := w.rails()
	spacing := w.in.Stakes.Value.Metres()
	whole := 0.0
	for _, s := range rails {
		whole += s.Length()
	}
	for i, s := range rails {
		w.setLine(fmt.Sprintf("rail %d", i+1), s, math.Max(spacing, whole/mostRailStakes))
	}
	for i, s := range w.in.JointEnds {
		for k, p := range []geometry.Point{s.A, s.B} {
			w.Stakes = append(w.Stakes, w.stake(fmt.Sprintf("joint %d, end %d", i+1, k+1), p, w.tape(w.stringLevel()-w.top(p))))
		}
	}
	for _, c := range w.in.Curves {
		w.bow(c)
	}
}

// plainCorners are the corners that are no part of a curve; its ends are.
func (in Input) plainCorners() []int {
	n := len(in.Outline.Outer)
	var out []int
	for i := range n {
		inner := slices.ContainsFunc(in.Curves, func(c Curve) bool {
			return i != c.First && i != c.Last && (i-c.First+n)%n < (c.Last-c.First+n)%n
		})
		if !inner {
			out = append(out, i)
		}
	}
	return out
}

// stringOver stretches the string from one corner to another past both: over a side, or over the chord of a curved one.
func (w *work) stringOver(i, j int) {
	n := len(w.slab.Outer)
	name := w.names[i] + w.names[j]
	s := StringLine{Name: name, Level: quantity.Length(w.stringLevel())}
	a, b := w.slab.Outer[i], w.slab.Outer[j]
	s.Line.A, s.Ends[0] = w.stringEnd(name, b, a, (i+n-1)%n, w.names[i])
	s.Line.B, s.Ends[1] = w.stringEnd(name, a, b, j, w.names[j])
	s.Length = quantity.Length(s.Line.Length())
	w.Strings = append(w.Strings, s)
}

// stringEnd finds where the string that comes from one corner past another is tied: at a batter board clear of the dig; at the
// corner itself where a wall stands there, or where the string would run over the slab or no board has room beside the dig.
func (w *work) stringEnd(name string, from, corner geometry.Point, beyond int, letter string) (geometry.Point, string) {
	if wall := w.in.wall(beyond); wall != "" {
		return corner, "nail in " + wall
	}
	u := corner.Sub(from).Unit()
	a, b := w.slab.Outer[beyond], w.slab.Outer[(beyond+1)%len(w.slab.Outer)]
	sine := math.Abs(u.Cross(b.Sub(a).Unit()))
	past := nailPast(w.in.Margin.Value, w.in.Clear.Value, sine)
	nail := corner.Add(u.Scale(past))
	run := geometry.Segment{A: corner.Add(u.Scale(math.Min(past, 0.01))), B: nail}
	outer := geometry.Polygon{Outer: w.slab.Outer}
	crowded := outer.Contains(run.A) || outer.Contains(run.Midpoint())
	for _, d := range w.Dig {
		crowded = crowded || d.Distance(nail) < w.in.Clear.Value.Metres()-roundingRoom
	}
	if crowded {
		return corner, "stake at " + letter
	}
	half := u.Left().Scale(boardLength / 2)
	w.Boards = append(w.Boards, Board{Name: fmt.Sprintf("%s at %s", name, letter), Line: geometry.Segment{A: nail.Sub(half), B: nail.Add(half)}, Nail: nail, Past: quantity.Length(past)})
	return nail, "board at " + letter
}

// nailPast is how far past the corner, along the string, a batter board's nail stands clear of the dig: (m + c)/sin θ, θ the angle
// between the string and the side it crosses; sharper corners than flattest count as that.
func nailPast(margin, clear quantity.Length, sine float64) float64 {
	return (margin + clear).Metres() / math.Max(sine, flattest)
}

// rails are the lines on which the screed rides inside the slab: along its longest side, no farther apart than the screed reaches.
// Folds are rails of their own and are staked already.
func (w *work) rails() []geometry.Segment {
	heading, _ := w.axis()
	u := geometry.Direction(heading)
	low, high := spread(w.slab.Outer, func(p geometry.Point) float64 { return p.Dot(u.Left()) })
	n := min(ceil((high-low)/w.in.Screed.Value.Metres()), mostRails)
	var out []geometry.Segment
	for k := 1; k < n; k++ {
		through := u.Left().Scale(low + (high-low)*float64(k)/float64(n))
		out = append(out, w.slab.ClipLine(geometry.Line{Through: through, Along: u})...)
	}
	return out
}

// setLine stakes a line at its ends and between.
func (w *work) setLine(name string, s geometry.Segment, spacing float64) {
	n := max(1, ceil(s.Length()/spacing))
	for k := range n + 1 {
		p := s.At(float64(k) / float64(n))
		says := fmt.Sprintf("%s + %s", name, quantity.Show(quantity.Length(p.Distance(s.A)), quantity.AsSide).String(w.in.Units))
		w.Stakes = append(w.Stakes, w.stake(says, p, w.tape(w.stringLevel()-w.top(p))))
	}
}

// bow gives the offsets of a curve from its chord, at every corner on it: there the form's chords meet.
func (w *work) bow(c Curve) {
	n := len(w.slab.Outer)
	chord := geometry.Segment{A: w.slab.Outer[c.First], B: w.slab.Outer[c.Last]}
	for k := 1; k < (c.Last-c.First+n)%n; k++ {
		along, off := chord.Offset(w.slab.Outer[(c.First+k)%n])
		w.Offsets = append(w.Offsets, Offset{Side: c.Side, Along: quantity.Length(along), Off: quantity.Length(math.Abs(off))})
	}
}

func (w *work) setOutChecks() []check.Check {
	var out []check.Check
	for _, s := range w.Strings {
		if s.Length > longString {
			out = append(out, check.Check{ID: "grade.string-sag", Level: check.Care, Where: "string " + s.Name, Value: quantity.Show(s.Length, quantity.AsDistance), Limit: quantity.Plain(longString, quantity.AsDistance), Source: sources.Statics,
				Says: fmt.Sprintf("String %s is %s long: it sags and the wind moves it.", s.Name, w.text(quantity.Show(s.Length, quantity.AsDistance))),
				Then: []string{"Set a pin every " + w.in.either("25 ft", "8 m") + ", or shoot the middle with the laser."}})
		}
	}
	return out
}

// explainSetOut writes what strings, boards and checks measure.
func (w *work) explainSetOut() {
	s := &w.Working
	clear := working.Given(s, "board_clearance", "", "batter boards stand this far from the dig", w.in.Clear, quantity.AsDistance)
	working.Given(s, "screed_length", "", "what the screed spans", w.in.Screed, quantity.AsDistance)
	for _, b := range w.Boards {
		s.Show(working.Step{Name: "board_" + b.Name, Says: "nail of batter board " + b.Name + ", from the corner along the string", Formula: "(dig margin + clearance) / sin of the corner", Value: quantity.Show(b.Past, quantity.AsSide), From: []string{clear, "dig_margin"}, Source: sources.PlaneGeometry})
	}
	for _, d := range w.Diagonals {
		s.Show(working.Step{Name: "check_" + d.Name, Says: "tape from " + d.Name[:len(d.Name)/2] + " to " + d.Name[len(d.Name)/2:] + ", to check the set-out", Formula: "√(Δx² + Δy²)", Value: quantity.Show(d.Length, quantity.AsSide), Source: sources.PlaneGeometry})
	}
	for i, c := range w.in.Curves {
		rise := working.Given(s, fmt.Sprintf("curve_%d_rise", i+1), "m", "rise of the curve on "+c.Side, c.Rise, quantity.AsSide)
		for _, o := range w.Offsets {
			if o.Side == c.Side {
				along := quantity.Show(o.Along, quantity.AsSide).String(w.in.Units)
				s.Show(working.Step{Name: fmt.Sprintf("curve_%s_%s", c.Side, along), Says: fmt.Sprintf("curve on %s, off the chord at %s", c.Side, along), Formula: "√(R² − x²) − (R − m), R = C²/(8m) + m/2", Value: quantity.Show(o.Off, quantity.AsSide), From: []string{rise}, Source: sources.PlaneGeometry})
			}
		}
	}
}
