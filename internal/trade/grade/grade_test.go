package grade

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

// pad is the three-number job: 14 by 40 ft, 6 in, nothing else known.
func pad() Input {
	in := Defaults()
	in.Outline = geometry.Rectangle(quantity.Feet(40).Metres(), quantity.Feet(14).Metres())
	in.Thickness = known.Say(quantity.Inches(6))
	return in
}

func feet(v float64) known.Length { return known.Say(quantity.Feet(v)) }

func spot(x, y, z float64) Spot {
	return Spot{At: geometry.Point{X: quantity.Feet(x).Metres(), Y: quantity.Feet(y).Metres()}, Elevation: feet(z)}
}

// apron is the pad against a shop, measured.
func apron() Input {
	in := pad()
	in.Against = []string{"", "", "shop wall", ""}
	in.Ground = []Spot{spot(-3, -3, 99.1), spot(43, -3, 98.9), spot(43, 17, 99.5), spot(-3, 17, 99.6), spot(20, 7, 99.3)}
	return in
}

func mustDesign(t interface{ Fatal(...any) }, in Input) Result {
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func ExampleDesign() {
	r, err := Design(pad())
	fmt.Println(r.Direction, quantity.Show(r.Fall, quantity.AsDrop).String(quantity.US), quantity.Show(r.BaseVolume, quantity.AsVolume).String(quantity.US), r.Lifts, err)
	// Output: to side AB 3 3/8 in 8.30 yd³ 3 <nil>
}

func TestWithoutShotsTheHighestCornerIsOneHundred(t *testing.T) {
	for units, want := range map[quantity.System]float64{quantity.US: quantity.Feet(100).Metres(), quantity.Metric: 100} {
		in := pad()
		in.Units = units
		r := mustDesign(t, in)
		top := math.Inf(-1)
		for _, c := range r.Corners {
			top = math.Max(top, c.Elevation.Metres())
			if c.Rod != 0 {
				t.Error("a rod reading without an instrument")
			}
		}
		// 1e-9: a level near 100 carries rounding of 1e-14.
		if math.Abs(top-want) > 1e-9 {
			t.Errorf("%v: highest corner at %v", units, top)
		}
		if low := r.Corners[0]; math.Abs(float64(low.Elevation-low.Ground-in.Reveal.Value)) > 1e-9 {
			t.Errorf("low edge stands %v above the ground", low.Elevation-low.Ground)
		}
	}
}

func TestWaterLeavesTheWallAndTiesAreMet(t *testing.T) {
	in := apron()
	in.Height = feet(104.62)
	in.Ties = []Tie{{Corner: "D", Elevation: feet(100), Step: known.Say(quantity.Inches(1)), Name: "threshold"}}
	r := mustDesign(t, in)
	if r.Direction != "away from shop wall" || r.Plane.C < 0.02-1e-6 {
		t.Errorf("water runs %s at %v", r.Direction, r.Plane.C)
	}
	d := r.Corners[3]
	// 1e-6 m: the program settles to a millionth of what a rod reads.
	if math.Abs(d.Elevation.Feet()-(100-1.0/12)) > 3e-6 || math.Abs(float64(d.Rod-(in.Height.Value-d.Set))) > 1e-12 {
		t.Errorf("corner D at %v ft, rod %v ft", d.Elevation.Feet(), d.Rod.Feet())
	}
	if find(r.Checks, "grade.to-building").Level != check.Good {
		t.Error("falls away from the wall, and the check does not say so")
	}
}

func find(checks []check.Check, id check.ID) check.Check {
	for _, c := range checks {
		if c.ID == id {
			return c
		}
	}
	return check.Check{}
}

func TestACeilingIsKept(t *testing.T) {
	in := apron()
	in.Ties = []Tie{{Side: "CD", Elevation: feet(99.4), Step: known.Say(quantity.Inches(0.5)), Kind: Below, Name: "sill"}}
	r := mustDesign(t, in)
	for _, c := range r.Corners[2:] {
		if c.Elevation.Feet() > 99.4-0.5/12+1e-5 {
			t.Errorf("corner %s at %v ft, over the sill", c.Name, c.Elevation.Feet())
		}
	}
}

func TestADirectionCanBeSaid(t *testing.T) {
	for _, c := range []struct {
		says string
		x, y float64
	}{{"to side BC", 1, 0}, {"side DA", -1, 0}, {"south", 0, -1}, {"E", 1, 0}, {"180", 0, -1}, {"to 90 deg", 1, 0}, {"away from the shop wall", 0, -1}, {"away from wall", 0, -1}} {
		in := apron()
		in.Drain = known.Say(c.says)
		r := mustDesign(t, in)
		if fall := -(r.Plane.B*c.x + r.Plane.C*c.y); fall < float64(in.Least.Value)-1e-7 {
			t.Errorf("%s: falls %v", c.says, fall)
		}
	}
	for _, bad := range []string{"downhill", "to side AC", "NaN", "away from barn"} {
		in := apron()
		in.Drain = known.Say(bad)
		if _, err := Design(in); !isFault(err, "grade.drain") {
			t.Errorf("%s gave %v", bad, err)
		}
	}
}

func isFault(err error, field string) bool {
	var faults check.Faults
	return errors.As(err, &faults) && len(faults) == 1 && faults[0].Field == field && faults[0].Why != "" && faults[0].Type != ""
}

func TestTowardAWallIsThePersonsChoiceAndIsToldOff(t *testing.T) {
	in := apron()
	in.Drain = known.Say("to side CD")
	if c := find(mustDesign(t, in).Checks, "grade.to-building"); c.Level != check.Stop {
		t.Errorf("water to the wall gives %+v", c)
	}
}

func TestTiesThatCannotBeMetAreNamed(t *testing.T) {
	in := pad()
	in.Drain = known.Say("to side AB")
	in.Ties = []Tie{{Corner: "D", Elevation: feet(100), Name: "threshold"}, {Corner: "A", Elevation: feet(99.86), Name: "walk"}}
	_, err := Design(in)
	if !isFault(err, "grade.ties") {
		t.Fatal(err)
	}
	for _, words := range []string{"corner D (threshold) at exactly 100.00 ft", "corner A (walk) at exactly 99.86 ft", "at least 2.00 % to side AB", "least_slope: 1.00%"} {
		if !strings.Contains(err.Error(), words) {
			t.Errorf("%q is not in: %v", words, err)
		}
	}
	in.Least = known.Say(quantity.Slope(0.01))
	if _, err := Design(in); err != nil {
		t.Errorf("what the fault told to type does not work: %v", err)
	}
}

func TestBaseAsShotMakesTheConcrete(t *testing.T) {
	in := apron()
	drawn := mustDesign(t, in)
	low := quantity.Inches(0.5)
	for _, p := range []geometry.Point{{X: -1, Y: -1}, {X: 14, Y: -1}, {X: 14, Y: 5.5}, {X: -1, Y: 5.5}} {
		in.BaseShots = append(in.BaseShots, Spot{At: p, Elevation: known.Say(quantity.Length(drawn.Plane.At(p)) - in.Thickness.Value - low)})
	}
	r := mustDesign(t, in)
	want := float64(drawn.NetVolume) * 6.5 / 6
	// 1e-9 relative: the overlay is exact for a plane.
	if math.Abs(float64(r.NetVolume)/want-1) > 1e-9 {
		t.Errorf("%v m³, not %v", r.NetVolume, want)
	}
	if find(r.Checks, "grade.over-dug").Level != check.Care || find(r.Checks, "grade.thin").Level == check.Stop {
		t.Error("8 % over the drawing passes, or a thick slab is called thin")
	}
	in.BaseShots = []Spot{{At: geometry.Point{X: 1, Y: 1}, Elevation: known.Say(quantity.Length(drawn.Plane.At(geometry.Point{X: 1, Y: 1})) - quantity.Inches(4))}}
	if c := find(mustDesign(t, in).Checks, "grade.thin"); c.Level != check.Stop {
		t.Errorf("4 in where 6 are drawn gives %+v", c)
	}
}

func TestNothingIsDugBehindAWall(t *testing.T) {
	in := apron()
	r := mustDesign(t, in)
	if area := quantity.Area(geometryArea(r.Dig)).SquareFeet(); math.Abs(area-15*42) > 1e-6 {
		t.Errorf("dig %v ft²", area)
	}
	for _, p := range r.Dig {
		if p.Bounds().Max.Y > quantity.Feet(14).Metres()+1e-9 {
			t.Error("dug behind the wall")
		}
	}
}

func geometryArea(pieces []geometry.Polygon) float64 {
	area := 0.0
	for _, p := range pieces {
		area += p.Area()
	}
	return area
}

func TestBoxOutsAreNeitherDugNorPoured(t *testing.T) {
	in := apron()
	in.Outline.Holes = [][]geometry.Point{{{X: 3, Y: 1}, {X: 3, Y: 2}, {X: 4, Y: 2}, {X: 4, Y: 1}}}
	solid, holed := mustDesign(t, apron()), mustDesign(t, in)
	if gone := geometryArea(solid.Dig) - geometryArea(holed.Dig); math.Abs(gone-1) > 1e-9 {
		t.Errorf("dig lost %v m², not 1", gone)
	}
	if holed.NetVolume >= solid.NetVolume {
		t.Error("the box-out is poured")
	}
}

func TestFaultsAreAllFound(t *testing.T) {
	in := apron()
	in.Thickness = known.Length{}
	in.Soil = known.Say(Soil("mud"))
	in.Ground[1].Elevation = known.Say(quantity.Length(math.NaN()))
	in.Against = []string{"a"}
	_, err := Design(in)
	var faults check.Faults
	if !errors.As(err, &faults) || len(faults) != 4 {
		t.Fatalf("%d faults: %v", len(faults), err)
	}
	in = apron()
	in.Ties = []Tie{{Corner: "Q", Elevation: feet(1)}, {Side: "AC", Elevation: feet(1)}, {Elevation: feet(1)}, {Corner: "A"}, {Corner: "A", Elevation: feet(1), Kind: "near"}}
	if _, err = Design(in); !errors.As(err, &faults) || len(faults) != 5 {
		t.Fatalf("%d faults: %v", len(faults), err)
	}
	in = apron()
	in.Against = []string{"n", "o", "p", "q"}
	if _, err = Design(in); !isFault(err, "grade.drain") {
		t.Error(err)
	}
	in = apron()
	in.Ground = append(in.Ground, in.Ground[0])
	in.Ground[5].Elevation = feet(97)
	if _, err = Design(in); !isFault(err, "grade.ground[6]") {
		t.Error(err)
	}
}

func TestPicturesSayWhatTheyFind(t *testing.T) {
	in := apron()
	r := mustDesign(t, in)
	pictures := Picture(in, r)
	if len(pictures) != 3 || pictures[0].Title != "Water runs away from shop wall and leaves at corner "+r.Low {
		t.Fatalf("%d pictures, first %q", len(pictures), pictures[0].Title)
	}
	if rows := pictures[0].Table.Rows; len(rows) != len(r.Stakes) || len(rows[0]) != len(pictures[0].Table.Header) {
		t.Errorf("stake table has %d rows for %d stakes", len(rows), len(r.Stakes))
	}
	if got := slopeLabel(0.02, in); got != "2.0 %\n1/4\"/FT" {
		t.Errorf("slope reads %q", got)
	}
	in.Units = quantity.Metric
	if got := slopeLabel(0.02, in); got != "2.0 %\n20 mm/m" {
		t.Errorf("slope reads %q", got)
	}
}

func TestTheZeroLinePartsDigFromFill(t *testing.T) {
	in := pad()
	in.Ground = []Spot{spot(-3, -3, 98.4), spot(43, -3, 98.4), spot(43, 17, 100.2), spot(-3, 17, 100.2)}
	in.Drain = known.Say("to side AB")
	in.Ties = []Tie{{Side: "CD", Elevation: feet(100)}, {Side: "AB", Elevation: feet(99.7)}}
	r := mustDesign(t, in)
	if r.Fill <= 0 || r.Cut <= 0 || len(r.Zero) == 0 {
		t.Fatalf("cut %v, fill %v, %d pieces of zero line", r.Cut, r.Fill, len(r.Zero))
	}
	for _, z := range r.Zero {
		for _, p := range []geometry.Point{z.A, z.B} {
			ground := 98.4 + 1.8*(p.Y/quantity.Feet(1).Metres()+3)/20
			// 1e-6 m: the plane is settled to that.
			if gap := quantity.Feet(ground).Metres() - (r.Plane.At(p) - in.depth()); math.Abs(gap) > 1e-6 {
				t.Fatalf("%v from cut to fill", gap)
			}
		}
	}
	if r.StoneVolume != r.BaseVolume+r.Fill {
		t.Error("fill is not made of stone")
	}
}
