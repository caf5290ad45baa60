package pack

import (
	"slices"
	"strings"

	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/site"
)

// topics are what can hurt someone on a slab job, the gravest first, each with the words its check ids hold: several stages
// may warn of the same thing, and the crew is told once.
var topics = [][]string{
	{"locate"}, {"overhead", "wires"}, {"trench", "excavat"}, {"backing"}, {"wet-cement", "burn"}, {"silica", "dust"}, {"bar-ends"},
	{"heat", "hot-crew"}, {"cold-crew"}, {"drive"}, {"saw"}, {"traffic", "green"}, {"lifting"}, {"chute"}, {"wash"}, {"jacks"}, {"pump"}, {"buggy"},
}

// A crew reads at most so many cautions on its sheet, and never fewer where there are as many.
const (
	mostOnCrewSheet  = 5
	leastOnCrewSheet = 2
)

// cautions are the plan's safety checks, gravest topic first, one of each; what fits no topic comes last.
func (m *maker) cautions() []check.Check {
	taken := make([]bool, len(topics))
	byTopic := make([]check.Check, len(topics))
	var rest []check.Check
	for _, c := range m.plan.Checks() {
		if !c.Safety || c.Level < check.Care {
			continue
		}
		i := slices.IndexFunc(topics, func(words []string) bool {
			return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(string(c.ID), w) })
		})
		switch {
		case i < 0:
			rest = append(rest, c)
		case !taken[i]:
			taken[i], byTopic[i] = true, c
		}
	}
	var out []check.Check
	for i, c := range byTopic {
		if taken[i] {
			out = append(out, c)
		}
	}
	return append(out, rest...)
}

// crewCautions are the gravest cautions, each cut after its first clause; the full ones are on the sheet behind.
func (m *maker) crewCautions(most int) []string {
	s, _ := of[site.Result](m.reading, "site")
	overhead := slices.ContainsFunc(s.Things, func(t site.Thing) bool { return t.Kind == site.Overhead })
	var out []string
	for _, c := range m.cautions() {
		if len(out) == most {
			break
		}
		if c.Level == check.Stop || c.ID == "site.locate" {
			continue // boxed over every sheet, or among the job's lines
		}
		if !overhead && strings.Contains(string(c.ID), "overhead") {
			continue // no wire is drawn: the lines of the job say to look up
		}
		says, _, cut := strings.Cut(c.Says, ";")
		if cut {
			says += "."
		}
		out = append(out, sentence(says))
	}
	return out
}

// takeCare is every caution of the job with what to do: the back of the crew sheet.
func takeCare(m *maker) (*document.Doc, error) {
	cautions := m.cautions()
	if len(cautions) == 0 {
		return nil, nil
	}
	set := func(doc *document.Doc) {
		doc.Title("Take care")
		var list []string
		for _, c := range cautions {
			list = append(list, sentence(join(" ", c.Says, join(" ", c.Then...))))
		}
		doc.Checklist(list...)
		doc.Note("Local code and a licensed engineer govern.")
	}
	return m.oneSide("take-care", "Take care", set), nil
}
