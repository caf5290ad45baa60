package pour

import (
	"fmt"
	"math"
	"strings"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// The finishing board on paper, millimetres.
const (
	boardLeft, boardTop = 26.0, 150.0
	boardWidth          = 216.0
	mostLane            = 12.0
	boardHeight         = 120.0
)

// marks of the steps: the letter on the bar and the layer it is filled with.
var boardMarks = map[string]struct {
	letter string
	layer  drawing.Layer
}{
	"place": {"P", draft.Base}, "bull float": {"B", draft.Band}, "edge": {"E", draft.SlabEdge}, "groove": {"G", draft.SlabEdge}, "float": {"F", draft.Cut},
	"broom": {"Br", draft.Fill}, "cure": {"C", draft.Steps[0]}, "saw": {"S", draft.SawJoint},
}

// late is the layer of what comes too late: crossed, so that it is told from floating without colour.
var late = func() drawing.Layer {
	l := draft.Danger
	l.Hatch = drawing.Crossed
	return l
}()

// boardPicture draws the day strip by strip: trucks above, then each strip's steps by the clock, its window in outline.
func (j job) boardPicture(r Rehearsal) drawing.Picture {
	p := drawing.Picture{Name: "finishing-board", Space: drawing.Paper, Title: j.boardTitle(r), Table: j.boardTable(r)}
	p.Says = fmt.Sprintf("%s. %d hands, %d of them placing; %d days played, seed %d.", p.Title, r.Hands, r.Placers, r.Days, r.Seed)
	b := newBoard(r)
	p.Marks = append(p.Marks, b.clock(j.in.Units, j.zone)...)
	p.Marks = append(p.Marks, b.trucks()...)
	for s := 1; s <= r.Strips; s++ {
		p.Marks = append(p.Marks, b.strip(s)...)
	}
	if !r.Now.IsZero() {
		x := b.x(r.Now)
		p.Marks = append(p.Marks, line(draft.LineC, "now", drawing.Point{X: x, Y: b.y(r.Strips)}, drawing.Point{X: x, Y: boardTop + 4}), note(x, boardTop+9, "now", drawing.Above))
	}
	p.Legend = []drawing.LegendRow{{Layer: draft.Base, Says: "P place and strike off"}, {Layer: draft.Band, Says: "B bull float"}, {Layer: draft.SlabEdge, Says: "E edge, G groove"},
		{Layer: draft.Cut, Says: "F float"}, {Layer: draft.Fill, Says: "Br broom"}, {Layer: draft.Steps[0], Says: "C cure"}, {Layer: draft.GridLine, Says: "outline: initial to final set"}, {Layer: late, Says: "! too late"}}
	return p
}

func (j job) boardTitle(r Rehearsal) string {
	words := fmt.Sprintf("%d hands: something too late on %.0f of 100 days", r.Hands, 100*float64(r.Late))
	switch {
	case r.Need > 0 && (r.Need != r.Hands || r.NeedSets > 1):
		words += fmt.Sprintf("; %s keep it under %.0f", j.choiceWords(r), 100*float64(j.in.Team.Risk.Value))
	case r.Need == 0:
		words += "; no crew tried keeps it rare"
	}
	return words + fmt.Sprintf("; done by %s nine days in ten", j.when(r.EndP90, r.Start))
}

type board struct {
	r        Rehearsal
	from, to time.Time
	lane     float64
}

func newBoard(r Rehearsal) board {
	b := board{r: r, from: r.Start.Truncate(time.Hour), to: r.EndP90, lane: math.Min(mostLane, boardHeight/float64(r.Strips+1))}
	for _, row := range r.Board {
		if row.Until.After(b.to) {
			b.to = row.Until
		}
	}
	return b
}

func (b board) x(t time.Time) float64 {
	share := t.Sub(b.from).Hours() / b.to.Sub(b.from).Hours()
	return boardLeft + boardWidth*math.Max(0, math.Min(1, share))
}

// y is the lower edge of a strip's lane; lane 0 is the trucks'.
func (b board) y(strip int) float64 { return boardTop - b.lane*float64(strip+1) }

func (b board) clock(units quantity.System, zone *time.Location) []drawing.Mark {
	every := time.Hour
	if b.to.Sub(b.from) > 10*time.Hour {
		every = 2 * time.Hour
	}
	var marks []drawing.Mark
	bottom := b.y(b.r.Strips)
	for t := b.from; !t.After(b.to); t = t.Add(every) {
		x := b.x(t)
		marks = append(marks, line(draft.GridLine, "", drawing.Point{X: x, Y: bottom}, drawing.Point{X: x, Y: boardTop}),
			note(x, bottom-1.5, almanac.Clock(almanac.On(t, zone), units), drawing.Below))
	}
	return marks
}

func (b board) bar(layer drawing.Layer, ref, letter string, from, to time.Time, y, height float64) []drawing.Mark {
	x0, x1 := b.x(from), b.x(to)
	x1 = math.Max(x1, x0+0.6)
	marks := []drawing.Mark{drawing.Path{Layer: layer, Closed: true, Ref: ref, Points: []drawing.Point{{X: x0, Y: y}, {X: x1, Y: y}, {X: x1, Y: y + height}, {X: x0, Y: y + height}}}}
	if x1-x0 >= 3+1.5*float64(len(letter)) {
		text := note((x0+x1)/2, y+height/2, letter, drawing.Middle)
		text.Boxed = layer.Hatch != drawing.Empty
		marks = append(marks, text)
	}
	return marks
}

// trucks are one bar each from when it comes to when it is empty; its number stands on it.
func (b board) trucks() []drawing.Mark {
	y := b.y(0)
	marks := []drawing.Mark{note(boardLeft-1.5, y+b.lane/2, "trucks", drawing.Right)}
	for _, t := range b.r.Trucks {
		ref := fmt.Sprintf("truck %d", t.Number)
		if t.From.Sub(t.Comes) > time.Minute {
			marks = append(marks, b.bar(draft.GridLine, ref+" waits", "", t.Comes, t.From, y+1, b.lane-2)...)
		}
		marks = append(marks, b.bar(draft.Vehicle, ref, fmt.Sprint(t.Number), t.From, t.Empty, y+1, b.lane-2)...)
	}
	return marks
}

// strip is one lane: the window in outline, the steps on it.
func (b board) strip(strip int) []drawing.Mark {
	y := b.y(strip)
	marks := []drawing.Mark{note(boardLeft-1.5, y+b.lane/2, fmt.Sprintf("strip %d", strip), drawing.Right)}
	for _, row := range b.r.Board {
		if row.Strip == strip && row.Step == "float" && !row.Closes.IsZero() {
			marks = append(marks, b.bar(draft.GridLine, fmt.Sprintf("window of strip %d", strip), "", row.Opens, row.Closes, y+0.5, b.lane-1)...)
		}
	}
	for _, row := range b.r.Board {
		if row.Strip != strip {
			continue
		}
		m, ref := boardMarks[row.Step], fmt.Sprintf("%s, strip %d", row.Step, strip)
		if !row.Late {
			marks = append(marks, b.bar(m.layer, ref, m.letter, row.From, row.Until, y+2, b.lane-4)...)
			continue
		}
		marks = append(marks, b.bar(late, ref, "", row.From, row.Until, y+2, b.lane-4)...)
		mark := note(b.x(row.From.Add(row.Until.Sub(row.From)/2)), y+b.lane/2, "!", drawing.Middle)
		mark.Boxed = true
		marks = append(marks, mark)
	}
	return marks
}

// boardTable is the board by the clock, in words.
func (j job) boardTable(r Rehearsal) drawing.Table {
	t := drawing.Table{Header: []string{"from", "until", "what", "strip", "hands", "not before", "done by", "usually between", ""}}
	at := func(x time.Time) string { return j.when(x, r.Start) }
	for _, row := range r.Board {
		by, remark := "", ""
		if !row.Closes.IsZero() {
			by = at(row.Closes)
		}
		switch {
		case row.Done:
			remark = "done"
		case row.Late:
			remark = "too late"
		}
		t.Rows = append(t.Rows, []string{at(row.From), at(row.Until), row.Step, fmt.Sprint(row.Strip), fmt.Sprint(row.Hands), at(row.Opens), by, at(row.Earliest) + " and " + at(row.Latest), remark})
	}
	for _, k := range r.Trucks {
		words := []string{fmt.Sprintf("truck %d", k.Number), j.show(quantity.Show(k.Volume, quantity.AsVolume))}
		t.Rows = append(t.Rows, []string{at(k.From), at(k.Empty), strings.Join(words, ", "), "", fmt.Sprint(r.Placers), at(k.Due), "", "comes " + at(k.Comes), ""})
	}
	return t
}
