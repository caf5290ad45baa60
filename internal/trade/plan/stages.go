package plan

import (
	"slices"
	"time"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/access"
	"slabwright/internal/trade/backing"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/forms"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/hold"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/mix"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/price"
	"slabwright/internal/trade/record"
	"slabwright/internal/trade/site"
	"slabwright/internal/trade/slab"
	"slabwright/internal/trade/steel"
)

// Results are the answers of the stages that have answered, for the stages after them; with the inputs that later stages
// share.
type Results struct {
	Site   site.Result
	Mix    mix.Result
	Slab   slab.Result
	Joints joints.Result
	Grade  grade.Result
	Steel  steel.Result
	Forms  forms.Result
	Access access.Result
	Order  order.Result
	Pour   pour.Result
	Cure   cure.Result
	Price  price.Result
	Record record.Result
	Hold   hold.Result
	Way    backing.Result

	MixInput   mix.Input
	SlabInput  slab.Input
	SteelInput steel.Input
	OrderInput order.Input
	PriceInput price.Input
}

// Stages is the table: each stage's question and what must be answered before it. The order of the rows is an order of work.
func Stages() []Stage { return table }

var table = []Stage{
	row[site.Input, site.Result]{
		name: "site", question: "Where does it sit, what is in the way, what is the ground?",
		section: func(j *job.Job) *site.Input { return &j.Site }, keep: func(r *Results, _ site.Input, v site.Result) { r.Site = v },
		defaults: site.Defaults, link: linkSite, design: site.Design, pictures: site.Picture,
	}.stage(),
	row[mix.Input, mix.Result]{
		name: "mix", question: "Which concrete do we ask for?",
		section: func(j *job.Job) *mix.Input { return &j.Mix }, keep: func(r *Results, in mix.Input, v mix.Result) { r.Mix, r.MixInput = v, in },
		defaults: mix.Defaults, link: linkMix, design: mix.Design, pictures: mix.Picture,
	}.stage(),
	row[slab.Input, slab.Result]{
		name: "slab", question: "How thick, and will it hold?", needs: []string{"mix"},
		section: func(j *job.Job) *slab.Input { return &j.Slab }, keep: func(r *Results, in slab.Input, v slab.Result) { r.Slab, r.SlabInput = v, in },
		defaults: slab.Defaults, link: linkSlab, design: slab.Design, pictures: slab.Picture,
	}.stage(),
	row[joints.Input, joints.Result]{
		name: "joints", question: "Where do we cut, where do we isolate?", needs: []string{"site", "slab"},
		section: func(j *job.Job) *joints.Input { return &j.Joints }, keep: func(r *Results, _ joints.Input, v joints.Result) { r.Joints = v },
		defaults: joints.Defaults, link: linkJoints, design: joints.Design, pictures: joints.Picture,
	}.stage(),
	row[grade.Input, grade.Result]{
		name: "grade", question: "How high, which way does the water run, how deep do we dig?", needs: []string{"site", "slab"},
		section: func(j *job.Job) *grade.Input { return &j.Grade }, keep: func(r *Results, _ grade.Input, v grade.Result) { r.Grade = v },
		defaults: grade.Defaults, link: linkGrade, design: grade.Design, pictures: grade.Picture,
	}.stage(),
	row[steel.Input, steel.Result]{
		name: "steel", question: "Which bars, where, cut how?", needs: []string{"joints", "mix"},
		section: func(j *job.Job) *steel.Input { return &j.Steel }, keep: func(r *Results, in steel.Input, v steel.Result) { r.Steel, r.SteelInput = v, in },
		defaults: steel.Defaults, link: linkSteel, design: steel.Design, pictures: steel.Picture,
	}.stage(),
	row[forms.Input, forms.Result]{
		name: "forms", question: "Which boards, stakes and braces?", needs: []string{"site", "slab", "joints"},
		section: func(j *job.Job) *forms.Input { return &j.Forms }, keep: func(r *Results, _ forms.Input, v forms.Result) { r.Forms = v },
		defaults: forms.Defaults, link: linkForms, design: forms.Design, pictures: forms.Picture,
	}.stage(),
	row[access.Input, access.Result]{
		name: "access", question: "Does the concrete get there?", needs: []string{"site", "grade"},
		section: func(j *job.Job) *access.Input { return &j.Access }, keep: func(r *Results, _ access.Input, v access.Result) { r.Access = v },
		defaults: access.Defaults, link: linkAccess, design: access.Design, pictures: access.Picture,
	}.stage(),
	row[order.Input, order.Result]{
		name: "order", question: "What do we order?", needs: []string{"mix", "grade", "access", "joints", "forms"},
		section: func(j *job.Job) *order.Input { return &j.Order }, keep: func(r *Results, in order.Input, v order.Result) { r.Order, r.OrderInput = v, in },
		defaults: order.Defaults, link: linkOrder, design: order.Design, pictures: order.Picture,
	}.stage(),
	row[pour.Input, pour.Result]{
		name: "pour", question: "Which day and hour do we pour?", needs: []string{"mix", "order"},
		section: func(j *job.Job) *pour.Input { return &j.Pour }, keep: func(r *Results, _ pour.Input, v pour.Result) { r.Pour = v },
		defaults: pour.Defaults, link: linkPour, design: pour.Design, pictures: pour.Picture,
	}.stage(),
	row[cure.Input, cure.Result]{
		name: "cure", question: "When can we saw, strip, walk and drive?", needs: []string{"mix", "slab", "order"},
		section: func(j *job.Job) *cure.Input { return &j.Cure }, keep: func(r *Results, _ cure.Input, v cure.Result) { r.Cure = v },
		defaults: cure.Defaults, link: linkCure, design: cure.Design, pictures: cure.Picture,
	}.stage(),
	row[price.Input, price.Result]{
		name: "price", question: "What does it cost, what do we charge?", needs: []string{"order", "grade", "steel", "forms", "pour"},
		section: func(j *job.Job) *price.Input { return &j.Price }, keep: func(r *Results, in price.Input, v price.Result) { r.Price, r.PriceInput = v, in },
		defaults: price.Defaults, link: linkPrice, design: price.Design, pictures: price.Picture,
	}.stage(),
	row[record.Input, record.Result]{
		name: "record", question: "What did we do, and what is missing from the record?", needs: []string{"slab", "price"},
		section: func(j *job.Job) *record.Input { return &j.Record }, keep: func(r *Results, _ record.Input, v record.Result) { r.Record = v },
		defaults: record.Defaults, link: linkRecord, design: record.Design,
	}.stage(),
	row[hold.Input, hold.Result]{
		name: "hold", question: "Will it hold, worked out on the real panels?", needs: []string{"slab", "joints"}, deep: true,
		section: func(j *job.Job) *hold.Input { return &j.Hold }, keep: func(r *Results, _ hold.Input, v hold.Result) { r.Hold = v },
		defaults: hold.Defaults, link: linkHold, design: hold.Design, stoppable: hold.DesignWithin, pictures: hold.Picture,
	}.stage(),
	row[backing.Input, backing.Result]{
		name: "backing", question: "Can they get in and out?", needs: []string{"site", "grade", "access"}, deep: true,
		section: func(j *job.Job) *backing.Input { return &j.Backing }, keep: func(r *Results, _ backing.Input, v backing.Result) { r.Way = v },
		defaults: backing.Defaults, link: linkBacking, design: backing.Design, stoppable: backing.DesignWithin, pictures: backing.Picture, again: backing.Again,
	}.stage(),
}

// linkSite hands the site how far the dig runs past the edge, as the grades take it, and the day it must be done by: that of the
// pour.
func linkSite(in *site.Input, j *job.Job, _ Results) {
	in.Units = j.Units
	if in.DigMargin.Origin == known.Assumed {
		in.DigMargin = j.Grade.Margin.Or(in.DigMargin)
	}
	if j.Date.Given() {
		known.Feed(&in.DigDate, j.Date.Value, "pour_date")
	}
}

func linkMix(in *mix.Input, j *job.Job, from Results) {
	in.Units = j.Units
	if j.Slab.Thickness.Given() {
		in.Thickness = in.Thickness.Or(j.Slab.Thickness)
	}
	if j.Slab.Vehicle.Given() {
		known.Feed(&in.Vehicles, j.Slab.Vehicle.Value != "nothing", "slab.vehicle")
	}
	if from.Site.Area > 0 {
		known.Feed(&in.Area, from.Site.Area, "site.area")
	}
	*in = in.Filled()
}

func linkSlab(in *slab.Input, j *job.Job, from Results) {
	in.Units = j.Units
	known.Feed(&in.Strength, from.Mix.Strength, "mix.strength")
	in.BaseThickness = sameAs(in.BaseThickness, j.Grade.Base)
	*in = in.Filled()
}

func linkJoints(in *joints.Input, j *job.Job, from Results) {
	in.Units = j.Units
	in.Outline = from.Site.Outline
	in.CornerNames = nil
	for _, c := range from.Site.Corners {
		in.CornerNames = append(in.CornerNames, c.Name)
	}
	in.Things = nil
	for _, t := range from.Site.Things {
		if t.InSlab || t.Touches {
			in.Things = append(in.Things, joints.Thing{Kind: string(t.Kind), Name: t.Name, Centre: t.Centre, Radius: t.Radius, Line: t.Line})
		}
	}
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	in.Hands, in.TruckHolds = in.Hands.Or(j.Pour.Team.Hands), in.TruckHolds.Or(j.Order.Capacity)
	in.Stands = nil
	for _, s := range j.Access.Stands {
		in.Stands = append(in.Stands, geometry.Point{X: s.X.Value.Metres(), Y: s.Y.Value.Metres()})
	}
}

func linkGrade(in *grade.Input, j *job.Job, from Results) {
	in.Units = j.Units
	in.Outline = from.Site.Outline
	in.Corners, in.Against, in.Ground = nil, nil, nil
	for _, c := range from.Site.Corners {
		in.Corners = append(in.Corners, grade.Place{Name: c.Name, At: c.At})
	}
	for _, s := range from.Site.Sides {
		in.Against = append(in.Against, s.Against)
	}
	for _, s := range from.Site.Ground {
		in.Ground = append(in.Ground, grade.Spot{Name: s.Name, At: s.At, Elevation: known.From(s.Elevation, "site."+s.Step)})
	}
	in.Breaks = from.Site.Breaklines
	in.Curves = nil
	for _, b := range from.Site.Bows {
		in.Curves = append(in.Curves, grade.Curve{Side: b.Name, First: b.First, Last: b.Last, Rise: b.Rise})
	}
	in.Margin = j.Grade.Margin.Or(j.Site.DigMargin).Or(in.Margin)
	in.Zones = nil
	for _, t := range from.Site.Things {
		if zone, err := t.HandDig(); err == nil && len(zone) > 0 {
			in.Zones = append(in.Zones, grade.Zone{Name: t.Name, Outlines: zone})
		}
	}
	if from.Site.Height.Given() {
		known.Feed(&in.Height, from.Site.Height.Value, "site.height_of_instrument")
	}
	in.North = j.Site.North.Or(in.North)
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.Base, from.SlabInput.BaseThickness.Value, "slab.base_thickness")
}

func linkForms(in *forms.Input, j *job.Job, from Results) {
	in.Units = j.Units
	in.Outline = from.Joints.Outline
	in.CornerNames, in.Against, in.PourStops = nil, nil, nil
	corners := from.Site.Corners
	for i, side := range from.Site.Sides {
		in.CornerNames = append(in.CornerNames, corners[i].Name)
		if side.Against != "" {
			in.Against = append(in.Against, forms.Against{Name: side.Against, From: corners[i].At, To: corners[(i+1)%len(corners)].At})
		}
	}
	for _, c := range from.Joints.Cuts {
		if c.Kind == "CONSTR" {
			in.PourStops = append(in.PourStops, c.Line)
		}
	}
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
}

func linkSteel(in *steel.Input, j *job.Job, from Results) {
	in.Units = j.Units
	in.Outline, in.Along = from.Joints.Outline, from.Joints.Along
	in.Panels, in.PourStops = nil, nil
	for _, p := range from.Joints.Panels {
		in.Panels = append(in.Panels, p.Outline)
	}
	for _, c := range from.Joints.Cuts {
		if c.Kind == "CONSTR" {
			in.PourStops = append(in.PourStops, c.Line)
		}
	}
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.SawDepth, from.Joints.SawDepth, "joints.saw_depth")
	known.Feed(&in.Strength, from.Mix.Strength, "mix.strength")
	prices := price.Defaults()
	known.Merge(&prices, &j.Price)
	known.Feed(&in.BarPrice, prices.Materials.Steel.Value, "price.materials.steel")
	known.Feed(&in.MeshPrice, prices.Materials.Mesh.Value, "price.materials.mesh")
	known.Feed(&in.FibrePrice, prices.Materials.Fibre.Value, "price.materials.fibre")
}

func linkAccess(in *access.Input, j *job.Job, from Results) {
	in.Units = j.Units
	in.Outline = from.Site.Outline
	in.Against, in.Wires, in.Walls, in.Weak = nil, nil, nil, nil
	for _, s := range from.Site.Sides {
		in.Against = append(in.Against, s.Against)
	}
	for _, t := range from.Site.Things {
		switch t.Kind {
		case site.Overhead:
			in.Wires = append(in.Wires, access.Wire{Name: t.Name, Line: t.Line, Clearance: t.Zone})
		case site.Building, site.Wall, site.Fence, site.Drop:
			if line := t.Line; len(line) > 1 {
				if t.Kind == site.Building {
					line = append(slices.Clone(line), line[0])
				}
				in.Walls = append(in.Walls, access.Wall{Name: t.Name, Line: line})
			}
		case site.Lid, site.Pipe, site.Sewer, site.Culvert, site.Soft:
			line := t.Line
			if len(line) == 0 {
				line = []geometry.Point{t.Centre}
			}
			in.Weak = append(in.Weak, access.Weak{Name: t.Name, Line: line})
		}
	}
	known.Feed(&in.Volume, from.Grade.NetVolume, "grade.net_volume")
}

// placing is how the order stage calls each way of getting concrete to its place.
var placing = map[access.Method]string{access.Chute: "chute", access.Barrow: "barrow", access.Buggy: "buggy", access.Pump: "line pump"}

func linkOrder(in *order.Input, j *job.Job, from Results) {
	in.Units, in.Locale = j.Units, j.Locale
	known.Feed(&in.Net, from.Grade.NetVolume, "grade.net_volume")
	known.Feed(&in.Area, from.Site.Area, "site.area")
	known.Feed(&in.Perimeter, from.Site.Perimeter, "site.perimeter")
	if from.Forms.EdgeMore > 0 {
		known.Feed(&in.Edges, from.Forms.EdgeMore, "forms.edge_concrete")
	}
	if pours := from.Joints.Pours; len(in.Pours) == 0 && len(pours) > 1 {
		for _, p := range pours {
			in.Pours = append(in.Pours, order.Part{Area: known.From(p.Area, "joints.pours")})
		}
	}
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.Strength, from.Mix.Strength, "mix.strength")
	known.Feed(&in.WaterCement, quantity.Ratio(from.Mix.Limit), "mix.water_cement_limit")
	known.Feed(&in.Stone, from.Mix.Stone, "mix.stone")
	known.Feed(&in.Density, from.Mix.Recipe.Density, "mix.density")
	known.Feed(&in.Slump, from.Mix.Slump, "mix.slump")
	air := from.Mix.Air
	if !from.Mix.Entrained {
		air = 0
	}
	known.Feed(&in.Air, air, "mix.air")
	known.Feed(&in.Method, placing[from.Access.Method], "access.method")
	reach := from.Access.Useful
	if from.Access.Method == access.Pump {
		reach = from.Access.Farthest
	}
	if reach > 0 {
		known.Feed(&in.Reach, reach, "access.useful_reach")
	}
	in.OverDrive = in.OverDrive.Or(j.Access.Drive)
	if from.Access.CarryRate > 0 {
		known.Feed(&in.Carried, 1-from.Access.ReachShare, "access.reach_share")
		known.Feed(&in.CarryRate, from.Access.CarryRate, "access.carry_rate")
	}
	if j.Address != "" {
		in.Address = in.Address.Or(known.Say(j.Address))
	}
	if j.Phone != "" {
		in.CallBack = in.CallBack.Or(known.Say(j.Phone))
	}
	in.Day, in.Start = in.Day.Or(j.Date), in.Start.Or(j.Start)
	if warmest, ok := warmest(j); ok {
		known.Feed(&in.AirTemp, warmest, "pour.forecast")
	}
	for _, t := range from.Site.Things {
		if t.Kind == site.Overhead {
			known.Feed(&in.Wires, t.Name, "site.overhead")
		}
	}
}

func linkRecord(in *record.Input, j *job.Job, from Results) {
	in.Units = j.Units
	if len(in.BaseDepths) == 0 {
		in.BaseDepths = j.Order.Depths
	}
	p := &in.Planned
	known.Feed(&p.Neat, from.Order.Neat, "order.neat")
	known.Feed(&p.Ordered, from.Order.Yards, "order.yards")
	known.Feed(&p.Loads, quantity.Number(from.Order.AllLoads()), "order.loads")
	known.Feed(&p.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&p.Digging, from.Grade.Cut > 0, "grade.cut")
	p.Tickets, p.Taps, p.Cylinders = known.Say(quantity.Number(len(j.Order.Tickets))), known.Say(quantity.Number(len(j.Pour.Team.Taps))), known.Say(quantity.Number(len(j.Mix.Lab)))
	if came := order.Received(j.Order.Tickets); came > 0 {
		p.Came = known.Say(came)
	}
	p.Located = known.Say(j.Site.Locate.Ticket != "")
	p.Tasks = nil
	for _, t := range from.Price.Tasks {
		p.Tasks = append(p.Tasks, record.Task{Name: t.Name, Says: t.Says, Hours: t.Hours})
	}
}

// warmest is the warmest air of the forecast in the six hours from the first truck; false where the forecast has no such hour.
func warmest(j *job.Job) (quantity.Temp, bool) {
	at, said := j.PourAt()
	most, ok := quantity.Temp(0), false
	for _, h := range j.Pour.Forecast {
		if after := h.Time.Sub(at); said && after >= 0 && after <= 6*time.Hour && (!ok || h.Air > most) {
			most, ok = h.Air, true
		}
	}
	return most, ok
}

func linkPrice(in *price.Input, j *job.Job, from Results) {
	in.Units, in.Currency = j.Units, j.Currency
	w := &in.Work
	known.Feed(&w.Area, from.Site.Area, "site.area")
	known.Feed(&w.Edge, freeEdge(from), "site.perimeter")
	known.Feed(&w.Concrete, from.Order.Yards, "order.yards")
	known.Feed(&w.Stone, from.Grade.BaseMass, "grade.base_tons")
	known.Feed(&w.Dig, from.Grade.Cut, "grade.cut")
	known.Feed(&w.Haul, quantity.Number(from.Grade.HaulLoads), "grade.haul_loads")
	known.Feed(&w.Steel, from.Steel.Weight, "steel.weight")
	known.Feed(&w.Kind, from.SteelInput.Kind.Value, "steel.kind")
	known.Feed(&w.Chairs, quantity.Number(from.Steel.Chairs), "steel.chairs")
	known.Feed(&w.Boards, from.Forms.BoardLength, "forms.board_length")
	known.Feed(&w.Stakes, quantity.Number(from.Forms.Stakes), "forms.stakes")
	known.Feed(&w.Saw, from.Joints.SawLength, "joints.saw_length")
	isolation := quantity.Length(0)
	for _, strip := range from.Joints.Isolation {
		isolation += strip.Length
	}
	known.Feed(&w.Isolation, isolation, "joints.isolation_length")
	if day := from.Pour.Chosen; day.FinishedBy.After(day.At) {
		known.Feed(&w.PourDay, quantity.Time(day.FinishedBy.Sub(day.At).Seconds()), "pour.finished_by")
	}
	if n := len(from.Order.Pours); n > 1 {
		known.Feed(&w.Days, quantity.Number(n), "joints.pours")
	}
	known.Feed(&w.Pump, from.Access.Method == access.Pump, "access.method")
	if from.Access.Method == access.Barrow {
		known.Feed(&w.BarrowHours, from.Access.BarrowTime, "access.barrow_time")
	}
	if from.Access.Method == access.Buggy {
		known.Feed(&w.Buggies, j.Access.Buggies.Value, "access.buggies")
	}
}
