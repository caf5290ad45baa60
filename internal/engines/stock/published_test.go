package stock

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// triplets draws an instance of the triplet class as published: the first of three from 380 to 490 of 1000, the second from
// 250 to half the rest, the third the rest. n/3 bins are optimal. Source: Falkenauer 1996.
func triplets(n int, seed uint64) []int {
	random := rand.New(rand.NewPCG(seed, 0))
	var out []int
	for len(out) < n {
		first := 380 + random.IntN(111)
		second := 250 + random.IntN((1000-first)/2-250+1)
		out = append(out, first, second, 1000-first-second)
	}
	return out
}

func TestTripletsFillEveryBin(t *testing.T) {
	for name, items := range map[string][]int{"60, seed 1": triplets(60, 1), "60, seed 2": triplets(60, 2), "60, seed 3": triplets(60, 3)} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			fillsEveryBin(t, items)
		})
	}
}

// fillsEveryBin holds that triplets are packed into a third as many bins, and proven.
func fillsEveryBin(t *testing.T, items []int) {
	p := Problem{Pieces: singles(items), Stocks: []Stock{{1000, 1, 0}}, Effort: 4000}
	plan, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, p, plan)
	if plan.Cost != len(items)/3 || !plan.Proven {
		t.Errorf("%d bins, proven %v, of %d; %d nodes", plan.Cost, plan.Proven, len(items)/3, plan.Nodes)
	}
}

// twoHundred draws a cutting list like a large job's: 200 pieces of 30 lengths from 20 ft sticks, in sixteenths of an inch.
func twoHundred(seed uint64) Problem {
	random := rand.New(rand.NewPCG(seed, 0))
	p := Problem{Stocks: []Stock{{20 * 12 * 16, 20 * 12 * 16, 0}}, Kerf: 2}
	for k := range 30 {
		count := 6
		if k < 20 {
			count = 7
		}
		p.Pieces = append(p.Pieces, Piece{Length: 16 * (24 + random.IntN(97)), Count: count})
	}
	return p
}

func TestTwoHundredPiecesOfThirtyLengthsAreProven(t *testing.T) {
	for seed := range uint64(8) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			t.Parallel()
			plan, err := Solve(twoHundred(seed))
			if err != nil {
				t.Fatal(err)
			}
			checkPlan(t, twoHundred(seed), plan)
			if !plan.Proven {
				t.Errorf("cost %d, bound %d after %d nodes", plan.Cost, plan.Bound, plan.Nodes)
			}
		})
	}
}

// BenchmarkTwoHundredPieces is the time to a proven cutting list of 200 pieces of 30 lengths.
func BenchmarkTwoHundredPieces(b *testing.B) {
	for b.Loop() {
		if plan, err := Solve(twoHundred(0)); err != nil || !plan.Proven {
			b.Fatal(plan.Proven, err)
		}
	}
}
