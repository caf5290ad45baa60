//go:build reference

package plate

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestSolidReference reruns the recipe of testdata/solid.md with the general-purpose program and compares with the record.
//
//	go test -tags reference -run SolidReference -v ./internal/engines/plate
func TestSolidReference(t *testing.T) {
	program, err := exec.LookPath("ccx")
	if err != nil {
		t.Skip("no ccx here: apt-get install calculix-ccx")
	}
	for _, c := range solidCases(t) {
		dir := t.TempDir()
		must(t, os.WriteFile(filepath.Join(dir, "slab.inp"), brickDeck(c), 0o644))
		run := exec.Command(program, "-i", "slab")
		run.Dir = dir
		run.Env = append(os.Environ(), "OMP_NUM_THREADS=2")
		start := time.Now()
		if out, err := run.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		took := time.Since(start)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start = time.Now()
		thin := c.thinPlate(t)
		ours := time.Since(start)
		runtime.ReadMemStats(&after)
		// All that was ever asked for, an upper bound of what was held at once, against the most the program held.
		held, most := float64(after.TotalAlloc-before.TotalAlloc), 1024*float64(run.ProcessState.SysUsage().(*syscall.Rusage).Maxrss)
		got := lastDeflection(t, filepath.Join(dir, "slab.dat"))
		t.Logf("%s h %g: program %.6f mm in %.2f s, record %.6f, thin plate %.6f in %.3f s: %.0f times faster; %.0f MB against %.0f MB: %.0f times less",
			c.where, c.thickness, got*1e3, took.Seconds(), c.deflection*1e3, thin*1e3, ours.Seconds(), took.Seconds()/ours.Seconds(), most/1e6, held/1e6, most/held)
		if math.Abs(got-c.deflection) > 1e-4*c.deflection {
			t.Errorf("%s: program %g, record %g", c.where, got, c.deflection)
		}
	}
}

// brickDeck is 40 × 40 × 2 bricks of 20 nodes on one layer of bricks that stands for the soil.
func brickDeck(c solidCase) []byte {
	const n, layers = 40, 2
	var b bytes.Buffer
	w := bufio.NewWriter(&b)
	const side = 2*n + 1
	id := func(i, j, k int) int { return (k*side+j)*side + i + 1 }
	height := func(k int) float64 { // half layers: the soil first
		if k <= 2 {
			return soilLayer * (float64(k)/2 - 1)
		}
		return c.thickness * float64(k-2) / (2 * layers)
	}
	fmt.Fprintln(w, "*NODE, NSET=NALL")
	for k := 0; k <= 2*(layers+1); k++ {
		for j := range side {
			for i := range side {
				if i%2+j%2+k%2 <= 1 {
					fmt.Fprintf(w, "%d, %.10g, %.10g, %.10g\n", id(i, j, k), 4*float64(i)/(2*n), 4*float64(j)/(2*n), height(k))
				}
			}
		}
	}
	offsets := [20][3]int{{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}, {0, 0, 2}, {2, 0, 2}, {2, 2, 2}, {0, 2, 2},
		{1, 0, 0}, {2, 1, 0}, {1, 2, 0}, {0, 1, 0}, {1, 0, 2}, {2, 1, 2}, {1, 2, 2}, {0, 1, 2}, {0, 0, 1}, {2, 0, 1}, {2, 2, 1}, {0, 2, 1}}
	var pressed []int
	element := 0
	for k := range layers + 1 {
		fmt.Fprintf(w, "*ELEMENT, TYPE=C3D20, ELSET=%s\n", map[bool]string{true: "SOIL", false: "SLAB"}[k == 0])
		for j := range n {
			for i := range n {
				element++
				line := []string{strconv.Itoa(element)}
				for _, o := range offsets {
					line = append(line, strconv.Itoa(id(2*i+o[0], 2*j+o[1], 2*k+o[2])))
				}
				fmt.Fprintf(w, "%s,\n%s\n", strings.Join(line[:11], ","), strings.Join(line[11:], ","))
				x, y := 4*(float64(i)+0.5)/n, 4*(float64(j)+0.5)/n
				if k == layers && math.Abs(x-c.load.X) < 0.1 && math.Abs(y-c.load.Y) < 0.1 {
					pressed = append(pressed, element)
				}
			}
		}
	}
	s := c.slab()
	stiff := s.Support * soilLayer
	fmt.Fprintf(w, "*MATERIAL, NAME=CONCRETE\n*ELASTIC\n%g, %g\n", s.Modulus, s.Poisson)
	fmt.Fprintf(w, "*MATERIAL, NAME=SPRINGS\n*ELASTIC, TYPE=ENGINEERING CONSTANTS\n%g,%g,%g,0,0,0,%g,%g\n%g\n", stiff, stiff, stiff, stiff/1000, stiff/1000, stiff/1000)
	fmt.Fprintln(w, "*SOLID SECTION, ELSET=SLAB, MATERIAL=CONCRETE\n*SOLID SECTION, ELSET=SOIL, MATERIAL=SPRINGS")
	fmt.Fprintln(w, "*BOUNDARY")
	for j := range side {
		for i := range side {
			if i%2+j%2 <= 1 {
				fmt.Fprintf(w, "%d,1,3\n", id(i, j, 0))
			}
		}
	}
	fmt.Fprintf(w, "*NSET, NSET=ASKED\n%d\n", id(int(math.Round(c.at.X*n/2)), int(math.Round(c.at.Y*n/2)), 2))
	fmt.Fprintln(w, "*STEP\n*STATIC, SOLVER=SPOOLES\n*DLOAD")
	for _, e := range pressed {
		fmt.Fprintf(w, "%d,P2,%g\n", e, 20e3/0.04)
	}
	fmt.Fprintln(w, "*NODE PRINT, NSET=ASKED\nU\n*END STEP")
	w.Flush()
	return b.Bytes()
}

// soilLayer is the height of the bricks that stand for the soil, m.
const soilLayer = 0.01

// lastDeflection reads the vertical displacement of the one node asked for.
func lastDeflection(t *testing.T, file string) float64 {
	text, err := os.ReadFile(file)
	must(t, err)
	f := strings.Fields(string(text))
	v, err := strconv.ParseFloat(f[len(f)-1], 64)
	must(t, err)
	return -v
}
