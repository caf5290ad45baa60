package rollout

import (
	_ "embed"
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the engine's table of check rows.
func Checks() string { return checksCSV }

// Keys of the sources this engine's calculations rest on.
const (
	planeGeometry = "plane-geometry"
	reedsShepp    = "reeds-shepp-1990"
	ownRule       = "own-rule"
)

// chain are the ports of a rig's axles.
type chain struct {
	wheelbase, hitch, tongue quantity.Length
}

func (c chain) rig() Rig {
	return Rig{Wheelbase: c.wheelbase.Metres(), Hitch: c.hitch.Metres(), Tongue: c.tongue.Metres(), Lock: 1.4, Fold: math.Pi / 2,
		Tow: Body{Ahead: c.wheelbase.Metres() + 1, Behind: 1, Width: 2}, Trailer: Body{Ahead: 1, Behind: 1, Width: 2}}
}

// driveOf makes a drive from steering angles and signed lengths.
func driveOf(r Rig, from Pose, steering, lengths []float64) (Drive, error) {
	d := Drive{From: from}
	if err := r.Validate(); err != nil {
		return d, err
	}
	if len(steering) != len(lengths) || len(lengths) == 0 {
		return d, errors.New("give as many steering angles as lengths")
	}
	for i := range steering {
		if !(math.Abs(steering[i]) < 85) || !(math.Abs(lengths[i]) <= 500) {
			return d, fmt.Errorf("piece %d: steering below 85° and at most 500 m", i+1)
		}
		d.Pieces = append(d.Pieces, Piece{r.Curvature(steering[i] * math.Pi / 180), lengths[i]})
	}
	return d, nil
}

// Calculations offers the engine's formulas by name.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("rollout.drive", "where a tow vehicle and its trailer end after pieces driven with the steering held", planeGeometry, driveCalculation),
		calc.New("rollout.integrated_drive", "the same by step-by-step integration, the cross-check of the closed form", planeGeometry, integratedCalculation),
		calc.New("rollout.clearance", "least room between a rig and round things over a drive", planeGeometry, clearanceCalculation),
		calc.New("rollout.turn", "least radius of the trailer axle about the centre of a turn entered straight", planeGeometry, turnCalculation),
		calc.New("rollout.shortest_drive", "shortest drive of a vehicle without trailer, both directions allowed, nothing in the way", reedsShepp,
			func(in struct {
				X       quantity.Length `says:"goal, ahead"`
				Y       quantity.Length `says:"goal, to the left"`
				Heading quantity.Angle  `says:"goal's heading"`
				Radius  quantity.Length `says:"turning radius of the rear axle" default:"1"`
			}) (out struct {
				Length quantity.Length
				Pieces int
			}, err error) {
				if in.Radius <= 0 {
					return out, errors.New("the radius is longer than zero")
				}
				h := float64(in.Heading)
				d := Shortest(Pose{}, Pose{At: geometry.Point{X: in.X.Metres(), Y: in.Y.Metres()}, Heading: h, Trailer: h}, in.Radius.Metres())
				out.Length, out.Pieces = quantity.Length(d.Length()), len(d.Pieces)
				return out, nil
			}),
		calc.New("rollout.replay", "how often an imperfect driver makes a drive, steering by what he sees", ownRule, replayCalculation),
		calc.New("rollout.crossing", "least room under a vehicle rolling over ground breaks", planeGeometry, crossingCalculation),
	}
}

// drivenPorts are a rig and the pieces it is driven over.
type drivenPorts struct {
	Wheelbase quantity.Length `says:"L, tow vehicle axle to axle"`
	Hitch     quantity.Length `says:"M, hitch behind the rear axle; ahead of it negative"`
	Tongue    quantity.Length `says:"L1, hitch to trailer axle"`
	Trailer   quantity.Angle  `says:"heading of the trailer at the start; the tow vehicle's is 0" default:"0"`
	Steering  []float64       `unit:"deg" says:"steering of each piece, left positive"`
	Lengths   []float64       `unit:"m" says:"length of each piece at the rear axle, reverse negative"`
}

func (in drivenPorts) drive() (Rig, Drive, error) {
	r := chain{in.Wheelbase, in.Hitch, in.Tongue}.rig()
	d, err := driveOf(r, Pose{Trailer: float64(in.Trailer)}, in.Steering, in.Lengths)
	return r, d, err
}

func driveCalculation(in drivenPorts) (out struct {
	X              quantity.Length
	Y              quantity.Length
	Heading        quantity.Angle
	TrailerHeading quantity.Angle
	TrailerX       quantity.Length
	TrailerY       quantity.Length
	Bend           quantity.Angle `says:"tow vehicle's heading less the trailer's, at the end"`
	GreatestBend   quantity.Angle
}, err error) {
	r, d, err := in.drive()
	if err != nil {
		return out, err
	}
	p := r.End(d)
	axle := r.TrailerAt(p)
	out.X, out.Y, out.Heading, out.TrailerHeading = quantity.Length(p.At.X), quantity.Length(p.At.Y), quantity.Angle(p.Heading), quantity.Angle(p.Trailer)
	out.TrailerX, out.TrailerY = quantity.Length(axle.X), quantity.Length(axle.Y)
	out.Bend, out.GreatestBend = quantity.Angle(p.Bend()), quantity.Angle(r.SharpestBend(d))
	return out, nil
}

func integratedCalculation(in drivenPorts) (out struct {
	X              quantity.Length
	Y              quantity.Length
	Heading        quantity.Angle
	TrailerHeading quantity.Angle
}, err error) {
	r, d, err := in.drive()
	if err != nil {
		return out, err
	}
	p := d.From
	for _, piece := range d.Pieces {
		if p, err = r.Follow(p, piece.Distance, func(float64, Pose) float64 { return piece.Curvature }, 1e-11); err != nil {
			return out, err
		}
	}
	out.X, out.Y, out.Heading, out.TrailerHeading = quantity.Length(p.At.X), quantity.Length(p.At.Y), quantity.Angle(p.Heading), quantity.Angle(p.Trailer)
	return out, nil
}

func clearanceCalculation(in struct {
	Wheelbase    quantity.Length `says:"L, tow vehicle axle to axle"`
	Hitch        quantity.Length `says:"M, hitch behind the rear axle; ahead of it negative"`
	Tongue       quantity.Length `says:"L1, hitch to trailer axle"`
	Front        quantity.Length `says:"rear axle to the front of the tow vehicle"`
	Back         quantity.Length `says:"rear axle to the back of the tow vehicle"`
	Width        quantity.Length `says:"of the tow vehicle"`
	TrailerFront quantity.Length `says:"trailer axle to the front of its body"`
	TrailerBack  quantity.Length `says:"trailer axle to its back"`
	TrailerWidth quantity.Length
	Steering     []float64   `unit:"deg" says:"steering of each piece, left positive"`
	Lengths      []float64   `unit:"m" says:"length of each piece at the rear axle, reverse negative"`
	Discs        [][]float64 `unit:"m" says:"round things [x, y, radius]"`
}) (out struct {
	Clearance quantity.Length `says:"zero when something is hit"`
	Overlap   quantity.Length `says:"how far the rig would have to shift to come free; zero when nothing is hit"`
	Thing     int             `says:"which of the things, from 1; 0 when none is near"`
}, err error) {
	r := chain{in.Wheelbase, in.Hitch, in.Tongue}.rig()
	r.Tow = Body{Ahead: in.Front.Metres(), Behind: in.Back.Metres(), Width: in.Width.Metres()}
	r.Trailer = Body{Ahead: in.TrailerFront.Metres(), Behind: in.TrailerBack.Metres(), Width: in.TrailerWidth.Metres()}
	d, err := driveOf(r, Pose{}, in.Steering, in.Lengths)
	if err != nil {
		return out, err
	}
	var things []Obstacle
	for i, row := range in.Discs {
		if len(row) != 3 {
			return out, errors.New("a round thing is [x, y, radius]")
		}
		o := Obstacle{Name: fmt.Sprint("thing ", i+1), At: geometry.Point{X: row[0], Y: row[1]}, Radius: row[2]}
		if err := o.Validate(); err != nil {
			return out, err
		}
		things = append(things, o)
	}
	t := r.Clearance(d, things)
	out.Clearance, out.Overlap, out.Thing = quantity.Length(max(0, t.Clearance)), quantity.Length(max(0, -t.Clearance)), t.Obstacle+1
	return out, nil
}

func turnCalculation(in struct {
	Centreline quantity.Length `says:"turning radius at the middle of the front axle"`
	Wheelbase  quantity.Length `says:"L, axle to axle"`
	Hitch      quantity.Length `says:"rear axle to hitch" default:"0"`
	Tongue     quantity.Length `says:"hitch to trailer axle"`
	Turn       quantity.Angle  `says:"how far the tow vehicle turns"`
}) (out struct {
	TrailerAxle quantity.Length `says:"least radius it reaches"`
	Bend        quantity.Angle  `says:"at the end of the turn"`
}, err error) {
	r := chain{in.Wheelbase, in.Hitch, in.Tongue}.rig()
	if err := r.Validate(); err != nil {
		return out, err
	}
	if in.Centreline <= in.Wheelbase || in.Centreline > 1000 || in.Turn <= 0 || in.Turn > 20*math.Pi || in.Tongue <= 0 {
		return out, errors.New("the turn is wider than the wheelbase and at most 1000 m, turns at most ten times round, and pulls a trailer")
	}
	radius := math.Sqrt(in.Centreline.Metres()*in.Centreline.Metres() - r.Wheelbase*r.Wheelbase)
	centre, least := geometry.Point{Y: radius}, math.Inf(1)
	const looks = 2000
	for i := range looks + 1 {
		p := r.Move(Pose{}, Piece{1 / radius, radius * float64(in.Turn) * float64(i) / looks})
		least = min(least, r.TrailerAt(p).Distance(centre))
		out.Bend = quantity.Angle(p.Bend())
	}
	out.TrailerAxle = quantity.Length(least)
	return out, nil
}

func replayCalculation(in struct {
	Wheelbase quantity.Length `says:"L, tow vehicle axle to axle"`
	Hitch     quantity.Length `says:"M, hitch behind the rear axle; ahead of it negative"`
	Tongue    quantity.Length `says:"L1, hitch to trailer axle"`
	Lock      quantity.Angle  `says:"greatest steering of the single front wheel" default:"0.5235987755982988"`
	Fold      quantity.Angle  `says:"angle at which trailer and tow vehicle touch" default:"1.361356816555577"`
	Steering  []float64       `unit:"deg" says:"steering of each piece, left positive"`
	Lengths   []float64       `unit:"m" says:"length of each piece at the rear axle, reverse negative"`
	Drives    int             `default:"1000"`
	Seed      int             `default:"1"`
	Errors    quantity.Ratio  `says:"errors of start, steering and ground: 1 is an ordinary driver, 0 none" default:"1"`
}) (out struct {
	Made         quantity.Percent `says:"drives that end within 0.3 m and 3° without folding"`
	Aside        quantity.Length  `says:"95 of 100 end within this"`
	Askew        quantity.Angle
	GreatestBend quantity.Angle
}, err error) {
	r := chain{in.Wheelbase, in.Hitch, in.Tongue}.rig()
	r.Lock, r.Fold = float64(in.Lock), float64(in.Fold)
	d, err := driveOf(r, Pose{}, in.Steering, in.Lengths)
	if err != nil {
		return out, err
	}
	if in.Seed < 0 || in.Errors < 0 {
		return out, errors.New("seed and errors are not below zero")
	}
	driver, share := UsualDriver(), float64(in.Errors)
	driver.Aside, driver.Askew, driver.Wheel, driver.Slip, driver.Tongue = driver.Aside*share, driver.Askew*share, driver.Wheel*share, driver.Slip*share, driver.Tongue*share
	t, err := r.Replay(d, nil, driver, UsualTolerance(), in.Drives, uint64(in.Seed))
	out.Made, out.Aside, out.Askew, out.GreatestBend = quantity.Percent(t.Share()), quantity.Length(t.Aside), quantity.Angle(t.Askew), quantity.Angle(t.Greatest)
	return out, err
}

func crossingCalculation(in struct {
	Wheelbase quantity.Length `says:"axle to axle"`
	Clearance quantity.Length `says:"ground clearance between the axles"`
	Overhang  quantity.Length `says:"rear axle to the lowest point of the tail" default:"0"`
	Tail      quantity.Length `says:"height of that point; zero when there is none" default:"0"`
	Ground    [][]float64     `unit:"m" says:"profile [station, level], stations rising"`
}) (out struct {
	Room    quantity.Length `says:"below zero it drags"`
	Station quantity.Length
}, err error) {
	u := Undercarriage{Rig: Rig{Wheelbase: in.Wheelbase.Metres(), Tow: Body{Behind: in.Overhang.Metres()}}}
	h := in.Clearance.Metres()
	u.Tow = []Low{{"belly", u.Rig.Wheelbase, h}, {"belly", 0, h}}
	if in.Tail > 0 {
		u.Tow = append(u.Tow, Low{"tail", -in.Overhang.Metres(), in.Tail.Metres()})
	}
	var ground Profile
	for _, row := range in.Ground {
		if len(row) != 2 {
			return out, errors.New("a point of the profile is [station, level]")
		}
		ground = append(ground, geometry.Point{X: row[0], Y: row[1]})
	}
	s, err := u.Cross(ground, 0.005)
	out.Room, out.Station = quantity.Length(s.Room), quantity.Length(s.Station)
	return out, err
}
