package mix

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// LabResult is one sample's cylinders as the laboratory reports them.
type LabResult struct {
	Name      known.Text                 `yaml:"name" says:"sample or ticket"`
	Job       known.Text                 `yaml:"job" says:"job it was poured on"`
	Day       known.Known[quantity.Date] `yaml:"day" says:"day of casting"`
	Age       known.Time                 `yaml:"age" says:"age at test" unit:"d|d" usual:"1..56|1..56" show:"days"`
	Cylinders []known.Stress             `yaml:"cylinders" says:"strength of each cylinder" unit:"psi|MPa" usual:"500..9000|3..65" show:"strength"`
	Across    known.Length               `yaml:"across" says:"diameter of the cylinders, 6 or 4 in" unit:"in|mm" usual:"4..6|100..150" show:"thickness"`
	Cured     known.Temp                 `yaml:"cured" says:"mean temperature it was cured at, when not the standard one" unit:"°F|°C" show:"temperature"`
}

// LabTest is a sample judged.
type LabTest struct {
	Name      string          `json:"name"`
	Job       string          `json:"job"`
	Day       quantity.Date   `json:"day"`
	Average   quantity.Stress `json:"average"`
	Range     quantity.Stress `json:"range"`
	Cylinders int             `json:"cylinders"`
	Age       quantity.Time   `json:"age"`
	Counts    bool            `json:"counts"`   // a strength test of the age that acceptance is judged at
	Forecast  quantity.Stress `json:"forecast"` // at that age, of an earlier break; zero: not an early break
}

// LabVerdict is a run of samples judged.
type LabVerdict struct {
	Tests     []LabTest       `json:"tests"`
	Strengths []float64       `json:"strengths"` // of those that count, Pa, in order
	Accepted  Acceptance      `json:"accepted"`
	Mean      quantity.Stress `json:"mean"`
	Deviation quantity.Stress `json:"deviation"` // of the tests that count; zero: fewer than two
	Within    float64         `json:"within"`    // scatter between cylinders over the mean; zero: not known
	Checks    []check.Check   `json:"checks"`
}

// acceptanceAge is the age that acceptance is judged at unless another was stated, with the tolerance of a 28-day test.
// Source: ASTM C39 (recalled): 28 days ±20 h.
const (
	acceptanceAge    quantity.Time = 28 * 86400
	acceptanceWithin quantity.Time = 20 * 3600
)

// leastReached is the share of the strength at 28 days below which a break foretells nothing: the published curves begin at a
// day, where the slowest of them has a fifth. Common practice: the first cylinders are broken at a day or later.
const leastReached = 0.05

// cylindersNeeded is how many cylinders make a strength test: two of 6 in, three of 4 in. Source: ACI 318-19, 26.12.1.1.
func cylindersNeeded(across known.Length) int {
	if across.Given() && across.Value < quantity.Inches(5) {
		return 3
	}
	return 2
}

// ForecastStrength is the strength at 28 days that an early break points to: the break over the share the curve of the cement has
// reached at its age, counted as the maturity of its curing temperature when that was not the standard one:
//
//	f28 = f(t) · share(28)/share(te)        te = t exp[Ea/R (1/Tr - 1/T)]
//
// Source: ACI 209R-92, EN 1992-1-1, 3.1.2; ASTM C1074 (recalled). Checked: CON-LAB rows.
func ForecastStrength(cement string, f quantity.Stress, age quantity.Time, cured known.Temp) (quantity.Stress, error) {
	te := float64(age)
	if cured.Given() {
		te = hydration.EquivalentAge([]float64{float64(cured.Value)}, te, hydration.StrengthEnergy, hydration.StrengthRef)
	}
	reached, err := StrengthShare(cement, quantity.Time(te))
	if err != nil {
		return 0, err
	}
	if reached < leastReached {
		return 0, fmt.Errorf("a break after %.3g days says nothing of 28 days: the strength has hardly begun; break one at a day or later", te/float64(quantity.Days(1)))
	}
	full, err := StrengthShare(cement, acceptanceAge)
	return f * quantity.Stress(full/reached), err
}

// JudgeLab judges samples in the order they were cast. Only strength tests of 28 days count for acceptance; earlier breaks are
// turned into a forecast and never judged. Source: ACI 318-19, 26.12; ACI 214R-11.
func (t Tables) JudgeLab(u quantity.System, results []LabResult, specified quantity.Stress, cement string) (LabVerdict, error) {
	v := LabVerdict{Tests: []LabTest{}}
	var ranges []float64
	size := 0
	for i, r := range results {
		test, err := judgeSample(i, r, cement)
		if err != nil {
			return v, err
		}
		v.Tests = append(v.Tests, test)
		if test.Counts {
			v.Strengths = append(v.Strengths, float64(test.Average))
		}
		if size == 0 {
			size = test.Cylinders
		}
		if test.Cylinders == size {
			ranges = append(ranges, float64(test.Range))
		}
	}
	v.Accepted = t.Accept(v.Strengths, specified)
	v.Mean, v.Deviation = meanAndDeviation(v.Strengths)
	if v.Mean > 0 && len(ranges) > 0 {
		_, v.Within, _ = WithinTest(ranges, size, v.Mean) // of one or more than three cylinders there is no constant: nothing is said
	}
	v.Checks = t.labChecks(u, v, specified)
	return v, nil
}

// provenBy is how many tests of a mix make a record. Source: ACI 318, as the factor k that begins there.
const provenBy = 15

// recordOf is what the samples of a mix that count show: mean, deviation, how many.
func recordOf(results []LabResult) (mean, deviation quantity.Stress, tests int) {
	var strengths []float64
	for i, r := range results {
		if test, err := judgeSample(i, r, ""); err == nil && test.Counts {
			strengths = append(strengths, float64(test.Average))
		}
	}
	mean, deviation = meanAndDeviation(strengths)
	return mean, deviation, len(strengths)
}

func judgeSample(i int, r LabResult, cement string) (LabTest, error) {
	test := LabTest{Name: r.Name.Value, Job: r.Job.Value, Day: r.Day.Value, Cylinders: len(r.Cylinders), Age: acceptanceAge}
	if test.Name == "" {
		test.Name = fmt.Sprintf("sample %d", i+1)
	}
	if r.Age.Given() {
		test.Age = r.Age.Value
	}
	if len(r.Cylinders) == 0 {
		return test, fmt.Errorf("mix: %s has no cylinders", test.Name)
	}
	low, high := r.Cylinders[0].Value, r.Cylinders[0].Value
	for _, c := range r.Cylinders {
		test.Average += c.Value / quantity.Stress(len(r.Cylinders))
		low, high = min(low, c.Value), max(high, c.Value)
	}
	test.Range = high - low
	ofAge := math.Abs(float64(test.Age-acceptanceAge)) <= float64(acceptanceWithin)
	test.Counts = ofAge && len(r.Cylinders) >= cylindersNeeded(r.Across)
	if test.Age < acceptanceAge-acceptanceWithin {
		var err error
		if test.Forecast, err = ForecastStrength(cement, test.Average, test.Age, r.Cured); err != nil {
			return test, fmt.Errorf("mix: %s: %w", test.Name, err)
		}
	}
	return test, nil
}

func meanAndDeviation(values []float64) (mean, deviation quantity.Stress) {
	if len(values) == 0 {
		return 0, 0
	}
	n, sum, square := float64(len(values)), 0.0, 0.0
	for _, v := range values {
		sum += v / n
	}
	for _, v := range values {
		square += (v - sum) * (v - sum)
	}
	if n > 1 {
		deviation = quantity.Stress(math.Sqrt(square / (n - 1)))
	}
	return quantity.Stress(sum), deviation
}

// labChecks says what the tests prove, with the clause each verdict rests on.
func (t Tables) labChecks(u quantity.System, v LabVerdict, specified quantity.Stress) []check.Check {
	show := func(s quantity.Stress) string { return quantity.Show(s, quantity.AsStrength).String(u) }
	out := []check.Check{t.singles(v, specified, show), threes(v, specified, show)}
	for _, test := range v.Tests {
		if test.Forecast > 0 && test.Forecast < specified {
			out = append(out, check.Check{ID: "mix.lab-early", Level: check.Care, Where: test.Name, Source: sources.ACI209Age, Value: quantity.Show(test.Forecast, quantity.AsStrength), Limit: quantity.Show(specified, quantity.AsStrength),
				Says: fmt.Sprintf("%s broke at %s after %.3g days: it heads for about %s, below %s.", test.Name, show(test.Average), test.Age.Days(), show(test.Forecast), show(specified)),
				Then: []string{"Keep its sister cylinders for 28 and 56 days; check how they were cured."}})
		}
	}
	if v.Within > 0 {
		out = append(out, check.AtMost("mix.lab-within", quantity.Plain(v.Within, quantity.AsPercent), quantity.Plain(0.06, quantity.AsPercent), check.Care,
			fmt.Sprintf("Cylinders of one sample scatter %.1f %%.", 100*v.Within), fmt.Sprintf("Cylinders of one sample scatter %.1f %%: that is poor testing, above 6 %%.", 100*v.Within),
			sources.ACI214Control, "Have sampling, capping and curing looked at before the concrete."))
	}
	if v.Deviation > 0 && len(v.Strengths) >= fewestForGrade {
		out = append(out, check.Check{ID: "mix.lab-control", Level: check.Good, Source: sources.ACI214Control, Value: quantity.Show(v.Deviation, quantity.AsStress),
			Says: fmt.Sprintf("The plant's tests scatter %s around %s: control is %s.", quantity.Show(v.Deviation, quantity.AsStress).String(u), show(v.Mean), ControlGrade(v.Deviation))})
	}
	return out
}

// fewestForGrade is how many tests a standard of control is named from. Source: the shortest record of ACI 318.
const fewestForGrade = 15

// singles is the rule on single tests.
func (t Tables) singles(v LabVerdict, specified quantity.Stress, show func(quantity.Stress) string) check.Check {
	c := check.Check{ID: "mix.lab-singles", Level: check.NotComputed, Source: sources.ACI318Accept, Says: "No 28-day strength test yet: nothing can be judged."}
	if len(v.Strengths) == 0 {
		return c
	}
	lowest := slices.Min(v.Strengths)
	floor := t.singleFloor(specified)
	c = check.AtLeast(c.ID, quantity.Plain(lowest, quantity.AsStrength), quantity.Show(floor, quantity.AsStrength), check.Stop,
		fmt.Sprintf("The lowest test of %d is %s, at least %s (ACI 318-19, 26.12.3.1(b)).", len(v.Strengths), show(quantity.Stress(lowest)), show(floor)),
		fmt.Sprintf("A test of %s is below %s (ACI 318-19, 26.12.3.1(b)).", show(quantity.Stress(lowest)), show(floor)), sources.ACI318Accept,
		"Check sampling and curing of that sample first.", "Look at its early breaks; compare with a rebound hammer.",
		"If doubt stays: three cores, average at least 0.85 f'c, none below 0.75 f'c.")
	return c
}

// singleFloor is the lowest a single test may be.
func (t Tables) singleFloor(specified quantity.Stress) quantity.Stress {
	r := t.overdesign()
	if specified > r.strong {
		return 0.90 * specified
	}
	return specified - r.single
}

// threes is the rule on averages of three in a row.
func threes(v LabVerdict, specified quantity.Stress, show func(quantity.Stress) string) check.Check {
	c := check.Check{ID: "mix.lab-threes", Level: check.NotComputed, Source: sources.ACI318Accept,
		Says: fmt.Sprintf("Averages of three are not yet decided: needs three consecutive tests, has %d.", len(v.Strengths))}
	if !v.Accepted.ThreesDecided {
		return c
	}
	lowest := slices.Min(v.Accepted.Averages)
	return check.AtLeast(c.ID, quantity.Plain(lowest, quantity.AsStrength), quantity.Plain(float64(specified)*(1-1e-12), quantity.AsStrength), check.Stop,
		fmt.Sprintf("Every average of three is at least %s (ACI 318-19, 26.12.3.1(a)).", show(specified)),
		fmt.Sprintf("An average of three in a row is %s, below %s (ACI 318-19, 26.12.3.1(a)).", show(quantity.Stress(lowest)), show(specified)), sources.ACI318Accept,
		"Raise the average: more binder or less water, agreed with the plant.")
}

// validateLab finds what cannot be in laboratory results.
func validateLab(v *bounds.List, results []LabResult) {
	for i, r := range results {
		field := fmt.Sprintf("lab[%d].", i+1)
		if len(r.Cylinders) == 0 {
			v.Add(field+"cylinders", "", "has no strengths.", "Type the strength of each cylinder.")
		}
		for k, c := range r.Cylinders {
			bounds.Needed(v, fmt.Sprintf("%scylinders[%d]", field, k+1), c, quantity.PSI(50), quantity.PSI(25000), quantity.AsStrength)
		}
		bounds.Between(v, field+"age", r.Age, quantity.Days(0.25), quantity.Days(400), quantity.AsDays)
		bounds.Between(v, field+"across", r.Across, quantity.Inches(2), quantity.Inches(9), quantity.AsThickness)
		bounds.Between(v, field+"cured", r.Cured, -5, 70, quantity.AsTemp)
	}
}

// lab judges the laboratory's results against the strength to order.
func (d *design) lab() error {
	if len(d.in.Lab) == 0 {
		return nil
	}
	v, err := d.tables.JudgeLab(d.in.Units, d.in.Lab, d.r.Strength, d.in.CementType.Value)
	if err != nil {
		return err
	}
	d.r.Lab = &v
	d.r.Check(v.Checks...)
	for i, test := range v.Tests {
		if test.Forecast > 0 {
			d.r.Working.Answer(working.Step{Name: fmt.Sprintf("lab_forecast_%d", i+1), Says: fmt.Sprintf("%s, %s at %.3g days, heads for at 28 days", test.Name, d.strengthSays(test.Average), test.Age.Days()), Symbol: "f28",
				Formula: "f(t) · share(28)/share(te), te = t exp[Ea/R (1/Tr - 1/T)]", Value: quantity.Show(test.Forecast, quantity.AsStrength), Source: sources.ACI209Age,
				From: []string{"cement_type"}})
		}
	}
	if v.Mean > 0 {
		d.r.Working.Answer(working.Step{Name: "lab_mean", Says: fmt.Sprintf("mean of %d strength tests", len(v.Strengths)), Value: quantity.Show(v.Mean, quantity.AsStrength), From: []string{"strength"}, Source: sources.Arithmetic})
	}
	if v.Deviation > 0 {
		d.r.Working.Show(working.Step{Name: "lab_deviation", Says: "standard deviation of those tests", Symbol: "s", Formula: "√(Σ (x - x̄)²/(n - 1))", Value: quantity.Show(v.Deviation, quantity.AsStress), From: []string{"lab_mean"}, Source: sources.Arithmetic})
	}
	if len(v.Strengths) >= fewestForGrade {
		average, err := d.tables.RequiredAverage(d.r.Strength, v.Deviation, len(v.Strengths))
		if err != nil {
			return fmt.Errorf("mix: %w", err)
		}
		d.r.Working.Answer(working.Step{Name: "lab_average_needed", Says: "average these tests ask for", Symbol: "f'cr", Formula: "max(f'c + 1.34 k s, f'c + 2.33 k s - 500 psi)", Value: quantity.Show(average, quantity.AsStrength), From: []string{"strength", "lab_deviation"}, Source: sources.ACI318Average})
	}
	return nil
}

// samples is how many strength tests to order for the pour.
func (d *design) samples() error {
	in, w := d.in, &d.r.Working
	volume, days := in.Volume.Value, 1
	var from []string
	switch {
	case in.Volume.Given():
		from = append(from, working.Given(w, "pour_volume", "", "concrete of the pour", in.Volume, quantity.AsVolume))
	case in.Area.Given() && in.Thickness.Given():
		volume = quantity.Volume(float64(in.Area.Value) * float64(in.Thickness.Value))
		from = append(from, working.Given(w, "slab_thickness", "", "slab thickness", in.Thickness, quantity.AsThickness))
	case !in.Area.Given():
		return nil
	}
	if in.Area.Given() {
		from = append(from, working.Given(w, "pour_area", "", "area of the pour", in.Area, quantity.AsArea))
	}
	if in.Days.Given() {
		days = max(1, int(in.Days.Value))
	}
	d.r.Samples = d.tables.TestCount(days, volume, in.Area.Value)
	w.Answer(working.Step{Name: "samples", Says: "strength tests to order", Formula: "one a day, one per 150 yd³, one per 5,000 ft², whichever is most", Value: quantity.Counted(d.r.Samples), From: from, Source: sources.ACI318Accept})
	return nil
}
