package plan

import (
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
)

// The chosen layout's risks are those the cure found, every layout has one risk a panel, and the joint plans carry them.
func TestLayoutsKnowTheirRisk(t *testing.T) {
	var j job.Job
	j.Site.Length, j.Site.Width = known.Say(quantity.Feet(44)), known.Say(quantity.Feet(20))
	j.Slab.Thickness = known.Say(quantity.Inches(5))
	p := new(Planner).Ask(j, "joints", "cure")
	risks := p.LayoutRisks()
	r := p.Results.Joints
	if len(risks) != 1+len(r.Alternatives) {
		t.Fatalf("%d layouts with a risk, want %d: %v", len(risks), 1+len(r.Alternatives), p.Unanswered())
	}
	if len(risks[0].Panels) != len(r.Panels) {
		t.Fatalf("%d risks for %d panels", len(risks[0].Panels), len(r.Panels))
	}
	for i, c := range risks[0].Panels {
		if c != p.Results.Cure.Cracks[i] {
			t.Errorf("panel %d: %+v, the cure says %+v", i+1, c, p.Results.Cure.Cracks[i])
		}
	}
	for i, a := range r.Alternatives {
		if len(risks[1+i].Panels) != len(a.Panels) || !(risks[1+i].Worst().Index > 0) {
			t.Errorf("layout %s: %+v", a.Name, risks[1+i])
		}
	}
	joined, _ := p.Of("joints")
	for twice := range 2 { // asking again adds nothing
		for _, pic := range joined.Pictures() {
			told := 0
			for _, row := range pic.Table.Rows {
				if last := row[len(row)-1]; strings.Contains(last, " in") && len(row) == len(pic.Table.Header) && strings.Contains(last, ", ") {
					told++
				}
			}
			if strings.HasPrefix(pic.Name, "joint-plan") && told == 0 || strings.Count(strings.Join(pic.Table.Header, "|"), "crack index") != 1 {
				t.Errorf("%s, time %d: %d rows tell a risk under %q", pic.Name, twice, told, pic.Table.Header)
			}
		}
	}
}
