package web

import "slices"

// Screen is one question of a job: what is shown, in what order, and what may be typed there. Names of figures are
// "stage.figure", pointers lead into the job's document.
type Screen struct {
	Slug     string
	Title    string
	Empty    string   // said while there is nothing to answer from
	Stages   []string // whose answers, checks and guesses stand here
	Strip    []string // figures at the top, the answer first
	Pictures []string // in order; the first is large
	Boxes    []string // what is asked, at most five
	More     []string // what else may be said here
	Lists    []List
	Tool     string // what may be drawn on the plan here: outline, levels, joints, places; empty: nothing
	Deep     string // a question that takes seconds, asked by a button
	Asks     string // that button's words
	Label    string // what the words of the screen are held to: plain or trade
}

// List is a table a person fills row by row.
type List struct {
	Pointer string
	Title   string
	Columns []string
	Help    string
}

// screens in the order of the job.
var screens = []Screen{
	{Slug: "build", Title: "What are we building?", Empty: "Draw the outline, or type length and width.", Stages: []string{"site", "slab"},
		Strip: []string{"site.area", "site.perimeter", "slab.thickness"}, Pictures: []string{"site-plan"}, Tool: "outline",
		Boxes: []string{"/length", "/width", "/thickness", "/use"},
		More:  []string{"/name", "/number", "/address", "/owner", "/crew", "/foreman", "/shop", "/phone", "/units", "/time_zone", "/latitude", "/longitude", "/site/lot/setback", "/site/lot/permit_asked", "/practice"},
		Lists: []List{
			{"/site/obstacles", "What is in the way", []string{"kind", "name", "x", "y", "across", "depth", "height"}, "House, tree, pipe, fence, wires, lot line: draw them, or type their place here."},
			{"/site/tapes", "Tapes", []string{"from", "to", "length"}, "Tape every side and the diagonals; what disagrees is shown."}},
		Label: "plain"},
	{Slug: "water", Title: "Where does the water go?", Empty: "Type five levels, or tap them on the plan.", Stages: []string{"grade", "site"},
		Strip: []string{"grade.low_corner", "grade.least_slope", "grade.fall"}, Pictures: []string{"slopes-and-levels", "strings-and-boards"}, Tool: "levels",
		Boxes: []string{"/grade/drain", "/grade/least_slope", "/site/bench_mark/elevation", "/site/bench_mark/backsight"},
		More:  []string{"/site/bench_mark/name", "/site/bench_mark/again", "/site/north", "/site/rod", "/grade/greatest_slope", "/grade/reveal", "/grade/string_height", "/grade/accessible"},
		Lists: []List{
			{"/site/shots", "Levels", []string{"at", "x", "y", "rod", "elevation", "name"}, "A corner's letter, or a place; then the rod reading, or the level itself."},
			{"/grade/ties", "What it must meet", []string{"corner", "side", "elevation", "step", "kind", "name"}, "A sill, a street, a drain: its level, and whether the slab meets it or stays below."}},
		Label: "plain"},
	{Slug: "under", Title: "What's under it?", Empty: "Say what the ground is.", Stages: []string{"grade", "site"},
		Strip: []string{"grade.dig_depth", "grade.base_order", "grade.haul_loads", "grade.cut"}, Pictures: []string{"cut-and-fill", "slab-section"},
		Boxes: []string{"/slab/soil", "/slab/base_thickness", "/site/locate/ticket", "/site/locate/legal_start", "/site/locate/private_lines_found"},
		More:  []string{"/grade/soft_ground", "/grade/frost_depth", "/grade/stone", "/grade/dig_margin", "/grade/truck_box", "/grade/kept_on_site", "/slab/fill", "/slab/cbr"},
		Label: "plain"},
	{Slug: "hold", Title: "Will it hold?", Empty: "Say what stands on it.", Stages: []string{"slab", "hold"}, Deep: "hold", Asks: "Check the real panels, wheel by wheel",
		Strip: []string{"slab.thickness", "slab.utilisation", "slab.governs"}, Pictures: []string{"slab-use", "slab-section", "hold-stress", "hold-sink", "hold-influence", "hold-changes"},
		Boxes: []string{"/use", "/slab/weight", "/thickness", "/slab/passes", "/slab/soil"},
		More:  []string{"/slab/jack_pad", "/slab/jacks_stay", "/slab/edge_clearance", "/slab/life", "/slab/base_thickness", "/slab/joint", "/slab/tolerance"},
		Label: "plain"},
	{Slug: "joints", Title: "Joints and steel", Empty: "Draw the outline first.", Stages: []string{"joints", "steel", "forms"},
		Strip: []string{"joints.panels", "joints.spacing", "joints.saw_depth", "steel.weight", "forms.boards"}, Pictures: []string{"joint-plan", "bar-plan", "bar-height", "form-plan"}, Tool: "joints",
		Boxes: []string{"/joints/prefer", "/joints/saw", "/steel/kind", "/steel/bars", "/forms/board"},
		More:  []string{"/joints/spacing_cap", "/joints/max_aspect", "/joints/isolation", "/steel/through_joints", "/steel/chair_spacing", "/steel/stock", "/forms/stake_spacing", "/forms/stock"},
		Label: "trade"},
	{Slug: "order", Title: "What do we order?", Empty: "Draw the outline, or type length, width and thickness.", Stages: []string{"order", "mix"},
		Strip: []string{"order.yards", "mix.ask_the_plant", "order.loads", "order.could_need"}, Pictures: []string{"truck-timeline", "strength-control"},
		Boxes: []string{"/mix/asked", "/mix/freezing", "/mix/deicers", "/order/truck_holds", "/order/haul"},
		More:  []string{"/order/plant", "/order/allowance", "/order/most_short", "/order/increment", "/order/placing_rate", "/order/trucks", "/order/time_limit", "/order/short_load_below", "/order/account", "/order/call_back", "/mix/slump", "/mix/stone", "/mix/air", "/mix/fly_ash", "/mix/slag"},
		Lists: []List{{"/gear", "Gear it needs", nil, "What of the shop's gear the day wants, as the shop's lists call it: the week tells when two jobs want the same."}, {"/order/depths", "Depths from string to base", nil, "Six or more make the order firm: stretch the string over the forms and measure down."}},
		Label: "plain"},
	{Slug: "price", Title: "What's the price?", Empty: "Say the size first.", Stages: []string{"price"},
		Strip: []string{"price.price", "price.cost", "price.margin", "price.per_area"}, Pictures: []string{"cost-steps"},
		Boxes: []string{"/price/materials/concrete", "/price/materials/stone", "/price/labour/wage", "/price/business/overhead", "/price/business/margin"},
		More:  []string{"/quoted_on", "/accepted_on", "/declined_on", "/price/business/contingency", "/price/business/round_up_to", "/price/business/deposit", "/price/business/holds", "/price/materials/steel", "/price/materials/board", "/price/materials/cure", "/price/rates/crew"},
		Label: "plain"},
	{Slug: "access", Title: "Getting in and out", Empty: "Mark on the plan where the truck can stand.", Stages: []string{"access", "backing"}, Deep: "backing", Asks: "Back the trailer in",
		Strip: []string{"access.method", "access.reach_share", "access.barrow_time"}, Pictures: []string{"chute-reach", "backing-path", "backing-strip"}, Tool: "places",
		Boxes: []string{"/access/gate", "/access/chute_reach", "/access/over_drive", "/backing/vehicle", "/backing/street/width"},
		More:  []string{"/access/standoff", "/access/barrows", "/backing/parked/nose", "/backing/room", "/backing/margin"},
		Lists: []List{
			{"/access/stands", "Where the truck can stand", []string{"x", "y", "name"}, "Where the end of the chute's truck can be: tap the plan, or type it."},
			{"/backing/street/line", "The street's middle", []string{"x", "y"}, "Points along the middle of the street."}},
		Label: "plain"},
	{Slug: "day", Title: "Which day?", Empty: "Bring a forecast, or type four numbers from the sky.", Stages: []string{"pour"}, Tool: "start",
		Strip: []string{"pour.verdict", "pour.start", "pour.evaporation", "pour.finished_by"}, Pictures: []string{"day-strip"},
		Boxes: []string{"/pour_date", "/first_truck", "/pour/finishers", "/pour/concrete_temperature", "/pour/covers"},
		More:  []string{"/pour/reading/air", "/pour/reading/humidity", "/pour/reading/wind", "/pour/reading/concrete", "/pour/earliest_start", "/pour/latest_start", "/pour/placing_rate", "/pour/hot_limit", "/pour/ground_temperature", "/pour/rehearse"},
		Label: "plain"},
	{Slug: "pour", Title: "Pour day", Empty: "Plan the day first.", Stages: []string{"pour", "order"}, Tool: "stamps",
		Strip: []string{"pour.start", "order.loads", "order.spacing"}, Pictures: []string{"truck-timeline", "day-strip"}, Label: "trade"},
	{Slug: "use", Title: "When can they use it?", Empty: "Say the day of the pour.", Stages: []string{"cure"},
		Strip: []string{"cure.foot", "cure.car", "cure.trailer", "cure.cure_until"}, Pictures: []string{"strength-by-day", "heat-by-depth", "crack-index"},
		Boxes: []string{"/pour_date", "/cure/later_air", "/cure/later_swing", "/cure/covers", "/cure/salted"},
		More:  []string{"/cure/foot_at", "/cure/car_at", "/cure/trailer_at", "/cure/strip_at", "/cure/thorough"},
		Lists: []List{{"/cure/slab_temperatures", "Temperatures read in the slab", []string{"time", "temperature"}, "When, and what the probe said."}},
		Label: "plain"},
	{Slug: "record", Title: "What we did", Empty: "Nothing is recorded yet. The taps of the day fill this.", Stages: []string{"record"}, Tool: "record",
		Strip: []string{"record.used", "record.over_drawing", "record.worked", "record.priced", "record.least_thickness"},
		Boxes: []string{"/record/left_over"},
		Lists: []List{
			{"/record/log", "What else happened", []string{"at", "says", "by"}, "A line for whatever happened; a mistake is put right by a new line."},
			{"/record/hours", "Hours worked", []string{"task", "people", "time"}, "Who worked on what, and how long."},
			{"/record/changes", "Changes agreed", []string{"at", "says", "money", "agreed_by"}, "What the owner asked for on the way, and what it costs."},
			{"/record/signed", "Signed", []string{"who", "what", "at"}, "Who signed what, and when."},
			{"/order/tickets", "Tickets", []string{"number", "truck", "volume", "batched", "arrived", "emptied", "slump", "air", "temperature", "water_added"}, "One row a truck: what the paper says, and what you measured."},
			{"/cure/cylinders", "Cylinders", []string{"age", "strength"}, "What the lab broke, and at what age in days."}},
		Label: "plain"},
	{Slug: "sheets", Title: "Sheets", Tool: "sheets", Label: "plain"},
	{Slug: "assumed", Title: "Assumed", Tool: "assumed", Label: "plain"},
}

// find is the screen of a slug.
func find(slug string) (Screen, bool) {
	i := slices.IndexFunc(screens, func(s Screen) bool { return s.Slug == slug })
	if i < 0 {
		return Screen{}, false
	}
	return screens[i], true
}

// listed says whether some screen names a picture.
func listed(name string) bool {
	return slices.ContainsFunc(screens, func(s Screen) bool { return slices.Contains(s.Pictures, name) })
}

// screenOf is the first screen that shows a stage.
func screenOf(stage string) string {
	i := slices.IndexFunc(screens, func(s Screen) bool { return len(s.Stages) > 0 && s.Stages[0] == stage })
	if i < 0 {
		i = slices.IndexFunc(screens, func(s Screen) bool { return slices.Contains(s.Stages, stage) })
	}
	if i < 0 {
		return "assumed"
	}
	return screens[i].Slug
}

// Slugs are the addresses of a job's screens, in order.
func Slugs() []string {
	out := make([]string, len(screens))
	for i, s := range screens {
		out[i] = s.Slug
	}
	return out
}
