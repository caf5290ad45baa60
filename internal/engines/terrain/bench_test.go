package terrain

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"slabwright/internal/engines/geometry"
)

// waves draws n shots over a square kilometre of rolling ground.
func waves(n int, seed uint64) []Shot {
	r := rand.New(rand.NewPCG(seed, 1))
	shots := make([]Shot, 0, n+4)
	for _, c := range [4][2]float64{{-1, -1}, {1001, -1}, {1001, 1001}, {-1, 1001}} {
		shots = append(shots, Shot{X: c[0], Y: c[1]})
	}
	for range n {
		x, y := 1000*r.Float64(), 1000*r.Float64()
		shots = append(shots, Shot{X: x, Y: y, Z: 5 * math.Sin(x/90) * math.Cos(y/70+float64(seed))})
	}
	return shots
}

// bench lines: parallel chains of shots placed on straight lines, so that they never cross.
func withBreaklines(shots []Shot, edges int) ([]Shot, [][]int) {
	const chains = 20
	var lines [][]int
	for k := range chains {
		var chain []int
		for i := 0; i <= edges/chains; i++ {
			chain = append(chain, len(shots))
			shots = append(shots, Shot{X: 2 + 995*float64(i)*chains/float64(edges), Y: 25 + 49.7*float64(k) + 0.01*float64(i%7)})
		}
		lines = append(lines, chain)
	}
	return shots, lines
}

// BenchmarkTriangulate: a million shots with 10 000 breakline edges, budget 4 s; the smaller sizes show the growth.
func BenchmarkTriangulate(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		shots, lines := withBreaklines(waves(n, 1), n/100)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Triangulate(shots, lines); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkTriangulateGrid: every four neighbours lie on one circle.
func BenchmarkTriangulateGrid(b *testing.B) {
	const side = 316
	var shots []Shot
	for i := range side {
		for j := range side {
			shots = append(shots, Shot{X: 0.1 * float64(i), Y: 0.1 * float64(j), Z: math.Sin(float64(i + j))})
		}
	}
	for b.Loop() {
		if _, err := Triangulate(shots, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOverlay: two surfaces of 100 000 shots each, budget 2 s with their indexes built.
func BenchmarkOverlay(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		one, err := Triangulate(waves(n, 1), nil)
		if err != nil {
			b.Fatal(err)
		}
		two, err := Triangulate(waves(n, 2), nil)
		if err != nil {
			b.Fatal(err)
		}
		disc := geometry.Disc(geometry.Point{X: 500, Y: 500}, 499, 0.05)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				one.index, two.index = &planIndex{}, &planIndex{}
				if _, err := VolumesBetween(one, two, disc); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
