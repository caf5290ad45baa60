package shop

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/access"
	"slabwright/internal/trade/forms"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/price"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/steel"
)

// Line is one value a shop may set, as it stands: the shop's own, or what is assumed until it is set.
type Line struct {
	known.Entry               // Origin is Listed, Assumed, or Missing where nothing is assumed
	Section     string        // "price"
	Invented    bool          // assumed, and a figure nobody has seen on an invoice
	On          quantity.Date // day it was set; zero: not known
	By          string
	Days        int  // since then
	Old         bool // a price older than the shop lets it be
}

// Lines are all values a shop may set, in the order of a job's sections, as they stand on a day.
func (s Shop) Lines(today quantity.Date) []Line {
	assumed := job.Job{Price: price.Defaults(), Order: order.Defaults(), Pour: pour.Defaults(), Access: access.Defaults(), Joints: joints.Defaults(), Steel: steel.Defaults(), Forms: forms.Defaults()}
	var out []Line
	for _, part := range s.sections(&assumed) {
		own := map[string]known.Entry{}
		for _, e := range known.Entries(part.list) {
			own[e.Field] = e
		}
		for _, e := range known.Entries(part.of) {
			if field := part.name + "." + e.Field; Settable(field) {
				out = append(out, s.line(part.name, field, own[e.Field], e, today))
			}
		}
	}
	return out
}

func (s Shop) line(section, field string, own, assumed known.Entry, today quantity.Date) Line {
	l := Line{Entry: assumed, Section: section, Invented: assumed.Source == sources.PlaceholderFee}
	if own.Origin != known.Missing {
		l.Entry, l.Invented = own, false
		l.Origin = known.Listed
		l.On, l.By = s.Set(field)
		days, old, _ := s.Age(field, today)
		l.Days, l.Old = days, old && own.IsMoney()
	}
	l.Field = field
	return l
}
