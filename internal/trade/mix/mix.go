// Package mix answers: which concrete for this exposure, what will a sack order reach, and what does added water do?
//
// It reads the exposure by a named edition of the code, works out strength, w/cm and air to order with the class that governs each,
// a trial recipe by absolute volume with the weight method beside it, the batch after moisture, what a sack count
// is worth, and how strength grows. It plans and warns; the plant's own record, the local code and a licensed engineer decide.
package mix

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/spoken"
	"slabwright/internal/trade/working"
)

// Input is what the mix depends on.
type Input struct {
	Units quantity.System `yaml:"units"`

	// What the slab will see.
	Code       known.Text  `yaml:"code" says:"edition the exposure is judged by"`
	Freezing   known.Truth `yaml:"freezing" says:"does it freeze there"`
	Deicers    known.Truth `yaml:"deicers" says:"will salt or other deicer reach the slab"`
	Vehicles   known.Truth `yaml:"vehicles" says:"do vehicles stand on it"`
	Structural known.Truth `yaml:"structural" says:"does the slab carry the building"`
	Reinforced known.Truth `yaml:"reinforced" says:"is its steel structural"`
	Sulphate   known.Text  `yaml:"sulphate" says:"sulfate class of the soil, S0 to S3"`
	Weathering known.Text  `yaml:"weathering" says:"weathering zone: negligible, moderate or severe"`

	// What was asked for.
	Asked    known.Known[spoken.Asked] `yaml:"asked" says:"concrete asked for: strength, class or sacks"`
	Strength known.Stress              `yaml:"strength" says:"strength ordered" unit:"psi|MPa" usual:"2000..6000|15..45" show:"strength"`
	Cement   known.Density             `yaml:"cement" says:"cement ordered by the sack" unit:"lb/yd3|kg/m3" usual:"376..846|220..500" show:"content"`
	Slump    known.Known[spoken.Slump] `yaml:"slump" says:"slump at the chute" unit:"in|mm" usual:"1..7|25..180" show:"slump"`
	Stone    known.Known[spoken.Stone] `yaml:"stone" says:"largest stone, by size or size number" unit:"in|mm"`
	Air      known.Percent             `yaml:"air" says:"air ordered" unit:"%|%" usual:"0..8|0..8" show:"percent"`

	// The binder.
	CementType     known.Text    `yaml:"cement_type" says:"cement: I, III, R, N or S"`
	FlyAsh         known.Percent `yaml:"fly_ash" says:"fly ash, share of the binder" unit:"%|%" usual:"0..35|0..35" show:"percent"`
	Slag           known.Percent `yaml:"slag" says:"slag, share of the binder" unit:"%|%" usual:"0..50|0..50" show:"percent"`
	SilicaFume     known.Percent `yaml:"silica_fume" says:"silica fume, share of the binder" unit:"%|%" usual:"0..10|0..10" show:"percent"`
	WaterReduction known.Percent `yaml:"water_reduction" says:"water saved by admixture" unit:"%|%" usual:"0..15|0..15" show:"percent"`
	AddedWater     known.Density `yaml:"added_water" says:"water added at the truck" unit:"gal/yd3|kg/m3" usual:"0..5|0..25" show:"content"`

	// The aggregates.
	Coarse Stones     `yaml:"coarse"`
	Sand   SandInput  `yaml:"sand"`
	Basis  known.Text `yaml:"basis" says:"aggregate masses counted dry or ssd"`

	// The plant: its mix card, and what the laboratory found of its deliveries, oldest first.
	Card Card        `yaml:"card" says:"the plant's mix card"`
	Lab  []LabResult `yaml:"lab" says:"cylinders of this mix, sample by sample, over all jobs"`

	// Its record, as the plant tells it.
	Deviation known.Stress `yaml:"deviation" says:"standard deviation of the plant's record" unit:"psi|MPa" usual:"200..1000|1.5..7" show:"stress"`
	Tests     known.Number `yaml:"tests" says:"tests in the plant's record"`
	Step      known.Stress `yaml:"step" says:"step of the plant's strengths" unit:"psi|MPa" usual:"100..1000|1..5" show:"strength"`

	// The pour, for how often to sample.
	Volume known.Volume `yaml:"volume" says:"concrete of the pour" unit:"yd3|m3" show:"volume"`
	Area   known.Area   `yaml:"area" says:"area of the pour" unit:"ft2|m2" show:"area"`
	Days   known.Number `yaml:"days" says:"days on which it is poured"`

	// The slab, where known.
	Thickness known.Length `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"3..12|75..300" show:"thickness"`
	Clear     known.Length `yaml:"clear_spacing" says:"clear space between bars" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
}

// Stones is the coarse aggregate.
type Stones struct {
	Gravity    known.Ratio   `yaml:"gravity" says:"relative density of the stone"`
	Rodded     known.Density `yaml:"rodded" says:"dry-rodded density of the stone" unit:"lb/ft3|kg/m3" usual:"85..115|1350..1850" show:"density"`
	Absorption known.Percent `yaml:"absorption" says:"absorption of the stone" unit:"%|%" show:"percent"`
	Moisture   known.Percent `yaml:"moisture" says:"moisture of the stone" unit:"%|%" show:"percent"`
	Rounded    known.Truth   `yaml:"rounded" says:"is it rounded gravel"`
}

// SandInput is the fine aggregate.
type SandInput struct {
	Gravity    known.Ratio   `yaml:"gravity" says:"relative density of the sand"`
	Fineness   known.Ratio   `yaml:"fineness" says:"fineness modulus of the sand"`
	Absorption known.Percent `yaml:"absorption" says:"absorption of the sand" unit:"%|%" show:"percent"`
	Moisture   known.Percent `yaml:"moisture" says:"moisture of the sand" unit:"%|%" show:"percent"`
}

// Result is the concrete to ask for and what is known about it.
type Result struct {
	OrderLine    string           `json:"order_line"` // what to ask the plant, in one line
	Class        string           `json:"class"`
	Strength     quantity.Stress  `json:"strength"`         // f'c to order
	Needed       quantity.Stress  `json:"needed"`           // f'c the exposure asks
	Average      quantity.Stress  `json:"average"`          // f'cr the plant must aim at
	Proven       quantity.Stress  `json:"proven,omitempty"` // average of the samples typed of this mix; zero: too few for a record
	WaterCement  float64          `json:"water_cement"`     // of the trial recipe
	Limit        float64          `json:"limit"`            // most allowed by the exposure; zero: none
	Air          quantity.Percent `json:"air"`              // target, or what stays trapped
	Entrained    bool             `json:"entrained"`        // air ordered
	Slump        quantity.Length  `json:"slump"`            //
	Stone        quantity.Length  `json:"stone"`            // nominal, the table's column
	Recipe       Recipe           `json:"recipe"`           // aggregates saturated and surface-dry
	WeightSand   quantity.Density `json:"weight_sand"`      // by the weight method; zero: not in its table
	Batch        Batch            `json:"batch"`            // after moisture
	Sacks        *SackReading     `json:"sacks"`            // nil: nobody asked in sacks
	Added        AddedWater       `json:"added"`            // what the added water does
	BleedShare   float64          `json:"bleed_share"`      // bleed water over mixing water
	Ages         []AgeStrength    `json:"ages"`             // how the strength grows
	TableAnswers bool             `json:"table_answers"`    // the published table reaches the average
	Changes      []Change         `json:"changes"`          // what a load other than ordered does
	Card         *CardReading     `json:"card"`             // nil: no card typed
	Evidence     *Evidence        `json:"evidence"`         // what tested mixes like it reached
	Lab          *LabVerdict      `json:"lab"`              // nil: no results typed
	Samples      int              `json:"samples"`          // strength tests to order; zero: the pour is not known
	working.Answer
}

// AgeStrength is the strength to plan with at an age: the lowest and highest of the published curves, of f'c.
type AgeStrength struct {
	Age  quantity.Time   `json:"age"`
	Low  quantity.Stress `json:"low"`
	High quantity.Stress `json:"high"`
}

// Design works out the concrete to order. It refuses input with faults, and recipes that leave no room for sand.
func Design(in Input) (Result, error) {
	in = in.heard().Filled()
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	d := design{in: in, tables: TablesOf(in.Units)}
	for _, step := range []func() error{d.exposure, d.strength, d.air, d.water, d.ratio, d.recipe, d.moisture, d.sacks, d.added, d.ages,
		d.changes, d.card, d.evidence, d.lab, d.samples} {
		if err := step(); err != nil {
			return Result{}, err
		}
	}
	d.bleed()
	d.orderLine()
	d.judge()
	return d.r, nil
}

// heard spreads a wish in the trade's words over the fields it speaks of: "5 1/2 sack" is cement, "4000" is strength.
func (in Input) heard() Input {
	a := in.Asked
	if a.Given() && a.Value.Strength > 0 {
		in.Strength = known.Stress{Value: a.Value.Strength, Origin: a.Origin, Text: a.Text, Reason: a.Reason, Source: a.Source, Notes: a.Notes}
	}
	if a.Given() && a.Value.Cement > 0 {
		in.Cement = known.Density{Value: a.Value.Cement, Origin: a.Origin, Text: a.Text, Reason: a.Reason, Source: a.Source, Notes: a.Notes}
	}
	return in
}

// Filled puts guesses in the sizes of the job's units where nobody said them: plants that count in millimetres offer a slump of 100 mm
// and stone of 20 mm, not what 4 in and 3/4 in come to.
func (in Input) Filled() Input {
	if in.Units != quantity.Metric {
		return in
	}
	if in.Slump.Origin == known.Assumed {
		mm := func(v float64) spoken.Slump { return spoken.Slump(quantity.Millimetres(v)) }
		in.Slump = known.Assume(mm(100), mm(75), mm(125), "usual slump for flatwork is 75 to 125 mm", in.Slump.Source)
	}
	if in.Stone.Origin == known.Assumed {
		in.Stone = known.Guess(spoken.Stone{Size: quantity.Millimetres(20), Name: "20 mm"}, in.Stone.Reason, in.Stone.Source)
	}
	return in
}

// design is one run: the input, the tables of the job's units, the requirement, and the result as it grows.
type design struct {
	in     Input
	tables Tables
	need   Requirement
	p      Proportions
	r      Result
}
