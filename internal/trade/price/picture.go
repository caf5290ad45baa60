package price

import (
	"fmt"
	"math"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
)

// chart sizes, paper millimetres.
const (
	chartWidth  = 160.0
	chartHeight = 90.0
)

// bar is one step of the stair from zero to the price.
type bar struct {
	says    string
	value   float64
	guessed bool
}

// Picture draws where the money goes: a stair of bars from zero to the price, each labelled, adding up exactly.
func Picture(in Input, r Result) []drawing.Picture {
	bars := r.steps(in)
	p := drawing.Picture{Name: "cost-steps", Space: drawing.Paper,
		Title:  fmt.Sprintf("%s goes into %s of price", biggest(bars), whole(float64(r.Price), in)),
		Says:   fmt.Sprintf("Bars from zero to the price of %s: %d steps that add up to it.", whole(float64(r.Price), in), len(bars)),
		Legend: []drawing.LegendRow{{Layer: draft.LineA, Says: "said or worked out"}, {Layer: draft.LineC, Says: "rests on an invented price"}},
		Table:  drawing.Table{Header: []string{"step", "money"}},
	}
	pitch, scale, from := chartWidth/float64(len(bars)+1), (chartHeight-12)/float64(r.Price), 0.0
	for i, b := range bars {
		layer := draft.LineA
		if b.guessed {
			layer = draft.LineC
		}
		x := pitch * float64(i)
		p.Marks = append(p.Marks, box(layer, x+1, from*scale, pitch-2, b.value*scale, b.says),
			drawing.Text{Layer: draft.Letters, At: geometry.Point{X: x + pitch/2, Y: (from+math.Max(b.value, 0))*scale + 1}, Says: whole(b.value, in), Height: draft.NoteHeight, Anchor: drawing.Above},
			drawing.Text{Layer: draft.Letters, At: geometry.Point{X: x + pitch/2, Y: -2}, Says: b.says, Height: draft.NoteHeight, Anchor: drawing.Right, Angle: math.Pi / 4})
		p.Table.Rows = append(p.Table.Rows, []string{b.says, whole(b.value, in)})
		from += b.value
	}
	x := pitch * float64(len(bars))
	p.Marks = append(p.Marks, box(draft.SlabEdge, x+1, 0, pitch-2, float64(r.Price)*scale, "price"),
		drawing.Text{Layer: draft.Letters, At: geometry.Point{X: x + pitch/2, Y: float64(r.Price)*scale + 1}, Says: whole(float64(r.Price), in), Height: draft.LabelHeight, Anchor: drawing.Above, Bold: true},
		drawing.Text{Layer: draft.Letters, At: geometry.Point{X: x + pitch/2, Y: -2}, Says: "price", Height: draft.NoteHeight, Anchor: drawing.Right, Angle: math.Pi / 4, Bold: true},
		drawing.Path{Layer: draft.Axis, Points: []geometry.Point{{X: 0}, {X: chartWidth}}})
	p.Table.Rows = append(p.Table.Rows, []string{"price", whole(float64(r.Price), in)})
	return []drawing.Picture{p}
}

func box(layer drawing.Layer, x, y, w, h float64, ref string) drawing.Path {
	return drawing.Path{Layer: layer, Closed: true, Ref: ref, Points: []geometry.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}}
}

// steps gathers the stair: the three largest materials on their own, the rest by group, then what is laid on top.
func (r Result) steps(in Input) []bar {
	named := map[string]bool{"concrete": true, "stone": true, "bars": true}
	var bars []bar
	rest := map[string]*bar{}
	for _, l := range r.Lines {
		guessed := l.Low != l.High
		if named[l.Name] {
			bars = append(bars, bar{l.Says, float64(l.Total), guessed})
			continue
		}
		b := rest[l.Group]
		if b == nil {
			b = &bar{says: map[string]string{"materials": "other materials", "equipment": "machines and fees", "labour": "labour"}[l.Group]}
			rest[l.Group] = b
		}
		b.value, b.guessed = b.value+float64(l.Total), b.guessed || guessed
	}
	for _, group := range []string{"materials", "labour", "equipment"} {
		if b := rest[group]; b != nil {
			bars = append(bars, *b)
		}
	}
	return append(bars, bar{"contingency", float64(r.Contingency), false}, bar{"overhead", float64(r.Overhead), false}, bar{"profit and rounding", float64(r.Profit + r.Rounding), false})
}

func biggest(bars []bar) string {
	best := bars[0]
	for _, b := range bars {
		if b.value > best.value {
			best = b
		}
	}
	return "Most, " + best.says + ","
}

func whole(v float64, in Input) string {
	return in.Currency + quantity.Decimal(v, 0, 0)
}
