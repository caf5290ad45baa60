//go:build reference

package stock

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The same cutting job as an integer program handed to another program, glpsol: a bar bought or not, pieces in each bar.
//
//	go test -tags reference -run Integer -v ./internal/engines/stock
//	go test -tags reference -run xxx -bench AgainstInteger -benchtime 1x ./internal/engines/stock
func integerProgram(p Problem, bars int) string {
	var cost, rows, bounds, whole, binary strings.Builder
	for s, stock := range p.Stocks {
		n := bars
		if stock.Limit > 0 {
			n = min(n, stock.Limit)
		}
		for b := range n {
			fmt.Fprintf(&cost, " + %d y_%d_%d\n", stock.Price, s, b)
			fmt.Fprintf(&binary, " y_%d_%d\n", s, b)
			for i, piece := range p.Pieces {
				fmt.Fprintf(&rows, " + %d x_%d_%d_%d", piece.Length+p.Kerf, i, s, b)
				fmt.Fprintf(&bounds, " 0 <= x_%d_%d_%d <= %d\n", i, s, b, piece.Count)
				fmt.Fprintf(&whole, " x_%d_%d_%d\n", i, s, b)
			}
			fmt.Fprintf(&rows, " - %d y_%d_%d <= 0\n", stock.Length+p.Kerf, s, b)
			if b > 0 {
				fmt.Fprintf(&rows, " y_%d_%d - y_%d_%d <= 0\n", s, b, s, b-1)
			}
		}
	}
	for i, piece := range p.Pieces {
		for s, stock := range p.Stocks {
			n := bars
			if stock.Limit > 0 {
				n = min(n, stock.Limit)
			}
			for b := range n {
				fmt.Fprintf(&rows, " + x_%d_%d_%d", i, s, b)
			}
		}
		fmt.Fprintf(&rows, " >= %d\n", piece.Count)
	}
	return "Minimize\n" + cost.String() + "Subject To\n" + rows.String() + "Bounds\n" + bounds.String() + "General\n" + whole.String() + "Binary\n" + binary.String() + "End\n"
}

var objective = regexp.MustCompile(`Objective:\s+\S+ = (\S+)`)

// byInteger is the cost glpsol finds, and whether it proved it within the seconds given.
func byInteger(t testing.TB, p Problem, bars, seconds int) (cost int, proven bool) {
	program, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("no glpsol here: apt-get install glpk-utils")
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "job.lp"), filepath.Join(dir, "job.txt")
	if err := os.WriteFile(in, []byte(integerProgram(p, bars)), 0o600); err != nil {
		t.Fatal(err)
	}
	if text, err := exec.Command(program, "--lp", in, "--tmlim", fmt.Sprint(seconds), "-o", out).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	found := objective.FindSubmatch(text)
	if found == nil {
		return 0, false
	}
	value, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return int(value + 0.5), strings.Contains(string(text), "INTEGER OPTIMAL")
}

func TestAgainstAnIntegerProgram(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 5))
	agreed := 0
	for k := range 40 {
		p := Problem{Kerf: random.IntN(3), Effort: 5000, Stocks: []Stock{{100, 10 + random.IntN(10), 0}}}
		if random.IntN(2) == 0 {
			p.Stocks = append(p.Stocks, Stock{60 + random.IntN(30), 5 + random.IntN(8), random.IntN(3)})
		}
		for range 2 + random.IntN(3) {
			p.Pieces = append(p.Pieces, Piece{15 + random.IntN(60), 1 + random.IntN(3)})
		}
		plan, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		pieces := 0
		for _, piece := range p.Pieces {
			pieces += piece.Count
		}
		cost, proven := byInteger(t, p, pieces, 20)
		if !proven {
			t.Logf("job %d: glpsol did not finish", k)
			continue
		}
		if agreed++; cost != plan.Cost || !plan.Proven {
			t.Errorf("job %d %+v: cost %d proven %v, by the integer program %d", k, p, plan.Cost, plan.Proven, cost)
		}
	}
	t.Logf("agreed on %d of 40", agreed)
	if agreed < 30 {
		t.Errorf("only %d jobs could be compared", agreed)
	}
}

// triplets120 is an instance of the triplet class of the OR-Library bin packing set (Falkenauer 1996): 120 items for bins
// of 100.0, in tenths, listed three by three as they fill a bin. Forty bins are optimal: every one is full.
var triplets120 = []int{406, 265, 329, 404, 255, 341, 461, 256, 283, 387, 290, 323, 356, 290, 354, 417, 269, 314, 359, 317, 324, 467, 250, 283,
	459, 251, 290, 356, 266, 378, 356, 315, 329, 400, 263, 337, 397, 273, 330, 458, 268, 274, 473, 254, 273, 408, 287, 305,
	384, 295, 321, 414, 264, 322, 413, 278, 309, 391, 291, 318, 454, 266, 280, 426, 261, 313, 372, 272, 356, 440, 255, 305,
	444, 259, 297, 477, 258, 265, 448, 255, 297, 416, 261, 323, 360, 270, 370, 375, 250, 375, 472, 261, 267, 384, 255, 361,
	378, 267, 355, 423, 278, 299, 491, 253, 256, 375, 275, 350, 464, 263, 273, 399, 267, 334, 459, 263, 278, 407, 291, 302}

// The larger triplets take some ten seconds each.
func TestLargeTripletsFillEveryBin(t *testing.T) {
	fillsEveryBin(t, triplets120)
	fillsEveryBin(t, triplets(120, 4))
}

// BenchmarkAgainstIntegerProgram runs the list of 200 pieces both ways and prints how many times longer the integer program
// takes; it is stopped at sixty seconds, so the ratio is at least that.
func BenchmarkAgainstIntegerProgram(b *testing.B) {
	p := twoHundred(0)
	for b.Loop() {
		start := time.Now()
		plan, err := Solve(p)
		ours := time.Since(start)
		if err != nil || !plan.Proven {
			b.Fatal(err, plan.Proven)
		}
		start = time.Now()
		_, proven := byInteger(b, p, plan.Bars+1, 60)
		theirs := time.Since(start)
		b.ReportMetric(float64(ours.Microseconds())/1000, "ms-proven")
		b.ReportMetric(theirs.Seconds()/ours.Seconds(), "times-faster")
		b.Logf("integer program finished: %v", proven)
	}
}
