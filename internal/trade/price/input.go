package price

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Input is what is built, in quantities of the other stages, and what the shop pays and charges.
type Input struct {
	Units    quantity.System `yaml:"units" says:"us or metric"`
	Currency string          `yaml:"currency" says:"sign before money"`

	Work      Work      `yaml:"work" says:"quantities; they come from the other stages"`
	Materials Materials `yaml:"materials" says:"what the shop pays for materials"`
	Equipment Equipment `yaml:"equipment" says:"what the shop pays for machines and fees"`
	Rates     Rates     `yaml:"rates" says:"what one person gets done in an hour"`
	Labour    Labour    `yaml:"labour" says:"wage and burden"`
	Business  Business  `yaml:"business" says:"overhead, profit, waste"`

	Old []string `yaml:"-"` // prices of the shop's list that are old, in words
}

// Work is the amounts of the job.
type Work struct {
	Area        known.Area   `yaml:"area" says:"slab" unit:"ft2|m2"`
	Edge        known.Length `yaml:"edge" says:"edge to form" unit:"ft|m" show:"distance"`
	Concrete    known.Volume `yaml:"concrete" says:"concrete ordered" unit:"yd3|m3"`
	Stone       known.Mass   `yaml:"stone" says:"stone for the base" unit:"ton|t" show:"tons"`
	Dig         known.Volume `yaml:"dig" says:"ground to dig, as it lies" unit:"yd3|m3"`
	Haul        known.Number `yaml:"haul_loads" says:"truckloads hauled away"`
	Kind        known.Text   `yaml:"reinforcement" says:"bars, mesh, fibre or none"`
	Steel       known.Mass   `yaml:"steel" says:"bars, mesh or fibre" unit:"lb|kg"`
	Chairs      known.Number `yaml:"chairs" says:"bar supports"`
	Boards      known.Length `yaml:"boards" says:"form boards bought" unit:"ft|m" show:"distance"`
	Stakes      known.Number `yaml:"stakes" says:"stakes"`
	Isolation   known.Length `yaml:"isolation" says:"isolation strip" unit:"ft|m" show:"distance"`
	Saw         known.Length `yaml:"saw" says:"saw cuts" unit:"ft|m" show:"distance"`
	ShortLoads  known.Number `yaml:"short_loads" says:"loads below the plant's minimum"`
	Pump        known.Truth  `yaml:"pump" says:"is a pump needed"`
	BarrowHours known.Time   `yaml:"barrow_time" says:"time on wheelbarrows" unit:"h"`
	Buggies     known.Number `yaml:"buggies" says:"power buggies"`
	PourDay     known.Time   `yaml:"pour_day" says:"from the first truck to the last broom" unit:"h"`
	Days        known.Number `yaml:"pour_days" says:"days of pouring; one if left out"`
}

// Materials are unit prices of what stays in the job.
type Materials struct {
	Concrete  known.MoneyVolume `yaml:"concrete" says:"concrete" unit:"$/yd3|$/m3"`
	Stronger  known.MoneyVolume `yaml:"stronger" says:"more for the next strength the plant sells, 500 psi or 3.5 MPa up" unit:"$/yd3|$/m3"`
	ShortLoad known.Money       `yaml:"short_load" says:"fee for a short load" unit:"$"`
	Stone     known.MoneyMass   `yaml:"stone" says:"stone, delivered" unit:"$/ton|$/t"`
	Steel     known.MoneyMass   `yaml:"steel" says:"bars" unit:"$/lb|$/kg" show:"money per mass"`
	Mesh      known.MoneyMass   `yaml:"mesh" says:"welded wire" unit:"$/lb|$/kg" show:"money per mass"`
	Fibre     known.MoneyMass   `yaml:"fibre" says:"macro fibre" unit:"$/lb|$/kg" show:"money per mass"`
	Chair     known.Money       `yaml:"chair" says:"one bar support" unit:"$"`
	Board     known.MoneyLength `yaml:"board" says:"form board" unit:"$/ft|$/m"`
	BoardUses known.Number      `yaml:"board_uses" says:"jobs a board is used on"`
	Stake     known.Money       `yaml:"stake" says:"one stake" unit:"$"`
	Isolation known.MoneyLength `yaml:"isolation" says:"isolation strip" unit:"$/ft|$/m"`
	Cure      known.MoneyArea   `yaml:"cure" says:"curing compound or sheet" unit:"$/ft2|$/m2"`
}

// Equipment is what is hired or paid by the piece.
type Equipment struct {
	DigMachine known.MoneyVolume `yaml:"dig" says:"machine digging" unit:"$/yd3|$/m3"`
	Load       known.Money       `yaml:"haul_load" says:"one load hauled and tipped" unit:"$"`
	Compactor  known.Money       `yaml:"compactor" says:"plate compactor for the job" unit:"$"`
	Saw        known.MoneyLength `yaml:"saw" says:"saw, blade and water" unit:"$/ft|$/m"`
	Pump       known.Money       `yaml:"pump" says:"pump with setting up" unit:"$"`
	Buggy      known.Money       `yaml:"buggy" says:"power buggy for a day" unit:"$"`
}

// Rates are production rates of one person.
type Rates struct {
	Forms  known.LengthRate `yaml:"forms" says:"setting forms" unit:"ft/h|m/h"`
	Strip  known.LengthRate `yaml:"strip" says:"stripping and cleaning forms" unit:"ft/h|m/h"`
	Base   known.AreaRate   `yaml:"base" says:"spreading and packing stone" unit:"ft2/h|m2/h"`
	Steel  known.MassRate   `yaml:"steel" says:"placing and tying bars" unit:"lb/h|kg/h"`
	Place  known.AreaRate   `yaml:"place" says:"placing and striking off from the chute" unit:"ft2/h|m2/h"`
	Float  known.AreaRate   `yaml:"float" says:"bull float and hand float" unit:"ft2/h|m2/h"`
	Edge   known.LengthRate `yaml:"edge" says:"edging" unit:"ft/h|m/h"`
	Broom  known.AreaRate   `yaml:"broom" says:"brooming" unit:"ft2/h|m2/h"`
	Cure   known.AreaRate   `yaml:"cure" says:"curing" unit:"ft2/h|m2/h"`
	Saw    known.LengthRate `yaml:"saw" says:"sawing" unit:"ft/h|m/h"`
	Set    known.Time       `yaml:"set_up" says:"moving in, layout, cleaning up, for the whole crew" unit:"h"`
	Layout known.Number     `yaml:"crew" says:"people on the job"`
	Idle   known.Percent    `yaml:"waiting" says:"share of the crew's waiting on the pour day that the job pays" unit:"%" usual:"0..100" show:"percent"`
}

// Labour is what an hour of a person costs.
type Labour struct {
	Wage   known.MoneyRate `yaml:"wage" says:"wage" unit:"$/h"`
	Burden known.Percent   `yaml:"burden" says:"taxes and insurance on the wage" unit:"%" show:"percent"`
}

// Business is what turns direct cost into a price.
type Business struct {
	Waste       known.Percent `yaml:"waste" says:"waste of steel, boards and strip" unit:"%" show:"percent"`
	Contingency known.Percent `yaml:"contingency" says:"contingency on direct cost" unit:"%" show:"percent"`
	Overhead    known.Percent `yaml:"overhead" says:"overhead on direct cost" unit:"%" show:"percent"`
	Margin      known.Percent `yaml:"margin" says:"profit as a share of the price" unit:"%" show:"percent"`
	Round       known.Money   `yaml:"round_up_to" says:"the price is rounded up to this" unit:"$"`
	Tax         known.Percent `yaml:"tax" says:"sales tax on the price, where the law puts it on the owner's bill" unit:"%" usual:"0..25" show:"percent"`
	Deposit     known.Percent `yaml:"deposit" says:"share paid before the start" unit:"%" show:"percent"`
	Payments    []Payment     `yaml:"payments" says:"what is paid when, in shares that make the whole; deposit and rest if left out"`
	Covered     known.Percent `yaml:"covered" measure:"no" says:"share of jobs whose cost the price should cover" unit:"%" usual:"50..95" show:"percent"`
	Day         known.Money   `yaml:"day" says:"what a day later costs the shop" unit:"$"`
	Holds       known.Time    `yaml:"holds" says:"how long the price holds" unit:"d" show:"days"`
}

// Payment is a share of the bill with its time.
type Payment struct {
	When  known.Text    `yaml:"when" says:"when it is due, like: forms and base looked at"`
	Share known.Percent `yaml:"share" says:"share of the bill" unit:"%" show:"percent"`
}

// money makes an invented starting price, plausible from two thirds to three halves of itself.
func money[T interface {
	~float64
	quantity.Measured
}](value float64, unit string) known.Known[T] {
	v := quantity.Of[T](value, unit)
	return known.Assume(v, T(0.8*float64(v)), T(1.25*float64(v)), "invented starting price; type the shop's own", sources.PlaceholderFee)
}

// rate makes a production rate with the trade's low and high.
func rate[T interface {
	~float64
	quantity.Measured
}](value, low, high float64, unit string) known.Known[T] {
	return known.Assume(quantity.Of[T](value, unit), quantity.Of[T](low, unit), quantity.Of[T](high, unit), "usual rate of one person", sources.CommonPractice)
}

func share(value, low, high float64, reason string) known.Percent {
	return known.Assume(quantity.Percent(value), quantity.Percent(low), quantity.Percent(high), reason, sources.CommonPractice)
}

// Defaults are the starting guesses: prices invented, rates and shares as the trade's habit.
func Defaults() Input {
	return Input{
		Currency: "$",
		Work: Work{
			ShortLoads: known.Guess(quantity.Number(0), "no load under the plant's minimum", sources.OwnRule),
			Pump:       known.Guess(false, "chute or barrows", sources.OwnRule),
			Buggies:    known.Guess(quantity.Number(0), "chute or barrows", sources.OwnRule),
			Kind:       known.Guess("bars", "usual in a slab that is driven on", sources.OwnRule),
		},
		Materials: Materials{
			Concrete: money[quantity.MoneyVolume](165, "$/yd3"), Stronger: money[quantity.MoneyVolume](6, "$/yd3"), ShortLoad: money[quantity.Money](150, "$"), Stone: money[quantity.MoneyMass](38, "$/ton"),
			Steel: money[quantity.MoneyMass](0.95, "$/lb"), Mesh: money[quantity.MoneyMass](1.10, "$/lb"), Fibre: money[quantity.MoneyMass](7.50, "$/lb"), Chair: money[quantity.Money](0.60, "$"), Board: money[quantity.MoneyLength](1.40, "$/ft"),
			BoardUses: known.Assume(quantity.Number(4), 1, 8, "a clean board serves several jobs", sources.CommonPractice),
			Stake:     money[quantity.Money](1.25, "$"), Isolation: money[quantity.MoneyLength](0.75, "$/ft"), Cure: money[quantity.MoneyArea](0.12, "$/ft2"),
		},
		Equipment: Equipment{DigMachine: money[quantity.MoneyVolume](18, "$/yd3"), Load: money[quantity.Money](180, "$"), Compactor: money[quantity.Money](95, "$"),
			Saw: money[quantity.MoneyLength](0.90, "$/ft"), Pump: money[quantity.Money](900, "$"), Buggy: money[quantity.Money](190, "$")},
		Rates: Rates{
			Forms: rate[quantity.LengthRate](18, 10, 30, "ft/h"), Strip: rate[quantity.LengthRate](60, 40, 100, "ft/h"), Base: rate[quantity.AreaRate](100, 60, 160, "ft2/h"),
			Steel: rate[quantity.MassRate](80, 50, 130, "lb/h"), Place: rate[quantity.AreaRate](220, 120, 350, "ft2/h"), Float: rate[quantity.AreaRate](150, 90, 250, "ft2/h"),
			Edge: rate[quantity.LengthRate](90, 60, 140, "ft/h"), Broom: rate[quantity.AreaRate](500, 300, 900, "ft2/h"), Cure: rate[quantity.AreaRate](800, 350, 1200, "ft2/h"),
			Saw: rate[quantity.LengthRate](150, 80, 300, "ft/h"), Set: rate[quantity.Time](3, 2, 5, "h"), Layout: known.Assume(quantity.Number(4), 3, 5, "crew for a pad this size", sources.CommonPractice),
			Idle: share(0.5, 0, 1, "half of them strip or load elsewhere while it sets"),
		},
		Labour: Labour{Wage: money[quantity.MoneyRate](32, "$/h"), Burden: share(0.35, 0.30, 0.45, "payroll taxes and insurance")},
		Business: Business{
			Waste: share(0.07, 0.05, 0.10, "cutting waste"), Contingency: share(0.04, 0.03, 0.05, "small work"), Overhead: share(0.15, 0.10, 0.20, "truck, phone, insurance, office"),
			Margin: share(0.10, 0.08, 0.12, "profit of a small shop"), Round: known.Guess(quantity.Money(5), "a price people remember", sources.CommonPractice),
			Covered: share(0.80, 0.5, 0.95, "four jobs in five, usual for small work"), Day: known.Assume[quantity.Money](40, 0, 150, "invented starting value: a trip back, a machine kept", sources.PlaceholderFee),
			Tax:     known.Guess[quantity.Percent](0, "tax on what the shop buys is inside its prices; ask an accountant whether the owner's bill bears more", sources.CommonPractice),
			Deposit: share(0.10, 0, 0.33, "some states cap it"), Holds: known.Guess(quantity.Days(30), "a month", sources.CommonPractice),
		},
	}
}
