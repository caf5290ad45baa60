package png_test

import (
	"bytes"
	"flag"
	"image"
	stdpng "image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/png"
	"slabwright/internal/rim/sheets/sheetstest"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// Golden pictures at 40 dots per inch: a pixel may differ by 8 of 255 (rounding of the rasterizer between processors), and
// one in a thousand by more.
func TestGoldens(t *testing.T) {
	for _, pic := range sheetstest.Pictures() {
		d, err := frame.Drawing(pic, page.Letter, quantity.US, layout.North{Shown: true})
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := png.Write(&b, frame.Finish([]frame.Draft{d}, frame.Block{Job: "Job", Version: "7f3a21"})[0], 40); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("testdata", pic.Name+".png")
		if *update {
			if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		golden, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if off, all := differing(t, decode(t, b.Bytes()), decode(t, golden)); off > all/1000 {
			t.Errorf("%s: %d of %d pixels differ from %s; look at it, then renew with -update", pic.Name, off, all, path)
		}
	}
}

func decode(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, err := stdpng.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func differing(t *testing.T, a, b image.Image) (off, all int) {
	t.Helper()
	if a.Bounds() != b.Bounds() {
		t.Fatalf("size %v, want %v", a.Bounds(), b.Bounds())
	}
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			r, g, bl, _ := a.At(x, y).RGBA()
			r2, g2, b2, _ := b.At(x, y).RGBA()
			all++
			if far(r, r2) || far(g, g2) || far(bl, b2) {
				off++
			}
		}
	}
	return off, all
}

func far(a, b uint32) bool { return math.Abs(float64(a)-float64(b)) > 8*257 }

// A hole stays white and the solid around it black: the rasterizer's fill rule and ours agree.
func TestHoleIsWhite(t *testing.T) {
	ring := func(x, y, w, h float64) []page.Point {
		return []page.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
	}
	hole := ring(40, 40, 20, 20)
	hole[1], hole[3] = hole[3], hole[1] // clockwise
	img, err := png.Paint(page.Page{Paper: page.A4, Items: []page.Item{page.Area{Rings: [][]page.Point{ring(20, 20, 60, 60), hole}}}}, 25.4)
	if err != nil {
		t.Fatal(err)
	}
	shade := func(x, y float64) uint32 { r, _, _, _ := img.At(int(x), int(297-y)).RGBA(); return r }
	if shade(50, 50) != 0xffff || shade(30, 30) != 0 || shade(100, 100) != 0xffff {
		t.Errorf("hole %x, solid %x, outside %x", shade(50, 50), shade(30, 30), shade(100, 100))
	}
}

func TestRefusesSizes(t *testing.T) {
	for _, dpi := range []float64{0, -1, math.NaN(), math.Inf(1), 5000} {
		var b bytes.Buffer
		if err := png.Write(&b, page.Page{Paper: page.A3}, dpi); err == nil || b.Len() > 0 {
			t.Errorf("painted at %v dots per inch", dpi)
		}
	}
}
