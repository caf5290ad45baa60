package week

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/shop"
)

// PlantDay is what one plant must send on one day, by the hour.
type PlantDay struct {
	Plant string // "" where jobs name none
	On    quantity.Date
	Limit quantity.VolumeRate // most it sends in an hour; zero: not known
	Hours []Hour              // from the first with concrete to the last, none left out
	Total quantity.Volume
	Jobs  []string // their ids
}

// Hour is the concrete that jobs place in one hour of the clock.
type Hour struct {
	At     int // 7: from seven to eight
	Volume quantity.Volume
	Jobs   []string // titles
}

// Over says whether an hour asks for more than the plant sends.
func (p PlantDay) Over(h Hour) bool {
	return p.Limit > 0 && float64(h.Volume) > float64(p.Limit)*3600*(1+1e-9)
}

// Most is the hour with the most concrete.
func (p PlantDay) Most() Hour {
	var most Hour
	for _, h := range p.Hours {
		if h.Volume > most.Volume {
			most = h
		}
	}
	return most
}

// plantDays shares each job's concrete over the hours it is placed in, at its own pace. jobs come by day.
func plantDays(jobs []Job, s shop.Shop) []PlantDay {
	var out []PlantDay
	for _, j := range jobs {
		if !(j.Concrete > 0) || !(j.Hourly > 0) {
			continue
		}
		i := slices.IndexFunc(out, func(p PlantDay) bool { return p.On == j.On && strings.EqualFold(p.Plant, j.Plant) })
		if i < 0 {
			i = len(out)
			out = append(out, PlantDay{Plant: j.Plant, On: j.On, Limit: limitOf(j.Plant, s)})
		}
		out[i].take(j)
	}
	return out
}

func limitOf(plant string, s shop.Shop) quantity.VolumeRate {
	for _, p := range s.Plants {
		if plant != "" && strings.EqualFold(p.Name.Value, plant) {
			return p.Hourly.Value
		}
	}
	return 0
}

func (p *PlantDay) take(j Job) {
	p.Total += j.Concrete
	p.Jobs = append(p.Jobs, j.ID)
	from := float64(j.First) / 60
	until := from + float64(j.Concrete)/float64(j.Hourly)/3600
	for at := int(from); float64(at) < until; at++ {
		share := min(until, float64(at+1)) - max(from, float64(at))
		h := p.hour(at)
		h.Volume += quantity.Volume(share * 3600 * float64(j.Hourly))
		h.Jobs = append(h.Jobs, j.Title)
	}
}

// hour finds an hour, and adds those between it and the others.
func (p *PlantDay) hour(at int) *Hour {
	if len(p.Hours) == 0 {
		p.Hours = []Hour{{At: at}}
	}
	for p.Hours[0].At > at {
		p.Hours = slices.Insert(p.Hours, 0, Hour{At: p.Hours[0].At - 1})
	}
	for last := p.Hours[len(p.Hours)-1].At; last < at; last++ {
		p.Hours = append(p.Hours, Hour{At: last + 1})
	}
	return &p.Hours[at-p.Hours[0].At]
}

// plants tells the hours in which a plant would have to send more than it does.
func (f *finder) plants(jobs []Job, days []PlantDay) {
	for _, p := range days {
		most := p.Most()
		if !p.Over(most) {
			continue
		}
		units := f.shop.Units
		c := Clash{Kind: "plant", Level: check.Stop, On: p.On, Says: fmt.Sprintf("%s is asked for %s from %s to %s and sends %s in an hour: %s.", p.Plant,
			volume(most.Volume, units), hourWord(most.At), hourWord(most.At+1), volume(quantity.Volume(float64(p.Limit)*3600), units), strings.Join(most.Jobs, ", "))}
		for _, j := range jobs {
			if slices.Contains(p.Jobs, j.ID) && slices.Contains(most.Jobs, j.Title) {
				c.Jobs = append(c.Jobs, j.ID)
			}
		}
		f.found = append(f.found, c)
	}
}

func volume(v quantity.Volume, units quantity.System) string {
	return quantity.Show(v, quantity.AsVolume).String(units)
}

// hourWord writes an hour of the clock as 07:00.
func hourWord(h int) string { return fmt.Sprintf("%02d:00", h%24) }

// The graph of a plant's day, paper millimetres.
const (
	barPitch    = 14.0
	graphHeight = 48.0
	graphMargin = 12.0
)

// Picture draws what a plant must send by the hour against what it sends, with its table.
func (p PlantDay) Picture(units quantity.System) drawing.Picture {
	name := p.Plant
	if name == "" {
		name = "No plant named"
	}
	most := p.Most()
	pic := drawing.Picture{Name: "plant-hours", Space: drawing.Paper, Title: fmt.Sprintf("%s, %s: most %s, from %s to %s", name, p.On, volume(most.Volume, units), hourWord(most.At), hourWord(most.At+1)),
		Says:   fmt.Sprintf("Bars of the concrete %s must send by the hour on %s, %s in all.", name, p.On, volume(p.Total, units)),
		Legend: []drawing.LegendRow{{Layer: draft.LineA, Says: "concrete placed in the hour"}},
		Table:  drawing.Table{Header: []string{"From", "To", "Concrete", "Jobs"}}}
	limit := float64(p.Limit) * 3600
	scale := (graphHeight - 8) / max(float64(most.Volume), limit)
	width := barPitch * float64(len(p.Hours))
	for i, h := range p.Hours {
		layer, mark := draft.LineA, ""
		if p.Over(h) {
			layer, mark = draft.Danger, " OVER"
		}
		x, high := barPitch*float64(i), float64(h.Volume)*scale
		if high > 0 {
			pic.Marks = append(pic.Marks, drawing.Path{Layer: layer, Closed: true, Ref: hourWord(h.At), Points: []geometry.Point{{X: x + 1}, {X: x + barPitch - 1}, {X: x + barPitch - 1, Y: high}, {X: x + 1, Y: high}}},
				drawing.Text{Layer: draft.Letters, At: geometry.Point{X: x + barPitch/2, Y: high + 1}, Says: amount(h.Volume, units), Height: draft.NoteHeight, Anchor: drawing.Above, Tied: true})
		}
		pic.Marks = append(pic.Marks, drawing.Text{Layer: draft.Letters, At: geometry.Point{X: x, Y: -1.5}, Says: hourWord(h.At), Height: draft.NoteHeight, Anchor: drawing.Below, Tied: true})
		pic.Table.Rows = append(pic.Table.Rows, []string{hourWord(h.At), hourWord(h.At + 1), volume(h.Volume, units) + mark, strings.Join(h.Jobs, ", ")})
	}
	pic.Marks = append(pic.Marks, drawing.Path{Layer: draft.Axis, Points: []geometry.Point{{}, {X: width + graphMargin}}})
	if limit > 0 {
		pic.Legend = append(pic.Legend, drawing.LegendRow{Layer: draft.LineB, Says: "most the plant sends: " + volume(quantity.Volume(limit), units)}, drawing.LegendRow{Layer: draft.Danger, Says: "more than it sends"})
		pic.Marks = append(pic.Marks, drawing.Path{Layer: draft.LineB, Ref: "most the plant sends", Points: []geometry.Point{{Y: limit * scale}, {X: width + graphMargin, Y: limit * scale}}})
	}
	return pic
}

// amount is a volume's number without its unit.
func amount(v quantity.Volume, units quantity.System) string {
	number, _, _ := strings.Cut(volume(v, units), " ")
	return number
}
