package plate

import (
	"context"
	"fmt"
	"math"
	"testing"
)

// What a person waits for, with the budget in the name. Run with
//
//	go test -run '^$' -bench . ./internal/engines/plate

func benchmarkPanel(b *testing.B, m Mesh) {
	l := Load{Patches: []Patch{Rectangle(Point{0.1, 2}, 0.2, 0.2, 20e3)}}
	var off float64
	for b.Loop() {
		r, err := Solve(context.Background(), slabA(), l, m)
		must(b, err)
		off = 100 * math.Abs(r.Bottom.Value/2.2175e6-1)
	}
	b.ReportMetric(off, "%off")
	b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(b.N), "ms/panel")
}

func BenchmarkPanelToOnePercentIn30ms(b *testing.B)  { benchmarkPanel(b, Mesh{}) }
func BenchmarkPanelToFivePercentIn60ms(b *testing.B) { benchmarkPanel(b, Coarse) }
func BenchmarkPanelNoMeshLinesOnPatch(b *testing.B)  { benchmarkPanel(b, Mesh{Around: []Patch{}}) }
func BenchmarkPanelFourTimesFiner(b *testing.B)      { benchmarkPanel(b, Mesh{PerPatch: 12, Size: 0.05}) }

func BenchmarkSkewedPanel(b *testing.B) {
	s, l, _ := turned(0.3, Rectangle(Point{0.1, 2}, 0.2, 0.2, 20e3))
	for b.Loop() {
		_, err := Solve(context.Background(), s, l, Mesh{})
		must(b, err)
	}
}

func BenchmarkPanelThatLiftsOff(b *testing.B) {
	s := slabA()
	s.Weight, s.LiftOff = 24e3, true
	l := Load{Temperature: Gradient(-10), Patches: []Patch{Rectangle(Point{0.1, 0.1}, 0.2, 0.2, 20e3)}}
	for b.Loop() {
		_, err := Solve(context.Background(), s, l, Mesh{})
		must(b, err)
	}
}

// lSlab is four bays in an L.
func lSlab() Slab {
	s := slabA()
	s.Panels, s.Joints = Bays([]float64{0, 4, 8, 12}, []float64{0, 4, 8}, func(i, j int) bool { return j == 0 || i == 0 }, s.Support*s.Radius())
	return s
}

func BenchmarkLSlab500PositionsIn1s(b *testing.B) {
	count := 0
	for b.Loop() {
		f, err := Factor(context.Background(), lSlab(), Mesh{})
		must(b, err)
		s, err := f.drive(context.Background(), Drive{Patches: axle(20e3), Headings: []float64{0}, Step: 0.52})
		must(b, err)
		count = len(s.positions)
	}
	b.ReportMetric(float64(count), "positions")
	b.ReportMetric(500*b.Elapsed().Seconds()/float64(b.N*count), "s/500")
}

func BenchmarkTravelLSlab(b *testing.B) {
	var e *Envelope
	for b.Loop() {
		e, _ = travelled(b, lSlab(), Drive{Patches: axle(20e3), Headings: []float64{0, math.Pi / 2}, Step: 0.62}, Mesh{})
	}
	b.ReportMetric(float64(e.Positions), "positions")
}

// The time for one load must not grow faster than n^1.5. ns/n^1.5 should fall or stay from line to line.
func BenchmarkGrowth(b *testing.B) {
	l := Load{Patches: []Patch{Rectangle(Point{2, 2}, 0.2, 0.2, 20e3)}}
	for _, cells := range []float64{20, 40, 80, 160, 272} {
		b.Run(fmt.Sprintf("cells=%.0f", cells), func(b *testing.B) {
			n := 0
			for b.Loop() {
				r, err := Solve(context.Background(), slabA(), l, Mesh{Size: 4 / cells, Around: []Patch{}})
				must(b, err)
				n = r.Accuracy.Unknowns
			}
			seconds := b.Elapsed().Seconds() / float64(b.N)
			b.ReportMetric(float64(n), "unknowns")
			b.ReportMetric(1e9*seconds/math.Pow(float64(n), 1.5), "ns/n^1.5")
		})
	}
}
