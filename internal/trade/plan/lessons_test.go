package plan

import (
	"math"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/record"
)

// poured is a job written down: forms took so many times the priced hours, and so much more came than was drawn.
func poured(t *testing.T, forms, over float64) Plan {
	t.Helper()
	j := threeNumbers(t)
	planned := made(t, j)
	for _, task := range planned.Results.Price.Tasks {
		if task.Name == "forms" {
			j.Record.Hours = []record.Worked{{Task: known.Say("forms"), People: known.Say[quantity.Number](1), Time: known.Say(quantity.Time(forms * float64(task.Hours)))}}
		}
	}
	came := quantity.Volume(1+over) * planned.Results.Order.Neat
	j.Order.Tickets = []order.Ticket{{Volume: known.Say(came / 2)}, {Volume: known.Say(came / 2)}}
	return made(t, j)
}

func find(t *testing.T, all []Lesson, field string) Lesson {
	t.Helper()
	for _, l := range all {
		if l.Field == field {
			return l
		}
	}
	t.Fatalf("no lesson on %s in %+v", field, all)
	return Lesson{}
}

// TestFormsThatTakeTwiceAsLong: many jobs at half the rate teach half the rate; one job moves it a little.
func TestFormsThatTakeTwiceAsLong(t *testing.T) {
	slow := poured(t, 2, 0.07)
	now := find(t, Lessons([]Plan{slow}), "price.rates.forms")
	var many []Plan
	for range 20 {
		many = append(many, slow)
	}
	learnt := find(t, Lessons(many), "price.rates.forms")
	half := now.Now.SI / 2
	if !(now.Offered.SI < now.Now.SI && now.Offered.SI > learnt.Offered.SI && learnt.Offered.SI > half) {
		t.Errorf("one job %v, twenty %v, planned %v", now.Offered.SI, learnt.Offered.SI, now.Now.SI)
	}
	if !learnt.Differs || learnt.Offered.SI > 1.1*half || learnt.Jobs != 20 {
		t.Errorf("twenty jobs: %+v", learnt)
	}
}

func TestJobsAsPlannedTeachWhatWasPlanned(t *testing.T) {
	same := poured(t, 1, 0.07)
	for _, l := range Lessons([]Plan{same, same, same}) {
		if l.Differs {
			t.Errorf("%s differs: %+v", l.Field, l)
		}
		if l.Field == "order.allowance" && math.Abs(l.Offered.SI-0.07) > 1e-6 {
			t.Errorf("allowance %v", l.Offered.SI)
		}
	}
}

func TestNoRecordTeachesNothing(t *testing.T) {
	if all := Lessons([]Plan{made(t, threeNumbers(t))}); len(all) != 0 {
		t.Errorf("%+v", all)
	}
}
