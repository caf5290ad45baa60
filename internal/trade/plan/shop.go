package plan

import (
	"slices"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/shop"
)

// Tried plans a plain slab with a shop's lists and says which of their values no stage can use.
func Tried(s shop.Shop, asOf time.Time) check.Faults {
	listed := s.Fields()
	var out check.Faults
	for _, f := range faultsOf(plainSlab(asOf, s)) {
		if slices.ContainsFunc(listed, func(e known.Entry) bool { return e.Field == f.Field || strings.HasPrefix(e.Field, f.Field+"[") }) {
			out = append(out, f)
		}
	}
	return out
}

// plainSlab is 40 by 14 feet and 6 inches thick with a shop's lists.
func plainSlab(asOf time.Time, s shop.Shop) job.Job {
	j := job.Job{AsOf: asOf, Length: known.Say(quantity.Feet(40)), Width: known.Say(quantity.Feet(14)), Thickness: known.Say(quantity.Inches(6))}
	s.Lend(&j)
	_ = j.Settle() // it names no time zone
	return j
}

func faultsOf(j job.Job) check.Faults {
	var planner Planner
	var out check.Faults
	for _, r := range planner.Make(j).Stages {
		out = append(out, r.Faults()...)
	}
	return out
}
