package rollout

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
)

const degree = math.Pi / 180

// A pickup backs a trailer straight for its own tongue's length: one degree of bend grows by e.
func ExampleRig_Move() {
	r := Rig{Wheelbase: 3.7, Hitch: 1.2, Tongue: 6.1}
	end := r.Move(Pose{Trailer: -1 * degree}, Piece{0, -6.1})
	fmt.Printf("%.4f°\n", end.Bend()/degree)
	// Output: 2.7178°
}

func anyRig(t *rapid.T) Rig {
	r := travelTrailer()
	r.Wheelbase = rapid.Float64Range(2, 7).Draw(t, "wheelbase")
	r.Hitch = rapid.Float64Range(-0.5, 2).Draw(t, "hitch")
	r.Tongue = rapid.Float64Range(2, 9).Draw(t, "tongue")
	return r
}

func anyDrive(t *rapid.T, r Rig) Drive {
	d := Drive{From: Pose{At: pt(rapid.Float64Range(-5, 5).Draw(t, "x"), 0), Heading: rapid.Float64Range(-3, 3).Draw(t, "heading")}}
	d.From.Trailer = d.From.Heading - rapid.Float64Range(-1, 1).Draw(t, "bend")
	for range rapid.IntRange(1, 5).Draw(t, "pieces") {
		d.Pieces = append(d.Pieces, Piece{rapid.Float64Range(-1, 1).Draw(t, "steer") * r.Sharpest(), rapid.Float64Range(-6, 6).Draw(t, "distance")})
	}
	return d
}

func near(a, b Pose, tolerance float64) bool {
	return a.At.Distance(b.At) < tolerance && math.Abs(wrap(a.Heading-b.Heading)) < tolerance && math.Abs(wrap(a.Trailer-b.Trailer)) < tolerance
}

// Driving back along one's own tracks ends where one started. The trailer's equation amplifies rounding by e^{s/L1}, up to
// e^{15} over 30 m behind a 2 m tongue: 1e-16 · 3e6 leaves 1e-8 with room.
func TestWhatRollsRollsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		d := anyDrive(t, r)
		if back := r.End(r.Back(d)); !near(back, d.From, 1e-8) {
			t.Fatalf("from %+v back at %+v", d.From, back)
		}
	})
}

// The closed form and the integrator know nothing of one another. Tolerance 1e-6: the integrator's 1e-12 a step, amplified.
func TestClosedFormAgreesWithIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		d := anyDrive(t, r)
		p := d.From
		for _, piece := range d.Pieces {
			var err error
			if p, err = r.Follow(p, piece.Distance, func(float64, Pose) float64 { return piece.Curvature }, 1e-12); err != nil {
				t.Fatal(err)
			}
		}
		if exact := r.End(d); !near(p, exact, 1e-6) {
			t.Fatalf("integrated %+v, closed form %+v", p, exact)
		}
	})
}

// Held long enough, the steering brings every rig onto its steady circle; near the turn where the trailer folds it takes for ever,
// so bends over 75° are left out.
func TestHeldSteeringSettlesOnTheSteadyCircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		steer := rapid.Float64Range(2, 28).Draw(t, "steer") * degree
		c, err := r.Steady(steer)
		if err != nil || c.Bend > 75*degree {
			t.Skip("folds or nearly so")
		}
		p := r.Move(Pose{}, Piece{r.Curvature(steer), 800}) // at 75° a 9 m tongue closes in by e every 35 m
		if math.Abs(p.Bend()-c.Bend) > 1e-4 {
			t.Fatalf("bend %g, steady %g", p.Bend(), c.Bend)
		}
		centre := pt(0, c.Rear)
		if d := r.TrailerAt(p).Distance(centre); math.Abs(d-c.Trailer) > 1e-3 {
			t.Fatalf("trailer on %g, steady %g", d, c.Trailer)
		}
	})
}

func TestBendRunsOneWayWhileSteeringIsHeld(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRig(t)
		k, g := rapid.Float64Range(-1, 1).Draw(t, "k")*r.Sharpest(), rapid.Float64Range(-1, 1).Draw(t, "bend")
		p, way := Pose{Trailer: -g}, 0.0
		for i := 1; i <= 40; i++ {
			b := r.Move(p, Piece{k, 0.1 * float64(i)}).Bend() - r.Move(p, Piece{k, 0.1 * float64(i-1)}).Bend()
			if b*way < -1e-12 {
				t.Fatalf("turns round at %g m", 0.1*float64(i))
			}
			way = b
		}
	})
}

// More and bigger things never leave more room.
func TestMoreThingsNeverLeaveMoreRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := travelTrailer()
		d := anyDrive(t, r)
		disc := func(name string) Obstacle {
			return Obstacle{At: pt(rapid.Float64Range(-15, 15).Draw(t, name+"x"), rapid.Float64Range(-15, 15).Draw(t, name+"y")), Radius: rapid.Float64Range(0, 1).Draw(t, name+"r")}
		}
		a, b := disc("a"), disc("b")
		// 20 mm: the poses looked at follow the room there is, and where bodies overlap they are that far apart.
		alone := r.Clearance(d, []Obstacle{a}).Clearance
		if both := r.Clearance(d, []Obstacle{a, b}).Clearance; both > alone+stride {
			t.Fatalf("one leaves %g, two %g", alone, both)
		}
		a.Radius += 0.5
		if bigger := r.Clearance(d, []Obstacle{a}).Clearance; bigger > alone-0.5+stride {
			t.Fatalf("%g, half a metre thicker %g", alone, bigger)
		}
	})
}

// Clearance by boxes and capsules against the polygon distance of the geometry engine, over closely set poses.
func TestClearanceAgreesWithPolygonDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := travelTrailer()
		d := anyDrive(t, r)
		x, y := rapid.Float64Range(-15, 15).Draw(t, "x"), rapid.Float64Range(-15, 15).Draw(t, "y")
		house := geometry.Rectangle(rapid.Float64Range(0.5, 8).Draw(t, "w"), rapid.Float64Range(0.5, 8).Draw(t, "h")).Translate(pt(x, y))
		least := math.Inf(1)
		for _, p := range r.Along(d, 0.05) {
			for _, b := range r.Bodies(p) {
				least = min(least, b.DistanceTo(house))
			}
		}
		got := max(0, r.Clearance(d, []Obstacle{{Solid: true, Line: house.Outer}}).Clearance)
		// 0.05 m apart a corner moves up to 0.15 m between two poses and may miss a minimum by a third of that; the poses of
		// Clearance, 20 mm apart, miss one by under 2 mm.
		if got > least+0.002 || got < least-0.05 {
			t.Fatalf("clearance %g, polygons %g", got, least)
		}
	})
}

func TestAWireStopsOnlyTheTall(t *testing.T) {
	r := travelTrailer()
	d := Drive{Pieces: []Piece{{0, 20}}}
	wire := Obstacle{Name: "eave", Line: []geometry.Point{pt(10, -5), pt(10, 5)}, Free: 2.6}
	if c := r.Clearance(d, []Obstacle{wire}); c.Clearance >= 0 || !c.Trailer {
		t.Errorf("a 3.2 m trailer under a 2.6 m eave: %+v", c)
	}
	wire.Free = 4
	if c := r.Clearance(d, []Obstacle{wire}); c.Clearance < 1 {
		t.Errorf("under 4 m: %+v", c)
	}
}

func TestShortestDrivesArriveAndAreNoLongerThanTheirParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pose := func(n string) Pose {
			return Pose{At: pt(rapid.Float64Range(-6, 6).Draw(t, n+"x"), rapid.Float64Range(-6, 6).Draw(t, n+"y")), Heading: rapid.Float64Range(-3.14, 3.14).Draw(t, n+"h")}
		}
		a, b, c := pose("a"), pose("b"), pose("c")
		ab, bc, ac := Shortest(a, b, 1.7), Shortest(b, c, 1.7), Shortest(a, c, 1.7)
		if end := (Rig{}).End(ac); end.At.Distance(c.At) > 1e-6 || math.Abs(wrap(end.Heading-c.Heading)) > 1e-6 {
			t.Fatalf("ends at %+v, not %+v", end, c)
		}
		if ac.Length() > ab.Length()+bc.Length()+1e-6 {
			t.Fatalf("a–c %g is longer than a–b–c %g", ac.Length(), ab.Length()+bc.Length())
		}
		if back := Shortest(c, a, 1.7).Length(); math.Abs(back-ac.Length()) > 1e-6 {
			t.Fatalf("there %g, back %g", ac.Length(), back)
		}
		if ac.Length() < a.At.Distance(c.At)-1e-9 {
			t.Fatal("shorter than straight")
		}
	})
}

func TestSweptGroundHoldsEveryPose(t *testing.T) {
	r := travelTrailer()
	d := Drive{Pieces: []Piece{{r.Sharpest() * 0.7, 9}, {-0.05, -6}}}
	swept, err := r.Swept(d, 0.3)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range r.Along(d, 0.11) {
		for _, b := range r.Bodies(p) {
			for _, c := range b.Outer {
				off := math.Inf(1)
				for _, s := range swept {
					off = min(off, s.Distance(c))
				}
				// 5 mm: the bulge of a corner between two poses 0.3 m apart, see Swept.
				if off > 0.005 {
					t.Fatalf("corner %v is %g m outside", c, off)
				}
			}
		}
	}
}

// A crest with tan(β/2) = 2h/L just touches (SITE-28); any sharper one drags, any gentler one does not.
func TestCrestsDragWhenTheFormulaSaysSo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wheelbase, h := rapid.Float64Range(2.5, 11).Draw(t, "wheelbase"), rapid.Float64Range(0.1, 0.4).Draw(t, "clearance")
		share := rapid.SampledFrom([]float64{0.8, 0.95, 1.05, 1.3}).Draw(t, "share")
		slope := share * 2 * h / wheelbase
		u := Undercarriage{Rig: Rig{Wheelbase: wheelbase}, Tow: []Low{{"belly", wheelbase, h}, {"belly", 0, h}}}
		s, err := u.Cross(Profile{pt(-30, -30*slope), pt(0, 0), pt(30, -30*slope)}, 0.01)
		if err != nil || (s.Room < 0) != (share > 1) {
			t.Fatalf("share %g: room %g, %v", share, s.Room, err)
		}
	})
}

// On a straight way over gentle breaks the rig in plan and the rig in the side view keep the same room. Tolerance 20 mm: levels
// seen in the small, the underside every quarter metre and poses every 50 mm against breaks of up to a sixth.
func TestOverAgreesWithCrossOnStraightWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := travelTrailer()
		u := Undercarriage{Rig: r, Coupler: 0.45, Tow: []Low{{"belly", r.Wheelbase, 0.2}, {"belly", 0, 0.2}, {"bumper", -r.Tow.Behind, 0.35}},
			Trailer: []Low{{"jack", r.Tongue - 0.4, 0.2}, {"belly", 0, 0.3}, {"tail", -r.Trailer.Behind, 0.35}}}
		ground := Profile{pt(-60, 0)}
		for x, z := -6.0, 0.0; x <= 6; x += 3 {
			z += rapid.Float64Range(-0.25, 0.25).Draw(t, "rise")
			ground = append(ground, pt(x, z))
		}
		ground = append(ground, pt(60, ground[len(ground)-1].Y))
		side, err := u.Cross(ground, 0.02)
		if err != nil {
			t.Fatal(err)
		}
		poses := r.Along(Drive{From: Pose{At: pt(-20, 0)}, Pieces: []Piece{{0, 45}}}, 0.05)
		plan, rolled := u.Over(poses, func(p geometry.Point) (float64, bool) { return ground.Level(p.X), true })
		if rolled != len(poses) || math.Abs(plan.Room-side.Room) > 0.02 {
			t.Fatalf("in plan %+v over %d of %d poses, from the side %+v", plan, rolled, len(poses), side)
		}
		mirror, _ := u.Over(poses, func(p geometry.Point) (float64, bool) { return ground.Level(p.X), p.X < 0 })
		if mirror.Room < plan.Room-1e-9 {
			t.Fatalf("less known ground leaves less room: %g, %g", mirror.Room, plan.Room)
		}
	})
}

// A cross fall alone lifts nothing: the body leans with its wheels.
func TestACrossFallLeavesTheRoomThereWas(t *testing.T) {
	u := Undercarriage{Rig: Rig{Wheelbase: 3.7, Tow: Body{Ahead: 4.6, Behind: 1.1, Width: 2}}, Tow: []Low{{"belly", 3.7, 0.2}, {"belly", 0, 0.2}}}
	s, n := u.Over([]Pose{{At: pt(3, 4), Heading: 0.7}}, func(p geometry.Point) (float64, bool) { return 0.04*p.X - 0.03*p.Y, true })
	if n != 1 || math.Abs(s.Room-0.2) > 1e-12 {
		t.Errorf("%+v over %d", s, n)
	}
	if s, n = u.Over([]Pose{{}}, func(geometry.Point) (float64, bool) { return 0, false }); n != 0 || !math.IsInf(s.Room, 1) {
		t.Errorf("unknown ground: %+v over %d", s, n)
	}
}

// A curb stops wheels: the tail may hang over it, the axle may not roll over it.
func TestACurbStopsWheelsOnly(t *testing.T) {
	r := Rig{Wheelbase: 3.4, Lock: 30 * degree, Tow: Body{Ahead: 4.3, Behind: 1.5, Width: 2}}
	curb := Obstacle{Name: "curb", Line: []geometry.Point{pt(-1, -5), pt(-1, 5)}, Wheels: true}
	if c := r.Clearance(Drive{From: Pose{At: pt(1, 0)}, Pieces: []Piece{{0, -1.5}}}, []Obstacle{curb}); math.Abs(c.Clearance-0.5) > 1e-9 || c.Near.Distance(pt(-1, 0)) > 1 {
		t.Errorf("half a metre before the curb, tail over it: %+v", c)
	}
	if c := r.Clearance(Drive{From: Pose{At: pt(1, 0)}, Pieces: []Piece{{0, -2.5}}}, []Obstacle{curb}); c.Clearance >= 0 {
		t.Errorf("over the curb: %+v", c)
	}
	curb.Wheels = false
	if c := r.Clearance(Drive{From: Pose{At: pt(1, 0)}, Pieces: []Piece{{0, -1.5}}}, []Obstacle{curb}); c.Clearance >= 0 {
		t.Errorf("a fence there: %+v", c)
	}
}
