//go:build reference

package hydration

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/weather"
)

// SciPy's BDF on the same cells, its tolerance as loose as an error no greater than the engine's allows, and the engine in its
// fitting steps, on the same machine in the same run. Recorded in testdata/bdf.csv.
func TestAgainstBDFOfEqualError(t *testing.T) {
	s, err := ReferenceCase(1)
	if err != nil {
		t.Fatal(err)
	}
	s.Pace = Fitting
	worst := 0.0
	fine := reference(t, "curing-case1-spring-4in-reference.csv")
	for i, got := range follow(t, s, 168) {
		if ref := fine[i]; got.Hour > 1 {
			worst = math.Max(worst, math.Max(math.Abs(got.Top-ref["T_top_c"]), math.Max(math.Abs(got.Mid-ref["T_mid_c"]), math.Abs(got.Bottom-ref["T_bot_c"]))))
		}
	}
	out, err := exec.Command(python(), "testdata/bdf.py", strconv.FormatFloat(worst, 'f', 4, 64)).Output()
	if err != nil {
		t.Skipf("no SciPy here: %v", err)
	}
	fields := strings.Split(string(bytes.TrimSpace(out)), ",")
	seconds, err := strconv.ParseFloat(fields[len(fields)-1], 64)
	if err != nil {
		t.Fatalf("%q", out)
	}
	sky := s.Sky
	s.Sky = func(h float64) (weather.Conditions, error) { return sky(math.Mod(h, 168)) }
	best := math.Inf(1)
	for range 20 {
		began := time.Now()
		if _, err := s.Warmth(28 * 24); err != nil {
			t.Fatal(err)
		}
		best = math.Min(best, time.Since(began).Seconds())
	}
	t.Logf("engine: %.3f K, %.2f ms; BDF (rtol, K, s): %s; %.0f times as fast", worst, 1000*best, out, seconds/best)
	if seconds/best < 100 {
		t.Errorf("only %.0f times as fast", seconds/best)
	}
}

// python is the interpreter named by PYTHON, or the usual one.
func python() string {
	if p := os.Getenv("PYTHON"); p != "" {
		return p
	}
	return "python3"
}
