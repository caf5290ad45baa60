// Package grade answers: how high at each corner and stake, which way does the water run, how much to dig, fill and haul, how
// much stone, in how many lifts?
//
// The top of the slab is one plane, or several that meet along hips and valleys. They are the cheapest to dig and fill that meet
// every tie, fall the way the water should go, and lean no more than they may; volumes between it and the triangulated ground are exact. What is set out is rounded to what
// a tape shows, and the fall is checked again after that rounding.
package grade

import (
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/working"
)

// Result is the slab's levels and the earth that moves.
type Result struct {
	Plane     Plane           `json:"plane"`          // top of the slab; of its largest panel, where folds part it
	Panels    []Panel         `json:"panels"`         // the flat pieces of the slab: one, or those that folds make
	Folds     []Bend          `json:"folds"`          // hips and valleys, piece by piece
	Slope     quantity.Slope  `json:"slope"`          // steepest slope of the slab
	Heading   quantity.Angle  `json:"heading"`        // the way water runs, turning left from +x
	Direction string          `json:"fall_direction"` // the same in words
	Least     quantity.Slope  `json:"least_slope"`    // fall the way it drains, as set out
	Fall      quantity.Length `json:"fall"`           // from the highest corner to the lowest, as set out
	Corners   []Stake         `json:"corners"`        // in the order of the outline
	Stakes    []Stake         `json:"stakes"`         // round the edge, corners among them
	High      string          `json:"high_corner"`
	Low       string          `json:"low_corner"`
	LevelBy   string          `json:"level_by"` // what the levels are counted from

	Strings   []StringLine `json:"strings"`
	Boards    []Board      `json:"boards"`
	Diagonals []Measured   `json:"diagonals"` // tapes that check the set-out
	Offsets   []Offset     `json:"offsets"`   // of curves from their chords

	Dig      []geometry.Polygon `json:"dig"`       // what is dug, past the edge where no wall stands
	DigDepth quantity.Length    `json:"dig_depth"` // the deepest dig at a corner
	Cells    []Cell             `json:"cells"`     // cut and fill, piece by piece
	Zero     []geometry.Segment `json:"zero"`      // where neither is needed: the line between cut and fill, in pieces
	Ground   string             `json:"ground"`    // how the ground between the shots was taken

	Standing quantity.Percent `json:"pond_chance"` // chance that water stands somewhere, as finished
	Puddles  []Puddle         `json:"puddles"`     // ponds as drawn, then places that may hold water
	Paths    []Path           `json:"paths"`       // ways of arriving water
	Drains   []DrainSize      `json:"drains"`

	NetVolume   quantity.Volume `json:"net_volume"`   // concrete in place, nothing added
	BaseVolume  quantity.Volume `json:"base_volume"`  // stone bed, compacted
	StoneVolume quantity.Volume `json:"stone_volume"` // bed and fill, compacted
	BaseMass    quantity.Mass   `json:"base_tons"`    // stone to order
	Cut         quantity.Volume `json:"cut"`          // as it lies
	Fill        quantity.Volume `json:"fill"`         // compacted
	Loose       quantity.Volume `json:"loose"`        // spoil to haul, loose
	Left        quantity.Volume `json:"spoil_left"`   // spoil kept on site, loose
	HaulLoads   int             `json:"haul_loads"`
	Lifts       int             `json:"lifts"`
	Rolling     quantity.Time   `json:"rolling_time"` // of the plate, all lifts
	WaterToAdd  quantity.Volume `json:"water_to_add"` // to the stone
	FabricArea  quantity.Area   `json:"fabric,omitempty"`
	ByHand      []ByHand        `json:"by_hand,omitempty"` // of the cut, near buried lines

	working.Answer
}

// Plane is z = A + B·x + C·y, metres and slopes.
type Plane struct {
	A float64 `json:"a"`
	B float64 `json:"b"`
	C float64 `json:"c"`
}

// At is the plane's level at a point.
func (p Plane) At(q geometry.Point) float64 { return p.A + p.B*q.X + p.C*q.Y }

// slope is the rise per metre east and north.
func (p Plane) slope() geometry.Point { return geometry.Point{X: p.B, Y: p.C} }

// Panel is a flat piece of the slab.
type Panel struct {
	Name    string           `json:"name"`
	Outline geometry.Polygon `json:"outline"` // box-outs not taken out where there are several panels
	Plane   Plane            `json:"plane"`
	Slope   quantity.Slope   `json:"slope"`
	Heading quantity.Angle   `json:"heading"` // the way water runs, turning left from +x
	Says    string           `json:"direction"`
}

// Bend is a straight piece of a hip or valley between two panels.
type Bend struct {
	Kind        FoldKind         `json:"kind"`
	Line        geometry.Segment `json:"line"` // a valley's water runs from its start to its end
	Left, Right string           // names of the panels
	Slope       quantity.Slope   `json:"slope"` // fall along it, from start to end
	Break       quantity.Slope   `json:"break"` // change of slope across it
}

// Stake is a place where levels are set out. Drops are down from the level string, rounded to what a tape shows.
type Stake struct {
	Name      string          `json:"name"`
	At        geometry.Point  `json:"at"`
	Elevation quantity.Length `json:"elevation"` // of the plane
	Set       quantity.Length `json:"set"`       // as set out, after rounding
	Rod       quantity.Length `json:"rod"`       // rod reading at the top of the slab; zero when no instrument is set
	Below     quantity.Length `json:"below"`     // below the highest corner
	Top       quantity.Length `json:"drop_top"`
	Base      quantity.Length `json:"drop_base"`
	Subgrade  quantity.Length `json:"drop_subgrade"`
	Ground    quantity.Length `json:"ground"` // level of the ground now
	Depth     quantity.Length `json:"depth"`  // ground above subgrade: dig; below zero, fill
}

// Cell is a piece of the dig with its depth of cut (above zero) or fill (below).
type Cell struct {
	Outline []geometry.Point `json:"outline"`
	At      geometry.Point   `json:"at"`
	Area    quantity.Area    `json:"area"`
	Depth   quantity.Length  `json:"depth"`
}

// Design grades the slab. Faults name the ties and slopes that cannot be met together and what to change.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	w := newWork(in)
	if err := w.survey(); err != nil {
		return Result{}, err
	}
	if err := w.part(); err != nil {
		return Result{}, err
	}
	if err := w.layThickness(); err != nil {
		return Result{}, err
	}
	if err := w.dig(); err != nil {
		return Result{}, err
	}
	if err := w.choose(); err != nil {
		return Result{}, err
	}
	w.settle()
	w.setOut()
	w.stretch()
	if err := w.stand(); err != nil {
		return Result{}, err
	}
	if err := w.drains(); err != nil {
		return Result{}, err
	}
	if err := w.measure(); err != nil {
		return Result{}, err
	}
	w.explain()
	w.Check(w.judge()...)
	return w.Result, nil
}

// work is a design under way.
type work struct {
	Result
	in        Input
	slab      geometry.Polygon
	names     []string // of the corners
	ground    ground
	aim       aim     // the direction that was chosen, of the largest panel
	fit       fitting // the program's answer
	panels    []panel // one without folds
	bends     []bend
	parts     terrain.Partition // empty without folds
	net       net
	bulk      bulk
	beside    beside
	thickness terrain.Ground // nil where it is the same everywhere
}

func newWork(in Input) *work {
	w := &work{in: in, slab: in.Outline}
	for i := range in.Outline.Outer {
		w.names = append(w.names, in.cornerName(i))
	}
	return w
}

// cornerName is the name of corner i: as given, or a letter.
func (in Input) cornerName(i int) string {
	if len(in.Corners) == len(in.Outline.Outer) && in.Corners[i].Name != "" {
		return in.Corners[i].Name
	}
	if i < 26 {
		return string(rune('A' + i))
	}
	return string(rune('A'+i%26)) + string(rune('0'+i/26%10))
}

// either is a rule's round figure as the crew's own tape says it.
func (in Input) either(us, metric string) string {
	if in.Units == quantity.Metric {
		return metric
	}
	return us
}

// wall is what side i runs along; empty when it is free.
func (in Input) wall(i int) string {
	if i < len(in.Against) {
		return in.Against[i]
	}
	return ""
}

// depth is slab and base together.
func (in Input) depth() float64 { return in.Thickness.Value.Metres() + in.Base.Value.Metres() }
