package survey

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/site"
)

// byHand is a drawing of release 12 written group by group: an outline with one half-round side, a shot, a wall, a block put in
// twice as large and turned a quarter, and a text that is left.
var byHand = strings.Join([]string{
	"  0", "SECTION", "  2", "HEADER", "  9", "$INSUNITS", " 70", "6", "  0", "ENDSEC",
	"  0", "SECTION", "  2", "BLOCKS", "  0", "BLOCK", "  2", "LID", " 10", "1", " 20", "0", "  0", "LINE", "  8", "0", " 10", "1", " 20", "0", " 11", "2", " 21", "0", "  0", "ENDBLK", "  0", "ENDSEC",
	"  0", "SECTION", "  2", "ENTITIES",
	"  0", "POLYLINE", "  8", "SLAB", " 66", "1", " 70", "1",
	"  0", "VERTEX", " 10", "0", " 20", "0", "  0", "VERTEX", " 10", "4", " 20", "0", " 42", "1", "  0", "VERTEX", " 10", "4", " 20", "2", "  0", "VERTEX", " 10", "0", " 20", "2", "  0", "SEQEND",
	"  0", "POINT", "  8", "SHOT", " 10", "1.5", " 20", "0.5", " 30", "99.25",
	"  0", "LINE", "  8", "WALL", " 10", "-1", " 20", "2", " 11", "6", " 21", "2",
	"  0", "INSERT", "  8", "LIDS", "  2", "LID", " 10", "3", " 20", "1", " 41", "2", " 42", "2", " 50", "90",
	"  0", "TEXT", "  1", "pad", "  0", "ENDSEC", "  0", "EOF", ""}, "\r\n")

func mustRead(t testing.TB, name, src string, told Told) Import {
	t.Helper()
	in, err := Read(name, []byte(src), told)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func ring(l Line) geometry.Polygon {
	var p geometry.Polygon
	for _, q := range l.Points {
		p.Outer = append(p.Outer, q.At)
	}
	return p
}

func TestADrawingWrittenByHand(t *testing.T) {
	in := mustRead(t, "pad.dxf", byHand, Told{})
	if len(in.Points) != 1 || in.Points[0].Z != 99.25 || !in.Points[0].HasZ || in.Points[0].Code != "SHOT" {
		t.Errorf("points %+v", in.Points)
	}
	if len(in.Lines) != 3 || !in.Lines[0].Closed || in.Lines[0].Name != "SLAB" {
		t.Fatalf("lines %+v", in.Lines)
	}
	// 4 × 2 and half a disc of radius 1; chords half a millimetre off leave at most 0.3 % of the arc's segment.
	if area := ring(in.Lines[0]).Area(); math.Abs(area-8-math.Pi/2) > 2e-3 {
		t.Errorf("area %v", area)
	}
	lid := in.Lines[2]
	if lid.Name != "LIDS" || lid.Points[0].At.Distance(geometry.Point{X: 3, Y: 1}) > 1e-9 || lid.Points[1].At.Distance(geometry.Point{X: 3, Y: 3}) > 1e-9 {
		t.Errorf("lid at %+v", lid)
	}
	if len(in.Skipped) != 1 || in.Skipped[0].What != "TEXT" {
		t.Errorf("skipped %+v", in.Skipped)
	}
}

func TestDrawingsThatCannotBe(t *testing.T) {
	for says, c := range map[string]struct {
		src   string
		told  Told
		field string
		line  int
	}{
		"no unit":         {strings.Replace(byHand, "$INSUNITS", "$OTHER", 1), Told{}, "unit", 0},
		"which foot":      {strings.Replace(byHand, " 70\r\n6", " 70\r\n2", 1), Told{}, "unit", 0},
		"another unit":    {byHand, Told{Unit: site.Feet}, "unit", 0},
		"degrees":         {byHand, Told{Unit: site.Degrees}, "unit", 0},
		"north first":     {byHand, Told{Axes: site.NorthEast}, "axes", 0},
		"broken code":     {strings.Replace(byHand, "  0\r\nPOINT", " zero\r\nPOINT", 1), Told{}, "file", 1 + strings.Count(byHand[:strings.Index(byHand, "  0\r\nPOINT")], "\n")},
		"half a group":    {"0\nSECTION\n2", Told{}, "file", 3},
		"binary":          {"AutoCAD Binary DXF\r\n\x1a\x00", Told{}, "file", 1},
		"nothing in it":   {"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", Told{Unit: site.Metres}, "file", 0},
		"block in itself": {"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n0\nINSERT\n2\nA\n0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nINSERT\n2\nA\n0\nENDSEC\n0\nEOF\n", Told{Unit: site.Metres}, "file", 9},
	} {
		_, err := Read("pad.dxf", []byte(c.src), c.told)
		faults, ok := err.(Faults)
		if !ok || faults[0].Field != c.field || faults[0].Why == "" || faults[0].Type == "" {
			t.Errorf("%s: %v", says, err)
		} else if c.line > 0 && faults[0].Line != c.line {
			t.Errorf("%s: on line %d, not %d", says, faults[0].Line, c.line)
		}
	}
	in := mustRead(t, "pad.dxf", strings.Replace(byHand, " 70\r\n6", " 70\r\n2", 1), Told{Unit: site.SurveyFeet})
	if x := in.Points[0].At.X; math.Abs(x-1.5*1200/3937) > 1e-15 {
		t.Errorf("survey feet gave %v", x)
	}
}

// script writes a drawing in each release, with everything this reads, by another program's library.
const script = `
import sys
import ezdxf
def write(release, path):
    doc = ezdxf.new(release)
    doc.header["$INSUNITS"] = 6
    msp = doc.modelspace()
    if release == "R12":
        msp.add_polyline2d([(0, 0), (12, 0), (12, 4), (0, 4)], dxfattribs={"layer": "SLAB"}).close()
    else:
        msp.add_lwpolyline([(0, 0, 0, 0, 0), (12, 0, 0, 0, 0.5), (12, 4, 0, 0, 0), (0, 4, 0, 0, 0)], close=True, dxfattribs={"layer": "SLAB"})
        hatch = msp.add_hatch(color=2)
        hatch.paths.add_polyline_path([(0, 0), (1, 0), (1, 1)])
        msp.add_linear_dim(base=(0, -1), p1=(0, 0), p2=(12, 0)).render()
    for x, y, z in [(1, 1, 99.5), (11, 3, 98.25)]:
        msp.add_point((x, y, z), dxfattribs={"layer": "SHOTS"})
    msp.add_polyline3d([(0, -1, 99), (6, -1, 98.5), (12, -1, 98)], dxfattribs={"layer": "BREAK"})
    msp.add_circle((6, 2), 0.5, dxfattribs={"layer": "LID"})
    msp.add_arc((0, 0), 2, 30, 120, dxfattribs={"layer": "ARC"})
    block = doc.blocks.new("POST", base_point=(1, 1))
    block.add_line((1, 1), (2, 1))
    msp.add_blockref("POST", (5, 5), dxfattribs={"rotation": 90, "xscale": 3, "yscale": 3, "layer": "POSTS"})
    msp.add_text("pad ½")
    doc.saveas(path)
for release in ["R12", "R2000", "R2010"]:
    write(release, sys.argv[1] + "/" + release + ".dxf")
`

// otherWriter runs the script and returns where it wrote; the test is skipped where that library is not installed.
func otherWriter(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, python := range []string{"python3", "/usr/bin/python3"} {
		out, err := exec.Command(python, "-c", script, dir).CombinedOutput()
		if err == nil {
			return dir
		}
		if text := string(out); text != "" && !strings.Contains(text, "ModuleNotFoundError") {
			t.Fatalf("%v\n%s", err, out)
		}
	}
	t.Skip("no other writer of drawings is installed")
	return ""
}

func TestDrawingsOfAnotherWriter(t *testing.T) {
	dir := otherWriter(t)
	for _, release := range []string{"R12", "R2000", "R2010"} {
		told := Told{}
		if release == "R12" {
			told.Unit = site.Metres // that release has no place to say it
		}
		src, err := os.ReadFile(filepath.Join(dir, release+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		in, err := Read("pad.dxf", src, told)
		if err != nil {
			t.Errorf("%s: %v", release, err)
			continue
		}
		by := map[string]Line{}
		for _, l := range in.Lines {
			by[l.Name] = l
		}
		area := 48.0
		if release != "R12" { // bulge 0.5 over a chord of 4: r 2.5, φ 2·126.87°/2; segment r²/2·(φ − sin φ)
			phi := 4 * math.Atan(0.5)
			area += 2.5 * 2.5 / 2 * (phi - math.Sin(phi))
		}
		if got := ring(by["SLAB"]).Area(); !by["SLAB"].Closed || math.Abs(got-area) > 3e-3 {
			t.Errorf("%s: slab of %v m², not %v", release, got, area)
		}
		if len(in.Points) != 2 || in.Points[1].Z != 98.25 {
			t.Errorf("%s: points %+v", release, in.Points)
		}
		if b := by["BREAK"]; len(b.Points) != 3 || b.Points[1].Z != 98.5 || b.Closed {
			t.Errorf("%s: breakline %+v", release, b)
		}
		if got := ring(by["LID"]).Area(); math.Abs(got-math.Pi/4) > 2e-3 {
			t.Errorf("%s: lid of %v m²", release, got)
		}
		a := by["ARC"].Points
		if len(a) < 3 || a[0].At.Distance(geometry.Direction(math.Pi/6).Scale(2)) > 1e-9 || a[len(a)-1].At.Distance(geometry.Direction(2*math.Pi/3).Scale(2)) > 1e-9 {
			t.Errorf("%s: arc %+v", release, a)
		}
		if p := by["POSTS"].Points; len(p) != 2 || p[0].At.Distance(geometry.Point{X: 5, Y: 5}) > 1e-9 || p[1].At.Distance(geometry.Point{X: 5, Y: 8}) > 1e-9 {
			t.Errorf("%s: post %+v", release, p)
		}
	}
}

func FuzzDXF(f *testing.F) {
	f.Add([]byte(byHand))
	f.Add([]byte("0\nSECTION\n2\nENTITIES\n0\nARC\n40\n1e308\n50\nnan\n0\nENDSEC\n0\nEOF\n"))
	f.Fuzz(func(t *testing.T, src []byte) { sane(t, "x.dxf", src, Told{Unit: site.Metres}) })
}
