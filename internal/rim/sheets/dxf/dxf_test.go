package dxf_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/dxf"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/sheetstest"
	"slabwright/internal/trade/draft"
)

var quarter = layout.Scale{Ratio: 48, Says: "1/4 in = 1 ft"}

// audit reads the files with an independent reader and prints what it found, three lines a file.
const audit = `
import sys, ezdxf
for path in sys.argv[1:]:
    doc = ezdxf.readfile(path)
    a = doc.audit()
    box = (0, 0)
    for e in doc.modelspace():
        if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "S-SLAB-EDGE-N":
            pts = [p[:2] for p in e.get_points()]
            box = (max(x for x, y in pts) - min(x for x, y in pts), max(y for x, y in pts) - min(y for x, y in pts))
            break
    layers = {l.dxf.name for l in doc.layers}
    stray = sum(1 for e in doc.modelspace() if e.dxf.layer not in layers or e.dxf.layer == "0")
    print(len(a.errors), len(a.fixes), doc.header["$INSUNITS"], stray, len(doc.modelspace()))
    print("%.9f %.9f" % box)
    print("|".join(e.dxf.text for e in doc.modelspace() if e.dxftype() == "TEXT"))
`

type written struct {
	pic    drawing.Picture
	system quantity.System
	path   string
}

func writeAll(t *testing.T) []written {
	t.Helper()
	var out []written
	pictures := append(sheetstest.Pictures(), sheetstest.Slab("big", 60, 22, func(m float64) string { return fmt.Sprintf("%.2f m", m) }))
	for _, pic := range pictures {
		for _, system := range []quantity.System{quantity.US, quantity.Metric} {
			var b bytes.Buffer
			if err := dxf.Write(&b, pic, system, quarter); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(t.TempDir(), pic.Name+system.String()+".dxf")
			if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			out = append(out, written{pic, system, path})
		}
	}
	return out
}

func TestIndependentReader(t *testing.T) {
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import ezdxf").Run() != nil {
		t.Skip("no ezdxf to read the files with")
	}
	files := writeAll(t)
	args := []string{"-c", audit}
	for _, f := range files {
		args = append(args, f.path)
	}
	out, err := exec.Command(python, args...).CombinedOutput()
	lines := strings.Split(string(out), "\n")
	if err != nil || len(lines) < 3*len(files) {
		t.Fatalf("%v\n%s", err, out)
	}
	for i, f := range files {
		name := f.pic.Name + " " + f.system.String()
		want := map[quantity.System]string{quantity.US: "0 0 2 0 ", quantity.Metric: "0 0 6 0 "}[f.system]
		if !strings.HasPrefix(lines[3*i], want) {
			t.Errorf("%s: audit says %q, want %q and the number of entities", name, lines[3*i], want)
		}
		if f.pic.Name == "hole" {
			checkSize(t, lines[3*i+1], f.system)
		}
		if f.pic.Name == "lettering" && !strings.Contains(lines[3*i+2], `12'-7 3/8" ½ ¼ ¾ ″ ′ ° ² ³ × ±`) {
			t.Errorf("text came back as %q", lines[3*i+2])
		}
	}
}

// checkSize holds a 6 m by 4 m outline to 1e-8: nine decimals are written.
func checkSize(t *testing.T, line string, system quantity.System) {
	var w, h float64
	if _, err := fmt.Sscanf(line, "%f %f", &w, &h); err != nil {
		t.Fatal(err)
	}
	k := 1.0
	if system == quantity.US {
		k = 0.3048
	}
	if math.Abs(w*k-6) > 1e-8 || math.Abs(h*k-4) > 1e-8 {
		t.Errorf("outline came back %v by %v m, want 6 by 4", w*k, h*k)
	}
}

func TestRefuses(t *testing.T) {
	stray := drawing.Picture{Name: "stray", Space: drawing.Site, Marks: []drawing.Mark{
		drawing.Path{Layer: drawing.Layer{Name: "X-OTHER", Width: 0.3}, Points: []geometry.Point{{}, {X: 1}}}}}
	chart := drawing.Picture{Name: "chart", Space: drawing.Paper}
	lost := drawing.Picture{Name: "lost", Space: drawing.Site, Marks: []drawing.Mark{
		drawing.Path{Layer: draft.SlabEdge, Points: []geometry.Point{{}, {X: math.NaN()}}}}}
	for _, pic := range []drawing.Picture{stray, chart, lost} {
		var b bytes.Buffer
		if err := dxf.Write(&b, pic, quantity.US, quarter); err == nil || b.Len() > 0 {
			t.Errorf("%s: wrote %d bytes, error %v; want a refusal and nothing written", pic.Name, b.Len(), err)
		}
	}
}

func TestSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	if err := dxf.Write(&a, sheetstest.Dimensions(), quantity.US, quarter); err != nil {
		t.Fatal(err)
	}
	if err := dxf.Write(&b, sheetstest.Dimensions(), quantity.US, quarter); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two writes of one drawing differ")
	}
}
