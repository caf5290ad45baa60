package plan

import (
	"strings"

	"slabwright/internal/engines/quantity"
)

// Effort is what it takes to find a guess out: the foreman's time, and how it is done.
type Effort struct {
	Time quantity.Time
	How  string
}

// efforts are by the longest beginning of "stage.field". Times are common practice for one person on a small site.
var efforts = map[string]Effort{
	"":                       {15 * 60, "look, measure or ask, and type it"},
	"site.":                  {20 * 60, "tape, rod and level on site"},
	"site.tape_error":        {10 * 60, "measure one side twice"},
	"mix.":                   {10 * 60, "ask the plant for its mix card"},
	"mix.strength":           {5 * 60, "decide it with the owner, or ask what the code wants"},
	"mix.added_water":        {5 * 60, "agree who may add water, and how much"},
	"slab.":                  {20 * 60, "measure the vehicle and the place"},
	"slab.cone":              {30 * 60, "push a hand cone at three places"},
	"slab.passes":            {2 * 60, "ask the owner how often"},
	"slab.weight":            {10 * 60, "read the plate on the axle, or weigh it"},
	"slab.jack":              {5 * 60, "measure the pad under the jack"},
	"slab.base_thickness":    {5 * 60, "decide it with the stone"},
	"joints.":                {2 * 60, "decide it; it is the shop's rule"},
	"grade.":                 {15 * 60, "level, straightedge or a decision on site"},
	"grade.base_thickness":   {20 * 60, "dig one hole and look at the ground"},
	"grade.packing":          {10 * 60, "ask the quarry for its weights"},
	"grade.truck":            {2 * 60, "ask the haulier"},
	"grade.kept_on_site":     {5 * 60, "ask the owner where soil may stay"},
	"steel.":                 {5 * 60, "ask the supplier, or decide it"},
	"steel.stock":            {5 * 60, "ask the yard what lengths it holds"},
	"forms.":                 {5 * 60, "look at the boards in the truck"},
	"access.":                {10 * 60, "walk the way with a tape"},
	"order.":                 {5 * 60, "ask the plant on the phone"},
	"order.base":             {15 * 60, "string to base at six points or more"},
	"order.form_bow":         {15 * 60, "sight along the boards, brace, measure again"},
	"order.waste":            {2 * 60, "look at the last tickets against the last drawings"},
	"order.placing_rate":     {2 * 60, "look at the last pours' times"},
	"cure.":                  {10 * 60, "look at the forecast, or at the last slab's record"},
	"price.":                 {5 * 60, "look it up in the last bill, or ring the supplier"},
	"price.rates.":           {10 * 60, "look at the hours of the last three jobs"},
	"price.labour.":          {5 * 60, "ask whoever does the payroll"},
	"price.business.":        {5 * 60, "decide it; it is the shop's own"},
	"price.rates.crew":       {2 * 60, "say who comes"},
	"price.business.burden":  {5 * 60, "ask whoever does the payroll"},
	"price.equipment.":       {5 * 60, "ring the hire yard"},
	"price.work.barrow_time": {10 * 60, "walk the barrow run with a watch"},
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
