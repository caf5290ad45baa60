package price

import (
	"math"
	"slices"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// labour works out each task's hours: amount over rate.
func (r *Result) labour(in Input) {
	w, q := in.Work, in.Rates
	task(r, "dig_trim", "trim the dig and spread stone", w.Area, q.Base)
	task(r, "forms", "set forms", w.Edge, q.Forms)
	if w.Kind.Value != "fibre" {
		task(r, "steel", "place and tie steel", w.Steel, q.Steel)
	}
	task(r, "place", "place and strike off", w.Area, q.Place)
	task(r, "float", "float", w.Area, q.Float)
	task(r, "edge", "edge", w.Edge, q.Edge)
	task(r, "broom", "broom", w.Area, q.Broom)
	task(r, "cure", "cure", w.Area, q.Cure)
	task(r, "saw", "saw", w.Saw, q.Saw)
	task(r, "strip", "strip and clean forms", w.Edge, q.Strip)
	crew := working.Given(&r.Working, "crew", "n", "people on the job", q.Layout, quantity.AsCount)
	set := working.Given(&r.Working, "set_up", "t", "moving in, layout, cleaning up", q.Set, quantity.AsHours)
	r.addTask("moving", "move in, lay out, clean up", "n · t", quantity.Time(float64(q.Layout.Value)*float64(q.Set.Value)), []string{crew, set})
	r.waiting(in)
	if w.BarrowHours.Value > 0 {
		barrow := working.Given(&r.Working, "barrow_time", "", "time on wheelbarrows", w.BarrowHours, quantity.AsHours)
		r.addTask("barrow", "wheelbarrows, two people", "2 · time", 2*w.BarrowHours.Value, []string{barrow})
	}
	for _, t := range r.Tasks {
		r.Hours += t.Hours
	}
	names := make([]string, len(r.Tasks))
	for i, t := range r.Tasks {
		names[i] = "hours_" + t.Name
	}
	r.Working.Answer(working.Step{Name: "hours", Says: "hours of work, all people together", Formula: "Σ tasks", Value: quantity.Show(r.Hours, quantity.AsHours), From: names, Source: sources.Arithmetic})
}

// onPourDay are the tasks between the first truck and the last broom.
var onPourDay = []string{"place", "float", "edge", "broom"}

// days is how often concrete comes: once, where nothing says more.
func (w Work) days() known.Number {
	return w.Days.Or(known.From(quantity.Number(1), "access.method"))
}

// waiting adds the hours the crew is on site on the pour day and has nothing in its hands, as far as the job pays them.
func (r *Result) waiting(in Input) {
	if !in.Work.PourDay.Given() {
		return
	}
	there := quantity.Time(float64(in.Rates.Layout.Value) * float64(in.Work.PourDay.Value) * float64(in.Work.days().Value))
	from := []string{"crew", working.Given(&r.Working, "pour_day", "", "from the first truck to the last broom", in.Work.PourDay, quantity.AsHours),
		working.Given(&r.Working, "waiting_paid", "", "share of waiting the job pays", in.Rates.Idle, quantity.AsPercent)}
	formula := "(n · pour day − Σ tasks of that day) · share"
	if in.Work.Days.Given() {
		from = append(from, working.Given(&r.Working, "pour_days", "", "days of pouring", in.Work.Days, quantity.AsCount))
		formula = "(n · pour day · days − Σ tasks of those days) · share"
	}
	for _, t := range r.Tasks {
		if slices.Contains(onPourDay, t.Name) {
			there -= t.Hours
			from = append(from, "hours_"+t.Name)
		}
	}
	if there > 0 {
		r.addTask("waiting", "wait for the concrete to set", formula, there*quantity.Time(in.Rates.Idle.Value), from)
	}
}

// reinforcement is the line of whatever is laid in or mixed in.
func (r *Result) reinforcement(in Input) {
	w, m := in.Work, in.Materials
	switch w.Kind.Value {
	case "mesh":
		line(r, "materials", "mesh", "welded wire", w.Steel, quantity.AsMass, m.Mesh, quantity.AsMoneyMass, &in.Business.Waste)
	case "fibre":
		line(r, "materials", "fibre", "fibre in the mix", w.Steel, quantity.AsMass, m.Fibre, quantity.AsMoneyMass, nil)
	default:
		line(r, "materials", "bars", "bars", w.Steel, quantity.AsMass, m.Steel, quantity.AsMoneyMass, &in.Business.Waste)
	}
}

// task adds the hours of one task: how much there is over how much one person does in an hour.
func task[A, B interface {
	~float64
	quantity.Measured
}](r *Result, name, says string, amount known.Known[A], rate known.Known[B]) {
	if !amount.Given() || amount.Value == 0 {
		return
	}
	a := working.Given(&r.Working, "amount_"+name, "", says+": how much", amount, amountKind(amount))
	q := working.Given(&r.Working, "rate_"+name, "", says+": one person's rate", rate, "")
	r.addTask(name, says, "amount / rate", quantity.Time(float64(amount.Value)/float64(rate.Value)), []string{a, q})
}

func amountKind[A interface {
	~float64
	quantity.Measured
}](k known.Known[A]) quantity.Kind {
	return quantity.UsualKind(k.Value.Dimension())
}

func (r *Result) addTask(name, says, formula string, hours quantity.Time, from []string) {
	r.Tasks = append(r.Tasks, Task{name, says, hours})
	r.Working.Show(working.Step{Name: "hours_" + name, Says: "hours: " + says, Formula: formula, Value: quantity.Show(hours, quantity.AsHours), From: from, Source: sources.CommonPractice})
}

// bill writes the lines of materials, equipment and labour.
func (r *Result) bill(in Input) {
	w, m, e, waste := in.Work, in.Materials, in.Equipment, in.Business.Waste
	line(r, "materials", "concrete", "concrete, delivered", w.Concrete, quantity.AsVolume, m.Concrete, quantity.AsMoneyVolume, nil)
	pieces(r, "materials", "short_load", "short-load fee", w.ShortLoads, m.ShortLoad, nil)
	line(r, "materials", "stone", "stone for the base", w.Stone, quantity.AsTons, m.Stone, quantity.AsMoneyTon, nil)
	r.reinforcement(in)
	pieces(r, "materials", "chairs", "bar supports", w.Chairs, m.Chair, &waste)
	r.boards(in)
	pieces(r, "materials", "stakes", "stakes", w.Stakes, m.Stake, nil)
	line(r, "materials", "isolation", "isolation strip", w.Isolation, quantity.AsDistance, m.Isolation, quantity.AsMoneyLength, &waste)
	line(r, "materials", "curing", "curing compound or sheet", w.Area, quantity.AsArea, m.Cure, quantity.AsMoneyArea, nil)
	line(r, "equipment", "digging", "machine digging", w.Dig, quantity.AsVolume, e.DigMachine, quantity.AsMoneyVolume, nil)
	pieces(r, "equipment", "hauling", "loads hauled and tipped", w.Haul, e.Load, nil)
	pieces(r, "equipment", "compactor", "plate compactor", known.Guess(quantity.Number(1), "one for the job", sources.CommonPractice), e.Compactor, nil)
	line(r, "equipment", "sawing", "saw, blade and water", w.Saw, quantity.AsDistance, e.Saw, quantity.AsMoneyLength, nil)
	if w.Pump.Value {
		pieces(r, "equipment", "pump", "pump with setting up", w.days(), e.Pump, nil)
	}
	if w.Buggies.Value > 0 {
		pieces(r, "equipment", "buggy", "power buggy for a day", w.Buggies, e.Buggy, nil)
	}
	r.wages(in)
}

// boards counts only this job's share of boards that serve several.
func (r *Result) boards(in Input) {
	uses := working.Given(&r.Working, "board_uses", "", "jobs a board is used on", in.Materials.BoardUses, quantity.AsCount)
	per := in.Materials.Board
	per.Value, per.Low, per.High = per.Value/quantity.MoneyLength(in.Materials.BoardUses.Value), per.Low/quantity.MoneyLength(in.Materials.BoardUses.Value), per.High/quantity.MoneyLength(in.Materials.BoardUses.Value)
	before := len(r.Lines)
	line(r, "materials", "boards", "form boards, this job's share", in.Work.Boards, quantity.AsDistance, per, quantity.AsMoneyLength, &in.Business.Waste)
	if len(r.Lines) > before {
		last := &r.Working.Steps[len(r.Working.Steps)-1]
		last.From = append(last.From, uses)
	}
}

// wages is the labour line: hours at wage with burden.
func (r *Result) wages(in Input) {
	wage := working.Given(&r.Working, "wage", "", "wage", in.Labour.Wage, quantity.AsMoneyHour)
	burden := working.Given(&r.Working, "burden", "", "burden on the wage", in.Labour.Burden, quantity.AsPercent)
	hour := func(w quantity.MoneyRate) quantity.MoneyRate {
		return quantity.MoneyRate(float64(w) * (1 + float64(in.Labour.Burden.Value)))
	}
	rate := hour(in.Labour.Wage.Value)
	r.Working.Show(working.Step{Name: "hour_cost", Says: "cost of an hour", Formula: "wage · (1 + burden)", Value: quantity.Show(rate, quantity.AsMoneyHour), From: []string{wage, burden}, Source: sources.Arithmetic})
	total := quantity.Money(float64(rate) * float64(r.Hours))
	l := Line{Name: "labour", Says: "labour", Group: "labour", Amount: quantity.Show(r.Hours, quantity.AsHours), Price: quantity.Show(rate, quantity.AsMoneyHour), Total: cents(total), Low: total, High: total}
	if in.Labour.Wage.Origin == known.Assumed {
		l.Low, l.High = quantity.Money(float64(hour(in.Labour.Wage.Low))*float64(r.Hours)), quantity.Money(float64(hour(in.Labour.Wage.High))*float64(r.Hours))
	}
	r.addLine(l, []string{"hours", "hour_cost"})
}

// line adds amount times unit price, with cutting waste where there is some.
func line[A, P interface {
	~float64
	quantity.Measured
}](r *Result, group, name, says string, amount known.Known[A], kind quantity.Kind, price known.Known[P], priceKind quantity.Kind, waste *known.Percent) {
	if !amount.Given() || amount.Value == 0 {
		return
	}
	a := working.Given(&r.Working, "quantity_"+name, "", says+": quantity", amount, kind)
	p := working.Given(&r.Working, "price_"+name, "", says+": price", price, priceKind)
	l := Line{Name: name, Says: says, Group: group, Amount: amount.Show(kind), Price: price.Show(priceKind)}
	l.extend(float64(amount.Value), float64(price.Value), priceRange(price), waste)
	r.addLine(l, []string{a, p})
}

// pieces adds a count times a price for each.
func pieces(r *Result, group, name, says string, n known.Number, each known.Money, waste *known.Percent) {
	if !n.Given() || n.Value == 0 {
		return
	}
	a := working.Given(&r.Working, "quantity_"+name, "", says+": how many", n, quantity.AsCount)
	p := working.Given(&r.Working, "price_"+name, "", says+": price of one", each, quantity.AsMoney)
	l := Line{Name: name, Says: says, Group: group, Amount: n.Show(quantity.AsCount), Price: each.Show(quantity.AsMoney)}
	l.extend(float64(n.Value), float64(each.Value), priceRange(each), waste)
	r.addLine(l, []string{a, p})
}

// priceRange is the ends of an assumed price; a said one has none.
func priceRange[P interface {
	~float64
	quantity.Measured
}](price known.Known[P]) [2]float64 {
	if price.Origin != known.Assumed {
		return [2]float64{float64(price.Value), float64(price.Value)}
	}
	return [2]float64{float64(price.Low), float64(price.High)}
}

func (l *Line) extend(amount, price float64, ends [2]float64, waste *known.Percent) {
	if waste != nil {
		l.Waste = float64(waste.Value)
	}
	bought := amount * (1 + l.Waste)
	l.Total, l.Low, l.High = cents(quantity.Money(bought*price)), quantity.Money(bought*ends[0]), quantity.Money(bought*ends[1])
}

// cents rounds to the cent, so that lines add up to what is printed.
func cents(v quantity.Money) quantity.Money {
	return quantity.Money(math.Round(float64(v)*100) / 100)
}

func (r *Result) addLine(l Line, from []string) {
	r.Lines = append(r.Lines, l)
	formula := "quantity · price"
	if l.Waste > 0 {
		formula = "quantity · (1 + waste) · price"
	}
	r.Working.Show(working.Step{Name: l.Name, Says: l.Says, Formula: formula, Value: money2(l.Total), From: from, Source: sources.Arithmetic})
}
