package rollout

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
)

// planned is the rig as a driver plans with it: a fifth of the lock kept for corrections.
func planned(t Task) Task {
	t.Rig.Lock *= 0.8
	t.Within = geometry.Box{Min: pt(4, -5), Max: pt(44, 35)}
	return t
}

func found(t *testing.T, k Task) Drive {
	t.Helper()
	a, err := Search(k)
	if err != nil || a.Verdict != Found {
		t.Fatalf("%v, %v", a.Verdict, err)
	}
	return Smooth(k, a.Drive)
}

func TestATypicalYardIsSolvedAndHoldsWhenReplayed(t *testing.T) {
	k := planned(yardTask(4))
	d := found(t, k)
	full := travelTrailer()
	if c := full.Clearance(d, k.Obstacles); c.Clearance < 0.25 {
		t.Errorf("room %g m", c.Clearance)
	}
	in := full.Back(d)
	if end := full.End(in); !near(end, k.From, 1e-6) {
		t.Errorf("parks at %+v, not %+v", end, k.From)
	}
	trials, err := full.Replay(in, k.Obstacles, UsualDriver(), UsualTolerance(), 200, 1)
	if err != nil || trials.Share() < 0.95 {
		t.Errorf("made %v of the time, %v", trials.Share(), err)
	}
}

func TestANarrowGateIsProvenImpossible(t *testing.T) {
	for _, gate := range []float64{2.3, 3.1} {
		a, err := Search(planned(yardTask(gate)))
		if err != nil || a.Verdict != Exhausted && a.Verdict != NoWay || len(a.Stoppers) == 0 || a.Stoppers[0] > 1 {
			t.Errorf("gate %g: %v, stopped by %v, %v", gate, a.Verdict, a.Stoppers, err)
		}
	}
}

func TestSearchIsTheSameTwice(t *testing.T) {
	k := planned(yardTask(5))
	if a, b := found(t, k), found(t, k); !reflect.DeepEqual(a, b) {
		t.Error("two runs differ")
	}
}

func TestAParkedRigInATreeIsBlocked(t *testing.T) {
	k := planned(yardTask(5))
	k.Obstacles = append(k.Obstacles, Obstacle{Name: "oak", At: k.From.At, Radius: 0.3})
	if a, err := Search(k); err != nil || a.Verdict != Blocked || a.Stoppers[0] != len(k.Obstacles)-1 {
		t.Errorf("%+v, %v", a, err)
	}
}

func TestTasksThatCannotBeAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Task){
		"no lock":     func(k *Task) { k.Rig.Lock = 0 },
		"nowhere":     func(k *Task) { k.To = nil },
		"not finite":  func(k *Task) { k.From.At.X = math.NaN() },
		"huge":        func(k *Task) { k.Within.Max.X = 1e9 },
		"fine":        func(k *Task) { k.Lattice.Cell = 1e-6 },
		"thin fence":  func(k *Task) { k.Obstacles[0].Line = k.Obstacles[0].Line[:1] },
		"free travel": func(k *Task) { k.Costs.Forward = 0 },
	} {
		k := planned(yardTask(5))
		spoil(&k)
		if _, err := Search(k); err == nil {
			t.Errorf("%s is searched", name)
		}
	}
}

// smallWorld is a car among a few round things, small enough to search to the end.
func smallWorld(t *rapid.T) Task {
	car := Rig{Wheelbase: 2.6, Lock: 30 * degree, Tow: Body{Ahead: 3.4, Behind: 0.9, Width: 1.8}}
	k := Task{Rig: car, From: Pose{At: pt(6, 6), Heading: math.Pi / 2, Trailer: math.Pi / 2},
		To:   []Berth{{Line: geometry.Segment{A: pt(2, 1.5), B: pt(10, 1.5)}, Either: true}},
		Side: 0.6, Turn: 10 * degree, Bend: 1, Within: geometry.Box{Max: pt(12, 12)}, Margin: 0.1, Room: 0.5,
		Costs: UsualCosts(), Lattice: UsualLattice(), Greed: 1, Most: 1_000_000}
	wall := []geometry.Point{pt(-1.5, -1.5), pt(13.5, -1.5), pt(13.5, 13.5), pt(-1.5, 13.5), pt(-1.5, -1.5)}
	k.Obstacles = append(k.Obstacles, Obstacle{Name: "wall", Line: wall})
	for range rapid.IntRange(2, 6).Draw(t, "things") {
		k.Obstacles = append(k.Obstacles, Obstacle{Name: "post", At: pt(rapid.Float64Range(0, 12).Draw(t, "x"), rapid.Float64Range(0, 12).Draw(t, "y")), Radius: rapid.Float64Range(0.1, 0.6).Draw(t, "r")})
	}
	return k
}

// A finer lattice searched to the end agrees, within what the margin and the coarse lattice leave open: what the usual
// lattice finds is a drive that really clears; what it finds impossible, a finer one that keeps 0.3 m more room does too.
func TestAFinerLatticeAgreesOnSmallWorlds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := smallWorld(t)
		a, err := Search(k)
		if err != nil {
			t.Fatal(err)
		}
		switch a.Verdict {
		case Found:
			// Poses 0.34 m apart let a thin post come closer than the margin between them, by no more than half of that turned.
			if c := k.Rig.Clearance(a.Drive, k.Obstacles).Clearance; c < k.Margin-0.1 {
				t.Fatalf("found a drive with %g m of room", c)
			}
		case Exhausted:
			k.Lattice = Lattice{Cell: 0.3, Turn: 5 * degree, Bend: 5 * degree, Step: 0.5, Steered: 2}
			k.Margin += 0.3
			if fine, err := Search(k); err != nil || fine.Verdict == Found {
				t.Fatalf("finer: %v after %d poses, usual: %v after %d, %v", fine.Verdict, fine.Looked, a.Verdict, a.Looked, err)
			}
		}
	})
}

// The estimate never exceeds what remains: at every pose of a drive that arrives, the way still to drive costs at least as much.
// 1e-4: estimates are kept with seven digits.
func TestTheEstimateNeverExceedsWhatRemains(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := smallWorld(t)
		k.Greed = 1.5
		a, err := Search(k)
		if err != nil || a.Verdict != Found {
			t.Skip("no drive")
		}
		u := newGuide(k, &k.Rig.on(k.Obstacles).bodies[0])
		remains := a.Drive.Length() * min(k.Costs.Forward, k.Costs.Reverse)
		p := a.Drive.From
		for _, piece := range a.Drive.Pieces {
			if rest := u.rest(p); rest > remains+1e-4 {
				t.Fatalf("%g m to drive, estimated %g", remains, rest)
			}
			p = k.Rig.Move(p, piece)
			remains -= math.Abs(piece.Distance) * min(k.Costs.Forward, k.Costs.Reverse)
		}
	})
}

func TestReplayIsTheSameTwiceAndRefusesNonsense(t *testing.T) {
	r := travelTrailer()
	d := Drive{Pieces: []Piece{{0.05, -8}, {0, 6}}}
	a, err := r.Replay(d, nil, UsualDriver(), UsualTolerance(), 50, 7)
	b, _ := r.Replay(d, nil, UsualDriver(), UsualTolerance(), 50, 7)
	if err != nil || !reflect.DeepEqual(a, b) {
		t.Errorf("two replays differ, %v", err)
	}
	if _, err := r.Replay(d, nil, Driver{}, UsualTolerance(), 50, 7); err == nil {
		t.Error("a driver who never looks is replayed")
	}
}

// Two pull-forwards on the way in are found, and hold when replayed.
func TestPullForwardsAreFoundWhereTheyAreNeeded(t *testing.T) {
	k := planned(narrowYard())
	in := k.Rig.Back(found(t, k))
	pulls, reversed := 0, false
	for _, leg := range in.Legs() {
		back := in.Pieces[leg[0]].Distance < 0
		if reversed && !back {
			pulls++
		}
		reversed = reversed || back
	}
	trials, err := travelTrailer().Replay(in, k.Obstacles, UsualDriver(), UsualTolerance(), 200, 1)
	if err != nil || pulls != 2 || trials.Share() < 0.95 {
		t.Errorf("%d pull-forwards, made %v of the time, %v", pulls, trials.Share(), err)
	}
}

// BenchmarkTypicalYard: 30 things, a 13 ft gate, two pull-forwards; a person waits for it (budget 1 s on one core).
func BenchmarkTypicalYard(b *testing.B) {
	k := planned(narrowYard())
	for b.Loop() {
		a, _ := Search(k)
		Smooth(k, a.Drive)
	}
}

// BenchmarkEasyYard: the same with room to turn (budget 150 ms).
func BenchmarkEasyYard(b *testing.B) {
	k := planned(yardTask(4))
	for b.Loop() {
		a, _ := Search(k)
		Smooth(k, a.Drive)
	}
}

// BenchmarkProvenImpossible: budget 5 s.
func BenchmarkProvenImpossible(b *testing.B) {
	k := planned(yardTask(3.1))
	for b.Loop() {
		Search(k)
	}
}

// BenchmarkThousandReplays: budget 500 ms.
func BenchmarkThousandReplays(b *testing.B) {
	k := planned(yardTask(4))
	a, _ := Search(k)
	in := k.Rig.Back(Smooth(k, a.Drive))
	for b.Loop() {
		travelTrailer().Replay(in, k.Obstacles, UsualDriver(), UsualTolerance(), 1000, 1)
	}
}
