// Package hold answers: will it hold, computed on the real panels?
//
// Where the slab stage judges one wheel on an endless slab by closed forms, this one lays the vehicle on the slab as it will
// be poured: the panels between the joints, the inward corner of an L, the box-out round a lid, a skewed side. It puts the
// wheels everywhere they can come, coarse and then fine, solves the plate on its springs, and looks again at the worst
// places with the slab curled by a hot afternoon and a winter dawn, where it may lift off the ground.
//
// It takes a second where the slab stage takes milliseconds, and is run when somebody asks.
package hold

import (
	"cmp"
	"context"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Input is the slab as it will be poured, and what will stand on it.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Panels []Panel `yaml:"panels" says:"the panels between joints"`
	Prints []Print `yaml:"prints" says:"what stands on the slab: tyres and jack pads"`

	Thickness       known.Length   `yaml:"thickness" says:"thickness of the slab" unit:"in|mm" usual:"3.5..12|90..300" show:"thickness"`
	Tolerance       known.Length   `yaml:"tolerance" says:"thickness the slab may miss in places, taken off for the check" unit:"in|mm" usual:"0..1|0..25" show:"thickness"`
	Elasticity      known.Stress   `yaml:"elasticity" says:"modulus of elasticity" unit:"ksi|GPa" usual:"2500..6000|17..42" show:"modulus"`
	Flexural        known.Stress   `yaml:"flexural_strength" says:"modulus of rupture under wheels" unit:"psi|MPa" usual:"350..900|2.4..6.2"`
	PostFlexural    known.Stress   `yaml:"post_flexural_strength" says:"modulus of rupture under jacks and posts" unit:"psi|MPa" usual:"350..900|2.4..6.2"`
	SubgradeModulus known.Subgrade `yaml:"subgrade_modulus" says:"modulus of subgrade reaction under the slab" unit:"pci|MPa/m" usual:"50..300|13..82"`
	JointStiffness  known.Ratio    `yaml:"joint_stiffness" says:"stiffness of the joints over that of the bed, k l; 0 carries nothing" usual:"0..20"`

	Expansion known.Ratio    `yaml:"expansion" says:"thermal expansion, millionths per kelvin" usual:"6..14"`
	DayWarm   known.TempDiff `yaml:"day_difference" says:"top warmer than bottom on a hot afternoon, less what is built in" unit:"°F|K" usual:"0..30|0..17"`
	DawnCold  known.TempDiff `yaml:"dawn_difference" says:"top colder than bottom at dawn, with what is built in" unit:"°F|K" usual:"2..40|1..22"`

	SafetyWheels   known.Ratio  `yaml:"safety_wheels" says:"safety factor under wheels, by how often they come" usual:"1.4..2.5"`
	SafetyPosts    known.Ratio  `yaml:"safety_posts" says:"safety factor under jacks" usual:"1.4..2.5"`
	SafetyRare     known.Ratio  `yaml:"safety_rare" says:"safety factor under a wheel astray, and in the worst hour of curling" usual:"1.2..2"`
	WheelClearance known.Length `yaml:"edge_clearance" says:"how far wheels stay from edges, but where they drive on" unit:"in|mm" usual:"0..60|0..1500" show:"thickness"`
	JackClearance  known.Length `yaml:"jack_clearance" says:"how far jack pads stay from edges and joints" unit:"in|mm" usual:"0..120|0..3000" show:"thickness"`

	BetterSupport   known.Subgrade `yaml:"better_support" says:"support with more stone under the slab, to compare" unit:"pci|MPa/m"`
	DowelStiffness  known.Ratio    `yaml:"dowel_stiffness" says:"stiffness of the joints with dowels over k l, to compare"`
	ClosedForms     []ClosedForm   `yaml:"closed_forms" says:"what closed forms say, to compare"`
	Mixer           []Print        `yaml:"mixer" says:"the loaded concrete truck that must drive on the young slab"`
	MixerAge        known.Time     `yaml:"mixer_age" says:"age of the slab then" unit:"d" usual:"3..90" show:"days"`
	MixerElasticity known.Stress   `yaml:"mixer_elasticity" says:"modulus of elasticity at that age" unit:"ksi|GPa" usual:"2000..6000|14..42" show:"modulus"`
	MixerFlexural   known.Stress   `yaml:"mixer_flexural_strength" says:"modulus of rupture at that age" unit:"psi|MPa" usual:"250..900|1.7..6.2"`
	ByClosedForm    []ClosedUse    `yaml:"by_closed_form" says:"what closed forms say of each thickness, to compare"`
	Finest          known.Truth    `yaml:"finest" says:"solve the worst place twice, the second time on a mesh twice as fine"`
	InfluencePlaces known.Truth    `yaml:"influence" says:"tell what the vehicle does at every place it was put"`
}

// Panel is one piece of slab between joints. Panels touch where a joint is.
type Panel struct {
	Number  int              `yaml:"number" json:"number"`
	Outline geometry.Polygon `yaml:"outline" json:"outline"`
}

// Print is one contact on the slab. X runs along the vehicle from its first axle back, Y across it.
type Print struct {
	Name  string          `yaml:"name" json:"name"`
	At    geometry.Point  `yaml:"at" json:"at"`
	Force quantity.Force  `yaml:"force" json:"force"`
	Along quantity.Length `yaml:"along" json:"along"` // length of the print
	Wide  quantity.Length `yaml:"wide" json:"wide"`
	Post  bool            `yaml:"post" json:"post"` // stands still on a pad
}

// ClosedForm is the stress that a closed form gives for a case of the same name.
type ClosedForm struct {
	Name   string          `yaml:"name" json:"name"`
	Stress quantity.Stress `yaml:"stress" json:"stress"`
}

// ClosedUse is the share of what is allowed that closed forms give for a thickness.
type ClosedUse struct {
	Thickness   quantity.Length `yaml:"thickness" json:"thickness"`
	Utilisation float64         `yaml:"utilisation" json:"utilisation"`
}

// Case is the worst that was found of one way in which the load meets the slab.
type Case struct {
	Name        string           `json:"name"`
	Says        string           `json:"says"`
	Panel       int              `json:"panel"` // number of the panel with the greatest tension
	At          geometry.Point   `json:"at"`
	Face        string           `json:"face"` // bottom or top
	Vehicle     geometry.Point   `json:"vehicle"`
	Heading     float64          `json:"heading"`          // radians from x, of the vehicle's nose
	Prints      []geometry.Point `json:"prints"`           // middles of the prints on the slab
	Stress      quantity.Stress  `json:"stress"`           // greatest tension
	Limit       quantity.Stress  `json:"limit"`            //
	Closed      quantity.Stress  `json:"closed,omitempty"` // what the closed form says
	Deflection  quantity.Length  `json:"deflection"`       // greatest, with the slab's own weight only where it curls
	Contact     float64          `json:"contact"`          // share of the slab that bears on the ground
	Utilisation float64          `json:"utilisation"`
	Difference  float64          `json:"difference"` // K, top less bottom
	Posts       bool             `json:"-"`          // its prints are pads that stand still

	spot  spot
	rough float64       // greatest tension on the search mesh, Pa
	whole *plate.Result // the answer on it
}

// Change is another way to build it, and what the worst case then uses.
type Change struct {
	Name        string  `json:"name"`
	Says        string  `json:"says"`
	Utilisation float64 `json:"utilisation"`
}

// Influence is what the vehicle does at one place.
type Influence struct {
	At          geometry.Point `json:"at"` // middle of its prints on the slab
	Heading     float64        `json:"heading"`
	Case        string         `json:"case"`
	Utilisation float64        `json:"utilisation"`
}

// Result is the answer.
type Result struct {
	Utilisation float64         `json:"utilisation"`
	Worst       Case            `json:"worst"`
	Cases       []Case          `json:"cases"`
	Changes     []Change        `json:"changes"`  // what buys most first
	Ladder      []Rung          `json:"ladder"`   // every thickness that could be built
	Thinnest    quantity.Length `json:"thinnest"` // of the ladder, from which on all hold; 0: none does
	Positions   int             `json:"positions"`
	Influence   []Influence     `json:"influence,omitempty"`
	Chance      quantity.Ratio  `json:"chance"`       // that the slab passes with its safety, as its ranges allow
	ChanceCrack quantity.Ratio  `json:"chance_crack"` // that the worst load cracks it in one pass
	Accuracy    float64         `json:"accuracy"`     // change of the worst stress on a mesh twice as fine, as a share; 0: not asked
	Unknowns    int             `json:"unknowns"`
	Balance     float64         `json:"balance"` // largest share of force, moment or energy that is missing in any solution shown
	Stress      Map             `json:"stress_map"`
	Sink        Map             `json:"sink_map"`
	Mixer       *Case           `json:"mixer,omitempty"` // the loaded concrete truck on the young slab
	Corners     []Inward        `json:"inward_corners"`  // without a joint
	JacksByCuts bool            `json:"jacks_by_joints"` // jacks find no place where all keep away from joints
	Radius      quantity.Length `json:"radius"`          // of relative stiffness
	working.Answer
}

// Inward is a corner that turns into the slab without a joint.
type Inward struct {
	Panel int            `json:"panel"`
	At    geometry.Point `json:"at"`
}

// Design computes the slab: every place the load can come to, coarse and then fine; the worst of them exactly, flat, by day
// and at dawn; what would help most; and how sure the answer is.
func Design(in Input) (Result, error) { return DesignWithin(context.Background(), in) }

// Shares of the whole work that are done when the plates stand, when all places are searched, and when the worst are
// answered exactly: measured on three panels under a trailer.
const (
	meshed   = 0.02
	searched = 0.15
	exactly  = 0.65
)

// DesignWithin is Design for a caller who may stop it, and is told how far it is.
func DesignWithin(ctx context.Context, in Input) (Result, error) {
	if faults := in.Validate(); len(faults) > 0 {
		return Result{}, faults.Err()
	}
	m := newModel(in)
	r := Result{Radius: quantity.Length(m.slab.Radius()), Corners: m.inward()}
	p, err := m.plates(ctx)
	if err != nil {
		return Result{}, err
	}
	working.Tell(ctx, meshed)
	found, err := m.search(ctx, p)
	if err != nil {
		return Result{}, err
	}
	working.Tell(ctx, searched)
	r.Positions, r.Influence, r.JacksByCuts = found.count, found.influence, m.onCuts
	if r.Cases, err = m.exact(ctx, p, found); err != nil {
		return Result{}, err
	}
	working.Tell(ctx, exactly)
	r.Worst = worstOf(r.Cases)
	r.Utilisation = r.Worst.Utilisation
	if err := m.weigh(ctx, p, &r); err != nil {
		return Result{}, err
	}
	explain(&r, in, m)
	r.Check(checks(in, r)...)
	return r, nil
}

// weigh looks at what the worst cases do otherwise: on a finer mesh, on another slab, and as ground and concrete may fall out.
func (m *model) weigh(ctx context.Context, p *plates, r *Result) error {
	worst := gravest(r.Cases)
	err := atOnce(4, func(i int) (err error) {
		switch i {
		case 0:
			return m.look(ctx, p, r)
		case 3:
			r.Mixer, err = m.mixer(ctx)
			return err
		case 1:
			r.Changes, err = m.changes(ctx, p, worst)
			return err
		}
		if r.Ladder, err = m.ladder(ctx, p, worst); err == nil {
			r.Chance, r.ChanceCrack, err = m.chance(ctx, p, worst[0], r.Ladder)
		}
		return err
	})
	r.Thinnest = thinnest(r.Ladder)
	if c, ok := m.thickerBy(inch(m.in.Units), r.Ladder); ok {
		r.Changes = append(r.Changes, c)
	}
	slices.SortStableFunc(r.Changes, func(a, b Change) int { return cmp.Compare(a.Utilisation, b.Utilisation) })
	return err
}

func worstOf(cases []Case) Case {
	worst := cases[0]
	for _, c := range cases {
		if c.Utilisation > worst.Utilisation {
			worst = c
		}
	}
	return worst
}

// look answers the worst case once more for the maps, and if asked in windows on a mesh twice as fine.
func (m *model) look(ctx context.Context, p *plates, r *Result) error {
	var mesh plate.Mesh
	if m.in.Finest.Value {
		mesh = plate.Mesh{Size: m.slab.Radius() / fineMesh, PerPatch: fineMesh}
	}
	again := r.Worst
	a, err := p.look(ctx, &again, mesh)
	if err != nil {
		return err
	}
	for _, solved := range append(a.windows, a.whole) {
		r.Unknowns += solved.Accuracy.Unknowns
		r.Balance = max(r.Balance, solved.Balance.Force, solved.Balance.Moment, solved.Balance.Energy)
	}
	r.Stress, r.Sink = m.maps(a)
	if m.in.Finest.Value && again.Stress > 0 {
		r.Accuracy = math.Abs(float64(r.Worst.Stress/again.Stress) - 1)
	}
	return nil
}

// fineMesh is how many elements the finer mesh has in a radius of relative stiffness and across a print: twice the usual three.
const fineMesh = 6
