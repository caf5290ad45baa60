package pack

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/site"
)

// buried are the kinds of line that lie in the ground, each with its word.
var buried = map[site.Kind]string{site.Power: "power", site.Gas: "gas", site.Comm: "cable", site.Drinking: "water", site.Sewer: "sewer", site.Pipe: "pipe"}

// lines says what runs in the ground and overhead, each with its distance from the slab, and what stands behind the marks.
func (m *maker) lines() []string {
	s, ok := of[site.Result](m.reading, "site")
	report, _ := m.plan.Of("site")
	in, known := report.Input.(site.Input)
	if !ok || !known {
		return []string{"The lot is not known yet. Look for paint and flags before you dig."}
	}
	var out []string
	for i, t := range s.Things {
		var o site.Obstacle
		if i < len(in.Obstacles) {
			o = in.Obstacles[i]
		}
		switch kind, lies := buried[t.Kind]; {
		case lies && o.Depth.Given():
			out = append(out, fmt.Sprintf("Buried %s: %s, %s, %s deep as told.", kind, t.Name, m.away(s, t), m.show(o.Depth.Show(quantity.AsDrop))))
		case lies:
			out = append(out, fmt.Sprintf("Buried %s: %s, %s, depth not known.", kind, t.Name, m.away(s, t)))
		case t.Kind == site.Overhead && o.Height.Given():
			out = append(out, fmt.Sprintf("Overhead: %s, %s up, %s.", t.Name, m.show(o.Height.Show(quantity.AsDistance)), m.away(s, t)))
		case t.Kind == site.Overhead:
			out = append(out, fmt.Sprintf("Overhead: %s, height not measured, %s.", t.Name, m.away(s, t)))
		}
	}
	if len(out) == 0 {
		out = append(out, "No line is drawn on this job. Look up, and look for paint and flags.")
	}
	if s.DoNotDig {
		return append(out, "811 is not called: nobody digs.")
	}
	says := fmt.Sprintf("811 ticket %s, dig from %s.", in.Locate.Ticket, m.date(in.Locate.LegalStart.Value))
	if !in.Locate.Private.Value {
		says += " Private lines: not looked for."
	}
	return append(out, says)
}

// away is how far a line runs from the slab and from which side: "7.0 ft from side AB", "under the slab".
func (m *maker) away(s site.Result, t site.Thing) string {
	least, side := math.Inf(1), ""
	for i := range t.Line[:max(0, len(t.Line)-1)] {
		run := geometry.Segment{A: t.Line[i], B: t.Line[i+1]}
		if s.Outline.Contains(run.A) || s.Outline.Contains(run.B) {
			least = 0
		}
		for j, c := range s.Corners {
			next := s.Corners[(j+1)%len(s.Corners)]
			if d := run.DistanceTo(geometry.Segment{A: c.At, B: next.At}); d < least {
				least, side = d, c.Name+next.Name
			}
		}
	}
	switch {
	case len(t.Line) < 2:
		return "near the slab"
	case least == 0 && t.Kind == site.Overhead:
		return "OVER THE SLAB"
	case least == 0:
		return "UNDER THE SLAB"
	}
	return m.show(quantity.Show(quantity.Length(least), quantity.AsDistance)) + " from side " + side
}
