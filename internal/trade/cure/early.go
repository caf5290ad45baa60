package cure

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Panel is a piece of the slab between joints.
type Panel struct {
	Name   string          `yaml:"name" json:"name"`
	Length quantity.Length `yaml:"length" json:"length" unit:"ft|m"`
	Width  quantity.Length `yaml:"width" json:"width" unit:"ft|m"`
	Held   bool            `yaml:"held" json:"held,omitempty" says:"a wall or a re-entrant corner holds it"`
}

// PanelCrack is how near a panel comes to cracking in its first weeks.
type PanelCrack struct {
	Panel
	Index   float64         `json:"index"` // greatest tension over bending strength
	At      quantity.Time   `json:"at"`    // age
	Tension quantity.Stress `json:"tension"`
	Curl    quantity.Stress `json:"curl"`    // of that, from top against bottom
	Opening quantity.Length `json:"opening"` // of its joint after a year, in the cold
	Lift    quantity.Length `json:"lift"`    // of its ends by the greatest difference, were it free of its weight
}

// IndexPoint is the crack index at one age: of the slab in one piece, and of its largest panel.
type IndexPoint struct {
	Age   quantity.Time `json:"age"`
	Whole float64       `json:"whole"`
	Panel float64       `json:"panel"`
}

// The tensions of early life: hours followed hour by hour, and after those every six hours to the end; the restraint of a panel that
// a wall holds; Poisson's ratio; the ground's springs; drying as ACI 209 says it for an ordinary mix. A joint's cold is 20 K under
// the placing.
const (
	hourly      = 72
	sixHourly   = 6
	earlyEnd    = 28 * 24
	heldBy      = 0.5
	poisson     = 0.15
	winterDrop  = 20.0
	yearDays    = 365.0
	usualFines  = 0.40
	usualSlump  = 0.10
	usualAir    = 0.06
	usualHumid  = 0.60
	aging       = 0.8 // coefficient of creep under a slowly growing load
	dryGradient = 0.5 // of the drying that bends the slab rather than shortens it: it dries from the top only
)

// early is the strains of early life on common ages, the same for every panel.
type early struct {
	hours    []float64
	te       []float64 // strength age, days
	modulus  []float64 // MPa
	rupture  []float64
	mean     []float64 // shortening since the step before, cooling and drying
	bend     []float64 // top shorter than bottom since the step before
	eases    [][]float64
	shrunk   float64 // drying at one year
	gradient float64 // greatest shortening of the top against the bottom
}

// followEarly gathers ages, strengths and strains from final set on.
func (j job) followEarly() early {
	var e early
	te, last := 0.0, 0.0
	lastMean, lastBend, bend := 0.0, 0.0, 0.0
	began := false
	cured := curingDays * 24.0
	for h := 0.0; h <= earlyEnd; {
		step := 1.0
		if h >= hourly {
			step = sixHourly
		}
		top, mid, bottom := j.depths(h)
		te += (h - last) * j.gain.agePace(mid)
		last = h
		s := j.gain.curve.At(te)
		if h >= j.final && s > firstStrength {
			dry := j.drying((h - cured) / 24)
			mean := -Expansion*(top+4*mid+bottom)/6 + (1-dryGradient)*dry
			now := Expansion*(bottom-top) + dryGradient*dry
			if began {
				bend += now - lastBend
				e.gradient = math.Max(e.gradient, bend)
				e.hours, e.te = append(e.hours, h), append(e.te, te)
				e.modulus, e.rupture = append(e.modulus, hydration.Modulus(s)), append(e.rupture, hydration.Rupture(s))
				e.mean, e.bend = append(e.mean, mean-lastMean), append(e.bend, now-lastBend)
			}
			lastMean, lastBend, began = mean, now, true
		}
		h += step
	}
	e.ease()
	e.shrunk = j.drying(yearDays)
	return e
}

// ease works out what creep leaves of each strain at each later age.
func (e *early) ease() {
	for i := range e.te {
		row := make([]float64, i+1)
		for k := range row {
			row[k] = e.modulus[k] / (1 + aging*CreepCoefficient(e.te[i], e.te[k], 1))
		}
		e.eases = append(e.eases, row)
	}
}

// depths are the slab's temperatures, usual side; without its heat the air's and its usual surplus at every depth.
func (j job) depths(hour float64) (top, mid, bottom float64) {
	if top, mid, bottom, ok := j.warmth.at(hour); ok {
		return top, mid, bottom
	}
	t := j.slabTemp(middle, hour)
	return t, t, t
}

// drying is the free shrinkage after days of drying.
func (j job) drying(days float64) float64 {
	d := Drying{Humidity: usualHumid, VolumeFace: j.in.Thickness.Value.Metres(), Slump: usualSlump, Fines: usualFines, Cement: float64(j.in.Cementitious.Value), Air: usualAir, MoistDays: curingDays}
	s, err := d.After(days)
	if err != nil {
		return 0
	}
	return s
}

// tensionOf is the tension of a piece at step i, MPa: held shortening, and curling of a length on its ground.
//
//	σ = Σ E(ti)/(1 + 0.8φ) [Kr Δε + C/(2(1 − ν)) Δε_bend]
func (e early) tensionOf(i int, restraint, curl float64) (total, bent float64) {
	held := 0.0
	for k, ease := range e.eases[i] {
		held += ease * e.mean[k]
		bent += ease * e.bend[k]
	}
	bent *= curl / (2 * (1 - poisson))
	return restraint*held + bent, bent
}

// curlOf is Bradbury's factor of a length on this slab's ground at step i, between 0 and its greatest value.
//
//	l⁴ = E h³/(12(1 − ν²)k)
//
// An uncut slab is as if of the length that curls most.
func (j job) curlOf(length, modulus float64) float64 {
	h, k := j.in.Thickness.Value.Metres(), float64(j.in.Subgrade.Value)
	radius := math.Pow(modulus*1e6*h*h*h/(12*(1-poisson*poisson)*k), 0.25)
	return Bradbury(length / radius)
}

// Bradbury is the curling factor of a slab whose length is some radii of relative stiffness, held at its greatest value beyond the
// length that has it.
//
//	C = 1 − 2 (sinλ coshλ + cosλ sinhλ)/(sin2λ + sinh2λ)      λ = L/(l√8)
//
// Source: Bradbury (1938), recalled, multiplied out so that it has no pole. Checked: CUR-X01, CUR-X02.
func Bradbury(radii float64) float64 {
	l := math.Min(radii/math.Sqrt(8), math.Pi)
	if l < 1e-3 {
		return 0
	}
	return 1 - 2*(math.Sin(l)*math.Cosh(l)+math.Cos(l)*math.Sinh(l))/(math.Sin(2*l)+math.Sinh(2*l))
}

// panels are those told, or one of the usual size.
func (j job) panels() []Panel {
	if len(j.in.Panels) > 0 {
		return j.in.Panels
	}
	side := quantity.Length(math.Min(30*j.in.Thickness.Value.Metres(), 4.57))
	return []Panel{{Name: "usual panel, thirty thicknesses", Length: side, Width: side}}
}

// earlyLife computes the crack index of every panel and of the slab uncut.
func (j job) earlyLife(r *Result) {
	e := j.followEarly()
	r.Cracks = j.cracks(e)
	j.indexLine(r, e, float64(j.in.Restraint.Value))
	j.showEarly(r)
}

// Cracks is how near each panel of an input comes to cracking, without the rest of the stage: for layouts weighed against each
// other. It refuses input with faults.
func Cracks(in Input) ([]PanelCrack, error) {
	j, err := prepare(in)
	if err != nil {
		return nil, err
	}
	return j.cracks(j.followEarly()), nil
}

func (j job) cracks(e early) []PanelCrack {
	var out []PanelCrack
	for _, p := range j.panels() {
		c := PanelCrack{Panel: p}
		restraint, length := float64(j.in.Restraint.Value), math.Max(p.Length.Metres(), p.Width.Metres())
		if p.Held {
			restraint = math.Max(restraint, heldBy)
		}
		for i := range e.hours {
			total, bent := e.tensionOf(i, restraint, j.curlOf(length, e.modulus[i]))
			if index := total / e.rupture[i]; index > c.Index {
				c.Index, c.At, c.Tension, c.Curl = index, quantity.Hours(e.hours[i]), quantity.MPa(total), quantity.MPa(bent)
			}
		}
		c.Opening = quantity.Length(JointOpening(length, e.shrunk, Expansion, winterDrop))
		c.Lift = quantity.Length(e.gradient * length * length / (8 * j.in.Thickness.Value.Metres()))
		out = append(out, c)
	}
	return out
}

// indexLine is the index of the whole slab before it is cut, and of the worst panel.
func (j job) indexLine(r *Result, e early, kr float64) {
	worst := j.worstPanel(*r)
	restraint := kr
	if worst.Held {
		restraint = math.Max(kr, heldBy)
	}
	length := math.Max(worst.Length.Metres(), worst.Width.Metres())
	for i, h := range e.hours {
		whole, _ := e.tensionOf(i, kr, Bradbury(math.Inf(1)))
		panel, _ := e.tensionOf(i, restraint, j.curlOf(length, e.modulus[i]))
		r.Index = append(r.Index, IndexPoint{quantity.Hours(h), math.Max(0, whole/e.rupture[i]), math.Max(0, panel/e.rupture[i])})
	}
}

func (j job) worstPanel(r Result) PanelCrack {
	worst := r.Cracks[0]
	for _, c := range r.Cracks[1:] {
		if c.Index > worst.Index {
			worst = c
		}
	}
	return worst
}

// Crack index from which sawing should be soon, is late, and a crack is expected. Common practice; 0.5 to 0.7 in the literature.
const (
	soonIndex  = 0.4
	LateIndex  = 0.6 // from here on a panel asks for care
	crackIndex = 1.0
)

func (j job) showEarly(r *Result) {
	c := j.worstPanel(*r)
	w := &r.Working
	working.Given(w, "subgrade", "k", "how stiff the ground is", j.in.Subgrade, quantity.AsSubgrade)
	from := []string{"restraint", "final_set", "ultimate_strength", "later_air", "subgrade"}
	w.Answer(working.Step{Name: "crack_index", Says: fmt.Sprintf("greatest tension over bending strength in the first four weeks, cut in time, %s", c.Name), Symbol: "σ/fr",
		Formula: "Σ E/(1 + 0.8φ)[Kr Δε + C/(2(1 − ν)) Δε_bend]/0.62√S", Value: quantity.Plain(c.Index, quantity.AsRatio), From: from, Source: sources.ACI209})
	w.Show(working.Step{Name: "crack_index_at", Says: "age at which that is", Value: quantity.Show(c.At, quantity.AsHours), From: []string{"crack_index"}, Source: sources.ACI209})
	w.Show(working.Step{Name: "curl_share", Says: "of that tension from top against bottom", Value: quantity.Show(c.Curl, quantity.AsStrength), From: []string{"crack_index"}, Source: sources.ACI209})
	w.Answer(working.Step{Name: "joint_opening", Says: "widest joint after a year, in the cold", Formula: "L(εsh + αT ΔT)", Value: quantity.Show(j.widest(*r), quantity.AsDrop), From: []string{"subgrade"}, Source: sources.ACI209R2})
	k := check.Check{ID: "cure.crack-index", Level: check.Good, Value: quantity.Plain(c.Index, quantity.AsRatio), Limit: quantity.Plain(LateIndex, quantity.AsRatio), Where: c.Name, Source: sources.ACI209}
	k.Says = fmt.Sprintf("Cut in time, %s comes to %.2f of its bending strength, %s.", c.Name, c.Index, j.dateWords(c.At.Hours(), false))
	then := []string{"Blankets over the first nights so that it cools slowly; cure longer; shorter panels."}
	switch {
	case c.Index >= crackIndex:
		k.Level, k.Then = check.Stop, then
		k.Says += " It is expected to crack."
	case c.Index >= LateIndex:
		k.Level, k.Then = check.Care, then
	}
	r.Check(k)
}

func (j job) widest(r Result) quantity.Length {
	widest := quantity.Length(0)
	for _, c := range r.Cracks {
		widest = max(widest, c.Opening)
	}
	return widest
}

// defaultSubgrade is moist clay with some stone on it.
func defaultSubgrade() known.Subgrade {
	return known.Assume(quantity.SubgradeModulus(40e6), quantity.SubgradeModulus(20e6), quantity.SubgradeModulus(80e6), "ordinary clay with compacted stone", sources.CommonPractice)
}
