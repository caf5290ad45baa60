package order

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func houseDrive(inches float64) Drive {
	return Drive{quantity.Inches(inches), quantity.PSI(3000), quantity.Of[quantity.SubgradeModulus](100, "pci")}
}

// TestTheDriveAgainstPlateElements: the same four pairs of tyres on a panel of elements, 14 radii long and 9 wide. 3 %: the panel ends.
func TestTheDriveAgainstPlateElements(t *testing.T) {
	d, pair := houseDrive(6), quantity.Of[quantity.Mass](40000, "lb")
	got, _ := d.EdgeStress(pair)
	s := plate.Slab{Thickness: d.Thickness.Metres(), Modulus: elasticSI * math.Sqrt(d.Strength.MPa()), Poisson: poisson, Support: float64(d.Support)}
	s.Panels = []plate.Panel{{Outline: plate.Polygon{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 6}, {X: 0, Y: 6}}}}
	force := float64(pair) * gravity / 4
	along := force / tyrePress / setWide
	var load plate.Load
	for _, x := range []float64{5, 5 + axlesApart} {
		for _, y := range []float64{setWide / 2, setWide/2 + setsApart} {
			load.Patches = append(load.Patches, plate.Rectangle(plate.Point{X: x, Y: y}, along, setWide, force))
		}
	}
	r, err := plate.Solve(context.Background(), s, load, plate.Mesh{})
	if err != nil {
		t.Fatal(err)
	}
	state, err := r.At(0, plate.Point{X: 5, Y: 0})
	if err != nil {
		t.Fatal(err)
	}
	if want := state.Bottom.X; math.Abs(float64(got)/want-1) > 0.03 {
		t.Errorf("%.3f MPa at the edge, elements %.3f", got.MPa(), want/1e6)
	}
}

// A thicker drive on stiffer ground bears more, a heavier axle less.
func TestAThickerDriveBearsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, pair := houseDrive(rapid.Float64Range(3, 9).Draw(t, "inches")), quantity.Mass(rapid.Float64Range(5000, 22000).Draw(t, "pair"))
		used := func(d Drive, pair quantity.Mass) float64 { s, c := d.EdgeStress(pair); return float64(s / c) }
		thicker, firmer := d, d
		thicker.Thickness *= 1.2
		firmer.Support *= 1.5
		if now := used(d, pair); used(thicker, pair) >= now || used(firmer, pair) >= now || used(d, 1.2*pair) <= now {
			t.Fatalf("%v under %v: %v", d, pair, now)
		}
	})
}

func TestTheDriveIsJudged(t *testing.T) {
	ask := func(change func(*Input)) Result { return designed(t, change) }
	for name, c := range map[string]struct {
		change func(*Input)
		want   check.Level
	}{
		"nobody said":      {func(*Input) {}, check.Care},
		"measured at 4 in": {func(in *Input) { in.DriveThick = known.Say(quantity.Inches(4)) }, check.Stop},
		"a foot thick":     {func(in *Input) { in.DriveThick = known.Say(quantity.Inches(12)) }, check.Good},
	} {
		if got := level(ask(c.change), "order.drive"); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	for _, c := range ask(func(in *Input) { in.OverDrive = known.Say(false) }).Checks {
		if c.ID == "order.drive" {
			t.Errorf("no drive is crossed, yet %q", c.Says)
		}
	}
}

// TestBarrowsSetThePace: half of it through barrows that bring 2.5 yd³/h, at 10 by the chute: 1/(0.5/10 + 0.5/2.5) = 4 yd³/h; the trucks
// come that much slower. Barrows that bring more than the crew places change nothing.
func TestBarrowsSetThePace(t *testing.T) {
	perHour := func(v float64) quantity.VolumeRate { return quantity.Of[quantity.VolumeRate](v, "yd3/h") }
	carried := func(rate float64) Result {
		return designed(t, func(in *Input) {
			in.Rate, in.Carried, in.CarryRate = known.Say(perHour(10)), known.Say(quantity.Percent(0.5)), known.Say(perHour(rate))
		})
	}
	slow, quick := carried(2.5), carried(12)
	if got := quantity.In(slow.Pace, "yd3/h"); math.Abs(got-4) > 1e-9 {
		t.Errorf("%v yd3/h", got)
	}
	if quick.Pace != perHour(10) || slow.Spacing <= quick.Spacing {
		t.Errorf("pace %v, spacing %v against %v", quick.Pace, slow.Spacing, quick.Spacing)
	}
}
