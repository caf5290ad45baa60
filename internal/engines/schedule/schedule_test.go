package schedule

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/calc/calctest"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }

// The formula and the events agree: at the formula's area nothing is late, one strip more and something is.
func TestKeepUpIsWhereTheFirstStripIsLate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Following{Strip: rapid.Float64Range(1, 20).Draw(t, "strip"), Placing: rapid.Float64Range(40, 90).Draw(t, "placing"),
			Finishing: rapid.Float64Range(10, 35).Draw(t, "finishing"), Opens: rapid.Float64Range(0, 3).Draw(t, "opens")}
		f.Closes = f.Opens + rapid.Float64Range(2.5, 4).Draw(t, "width")
		f.Area = KeepUp(f.Opens, f.Closes, f.Finishing, f.Placing, f.Strip)
		for _, more := range []float64{0, f.Strip} {
			day := f
			day.Area += more
			strips, err := day.Strips()
			if err != nil {
				t.Fatal(err)
			}
			if late := strips[len(strips)-1].Late(); late != (more > 0) {
				t.Fatalf("area %v of %v: late %v", day.Area, f.Area, late)
			}
		}
	})
}

func TestSimulationComesToTheLongRun(t *testing.T) {
	want, err := LongRun(2, 4, 0)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Simulate(2, 0.25, 200_000, 11)
	if err != nil || math.Abs(got.Wait-want.Wait) > 0.03*want.Wait {
		t.Errorf("waits %v, long run %v, %v", got.Wait, want.Wait, err)
	}
	short, _ := Simulate(3, 0.25, 6, 11)
	long, _ := LongRun(3, 4, 0)
	if short.Wait >= long.Wait {
		t.Errorf("six trucks wait %v, longer than the long run's %v", short.Wait, long.Wait)
	}
}

// The longest path bounds every path, no activity starts before what it waits for ends, and what lies on the path has no
// float.
func TestNetworkOfAnyShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		activities := make([]Activity, n)
		for i := range activities {
			low := rapid.Float64Range(0, 5).Draw(t, "low")
			likely := low + rapid.Float64Range(0, 5).Draw(t, "more")
			activities[i] = Activity{Name: fmt.Sprint(i), Low: low, Likely: likely, High: likely + rapid.Float64Range(0, 5).Draw(t, "most")}
			for j := range i {
				if rapid.Bool().Draw(t, "after") {
					activities[i].After = append(activities[i].After, fmt.Sprint(j))
				}
			}
		}
		p, err := Critical(activities)
		if err != nil {
			t.Fatal(err)
		}
		// Ways that differ by a part in 1e9 count as equal, at each step of a path.
		alike, sum := 1e-9*float64(n+1)*max(1, p.Mean), 0.0
		for _, name := range p.Names {
			var i int
			fmt.Sscan(name, &i)
			sum += activities[i].Mean()
			if p.Times[i].Float > alike {
				t.Fatalf("%s lies on the path and floats %v", name, p.Times[i].Float)
			}
		}
		if math.Abs(sum-p.Mean) > alike {
			t.Fatalf("path sums to %v, not %v", sum, p.Mean)
		}
		for i, a := range activities {
			for _, before := range a.After {
				var j int
				fmt.Sscan(before, &j)
				if p.Times[i].Start < p.Times[j].Finish-1e-9 {
					t.Fatalf("%d starts before %d ends", i, j)
				}
			}
			if p.Times[i].Finish > p.Mean+1e-9 {
				t.Fatalf("%d ends after the path", i)
			}
		}
		// 1e-9 for the quantile; a path of hardly any doubt also loses what its length rounds to, in deviations.
		within := 1e-9 + 2e-16*p.Mean/math.Sqrt(p.Variance)
		if p.Variance > 0 && p.By(p.Within(0.9)) < 0.9-within {
			t.Fatalf("within 0.9 is kept with %v", p.By(p.Within(0.9)))
		}
	})
}

func Example() {
	area := KeepUp(2, 4, 400, 800, 50)
	waits, _ := SteadyWaits(20.0/60, 25.0/60, 4)
	line, _ := LongRun(3, 4, 0)
	fmt.Printf("%.0f ft2\n%.0f min\n%.1f min\n", area, 60*waits[3], 60*line.Wait)
	// Output:
	// 1550 ft2
	// 15 min
	// 22.5 min
}
