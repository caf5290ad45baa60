package plan

import (
	"strings"

	"slabwright/internal/engines/quantity"
)

// Effort is what it takes to find a guess out: the foreman's time, and how it is done.
type Effort struct {
	Time    quantity.Time
	How     string
	Decided bool // nothing to find out: the shop or the owner decides it, so it is no risk to the price
}

// efforts are by the longest beginning of "stage.field". Times are common practice for one person on a small site.
var efforts = map[string]Effort{
	"":                        {Time: 15 * 60, How: "look, measure or ask, and type it"},
	"site.":                   {Time: 20 * 60, How: "tape, rod and level on site"},
	"site.tape_error":         {Time: 10 * 60, How: "measure one side twice"},
	"mix.":                    {Time: 10 * 60, How: "ask the plant for its mix card"},
	"mix.strength":            {Time: 5 * 60, How: "decide it with the owner, or ask what the code wants", Decided: true},
	"mix.added_water":         {Time: 5 * 60, How: "agree who may add water, and how much"},
	"slab.":                   {Time: 20 * 60, How: "measure the vehicle and the place"},
	"slab.cone":               {Time: 30 * 60, How: "push a hand cone at three places"},
	"slab.passes":             {Time: 2 * 60, How: "ask the owner how often"},
	"slab.weight":             {Time: 10 * 60, How: "read the plate on the axle, or weigh it"},
	"slab.jack":               {Time: 5 * 60, How: "measure the pad under the jack"},
	"slab.base_thickness":     {Time: 20 * 60, How: "dig one hole and look at the ground"},
	"joints.":                 {Time: 2 * 60, How: "decide it; it is the shop's rule", Decided: true},
	"joints.hands":            {Time: 2 * 60, How: "say who comes", Decided: true},
	"joints.truck_holds":      {Time: 5 * 60, How: "ask the plant on the phone"},
	"grade.":                  {Time: 15 * 60, How: "level, straightedge or a decision on site"},
	"grade.packing":           {Time: 10 * 60, How: "ask the quarry for its weights"},
	"grade.truck":             {Time: 2 * 60, How: "ask whoever hauls"},
	"grade.kept_on_site":      {Time: 5 * 60, How: "ask the owner where soil may stay"},
	"steel.":                  {Time: 5 * 60, How: "ask the supplier, or decide it"},
	"steel.stock":             {Time: 5 * 60, How: "ask the yard what lengths it holds"},
	"forms.":                  {Time: 5 * 60, How: "look at the boards in the truck"},
	"access.":                 {Time: 10 * 60, How: "walk the way with a tape"},
	"access.barrows":          {Time: 2 * 60, How: "say who comes with barrows", Decided: true},
	"access.barrow_time":      {Time: 2 * 60, How: "decide it; it is the shop's rule", Decided: true},
	"order.":                  {Time: 5 * 60, How: "ask the plant on the phone"},
	"order.base":              {Time: 15 * 60, How: "string to base at six points or more"},
	"order.form_bow":          {Time: 15 * 60, How: "sight along the boards, brace, measure again"},
	"order.waste":             {Time: 2 * 60, How: "look at the last tickets against the last drawings"},
	"order.placing_rate":      {Time: 2 * 60, How: "look at the last pours' times"},
	"cure.":                   {Time: 10 * 60, How: "look at the forecast, or at the last slab's record"},
	"price.":                  {Time: 5 * 60, How: "look it up in the last bill, or ring the supplier"},
	"price.rates.":            {Time: 10 * 60, How: "look at the hours of the last three jobs"},
	"price.labour.":           {Time: 5 * 60, How: "ask whoever does the payroll"},
	"price.business.":         {Time: 5 * 60, How: "decide it; it is the shop's own"},
	"price.business.overhead": {Time: 30 * 60, How: "last year's overhead over last year's direct cost, from the books"},
	"price.rates.crew":        {Time: 2 * 60, How: "say who comes", Decided: true},
	"price.business.burden":   {Time: 5 * 60, How: "ask whoever does the payroll"},
	"price.equipment.":        {Time: 5 * 60, How: "ring the hire yard"},
	"price.work.barrow_time":  {Time: 10 * 60, How: "walk the barrow run with a watch"},
}

// effortOf finds what it takes to find a guess out.
func effortOf(g Guess) Effort {
	full := g.Stage + "." + g.Field
	longest := ""
	for beginning := range efforts {
		if strings.HasPrefix(full, beginning) && len(beginning) > len(longest) {
			longest = beginning
		}
	}
	return efforts[longest]
}
