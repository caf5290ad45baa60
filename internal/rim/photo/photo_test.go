package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"
)

// scene is a picture whose upper left quarter is red, the rest white.
func scene(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, color.White)
			if x < w/2 && y < h/2 {
				img.Set(x, y, color.RGBA{200, 0, 0, 255})
			}
		}
	}
	return img
}

func jpegOf(t testing.TB, img image.Image, orientation uint16) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return append([]byte{0xff, 0xd8}, append(camera(orientation), b.Bytes()[2:]...)...)
}

// camera is a segment of notes as a camera writes them: how it was held, when, and where: 44°30'36" N, 93°15'0" W.
func camera(orientation uint16) []byte {
	le := binary.LittleEndian
	text := []byte("II*\x00")
	text = le.AppendUint32(text, 8)
	entry := func(tag, kind uint16, count, value uint32) {
		text = le.AppendUint32(le.AppendUint32(le.AppendUint16(le.AppendUint16(text, tag), kind), count), value)
	}
	text = le.AppendUint16(text, 3)
	entry(tagOrientation, 3, 1, uint32(orientation))
	entry(tagExif, 4, 1, 50)
	entry(tagGPS, 4, 1, 68)
	text = le.AppendUint32(text, 0) // 46
	text = le.AppendUint16(text, 1) // 50
	entry(tagTaken, 2, 20, 122)
	text = le.AppendUint32(text, 0) // 64
	text = le.AppendUint16(text, 4) // 68
	entry(tagNorthSouth, 2, 2, uint32('N'))
	entry(tagLatitude, 5, 3, 142)
	entry(tagEastWest, 2, 2, uint32('W'))
	entry(tagLongitude, 5, 3, 166)
	text = le.AppendUint32(text, 0) // 118
	text = append(text, "2027:06:17 07:42:05\x00"...)
	for _, v := range []uint32{44, 1, 30, 1, 3600, 100, 93, 1, 15, 1, 0, 1} {
		text = le.AppendUint32(text, v)
	}
	body := append([]byte("Exif\x00\x00"), text...)
	return append(binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2)), body...)
}

// red says in which quarter of a picture the red is: upper left 0, upper right 1, lower left 2, lower right 3.
func red(t *testing.T, file []byte) int {
	t.Helper()
	img, _, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	b := img.Bounds()
	for q := range 4 {
		_, g, _, _ := img.At(b.Dx()/4+q%2*b.Dx()/2, b.Dy()/4+q/2*b.Dy()/2).RGBA()
		if g < 0x8000 {
			return q
		}
	}
	return -1
}

func TestAPhotoIsTurnedUprightAndMadeSmaller(t *testing.T) {
	for orientation, quarter := range map[uint16]int{1: 0, 2: 1, 3: 3, 4: 2, 5: 0, 6: 1, 7: 3, 8: 2} {
		p, err := Take(jpegOf(t, scene(3000, 1500), orientation), Kept{})
		if err != nil {
			t.Fatal(err)
		}
		w, h := 2048, 1024
		if orientation >= 5 {
			w, h = h, w
		}
		if p.Width != w || p.Height != h {
			t.Errorf("orientation %d: %d by %d", orientation, p.Width, p.Height)
		}
		if q := red(t, p.Full); q != quarter {
			t.Errorf("orientation %d: red in quarter %d, not %d", orientation, q, quarter)
		}
		if small, _, err := image.DecodeConfig(bytes.NewReader(p.Small)); err != nil || max(small.Width, small.Height) != Small {
			t.Errorf("the small copy is %v, %v", small, err)
		}
	}
}

func TestWhereAndWhenGoUnlessTheyAreKept(t *testing.T) {
	src := jpegOf(t, scene(40, 30), 1)
	p, err := Take(src, Kept{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Taken != "" || p.Place != nil || bytes.Contains(p.Full, []byte("Exif")) || bytes.Contains(p.Full, []byte("2027")) {
		t.Errorf("kept: %q %v", p.Taken, p.Place)
	}
	p, err = Take(src, Kept{Time: true, Place: true})
	if err != nil {
		t.Fatal(err)
	}
	if p.Taken != "2027-06-17T07:42:05" {
		t.Errorf("taken %q", p.Taken)
	}
	if p.Place == nil || math.Abs(p.Place.Latitude-44.51) > 1e-9 || math.Abs(p.Place.Longitude+93.25) > 1e-9 {
		t.Errorf("place %v", p.Place)
	}
	if bytes.Contains(p.Full, []byte("Exif")) {
		t.Error("the file itself still says it")
	}
}

// bomb is a PNG of a few bytes whose head claims so many pixels.
func bomb(w, h uint32) []byte {
	head := []byte("IHDR")
	head = binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(head, w), h)
	head = append(head, 8, 2, 0, 0, 0)
	out := append([]byte("\x89PNG\r\n\x1a\n"), 0, 0, 0, 13)
	return binary.BigEndian.AppendUint32(append(out, head...), crc32.ChecksumIEEE(head))
}

func TestWhatIsNoPhotoIsRefusedWithASentence(t *testing.T) {
	var pic bytes.Buffer
	if err := png.Encode(&pic, scene(20, 20)); err != nil {
		t.Fatal(err)
	}
	if _, err := Take(pic.Bytes(), Kept{}); err != nil {
		t.Errorf("a PNG: %v", err)
	}
	whole := jpegOf(t, scene(200, 200), 1)
	for name, src := range map[string][]byte{
		"nothing": nil, "text": []byte("<svg xmlns='http://www.w3.org/2000/svg'/>"), "a GIF": []byte("GIF89a\x01\x00\x01\x00\x00\x00\x00"),
		"cut off": whole[:len(whole)/2], "its head alone": whole[:20], "a bomb": bomb(60000, 60000), "a wider one": bomb(1<<31-1, 1<<31-1), "no pixels": bomb(0, 5),
		"too large": append(whole[:len(whole):len(whole)], make([]byte, MaxBytes)...),
	} {
		_, err := Take(src, Kept{Time: true, Place: true})
		var refused Refused
		if !errors.As(err, &refused) || !strings.HasSuffix(refused.Why, ".") || !strings.HasSuffix(refused.Instead, ".") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func FuzzTake(f *testing.F) {
	f.Add(jpegOf(f, scene(16, 16), 6))
	f.Add(camera(1))
	f.Add(bomb(3, 3))
	f.Fuzz(func(t *testing.T, src []byte) {
		if head, _, err := image.DecodeConfig(bytes.NewReader(src)); err == nil && head.Width*head.Height > 1<<20 {
			return // a large one takes its time
		}
		p, err := Take(src, Kept{true, true})
		if err == nil && (p.Width < 1 || p.Height < 1 || max(p.Width, p.Height) > Largest) {
			t.Errorf("%d by %d", p.Width, p.Height)
		}
	})
}

func TestTheSmallCopyAloneIsTheSameAsBeside(t *testing.T) {
	src := jpegOf(t, scene(900, 600), 6)
	small, err := Shrink(src)
	if err != nil {
		t.Fatal(err)
	}
	if head, _, err := image.DecodeConfig(bytes.NewReader(small)); err != nil || head.Width != Small*600/900 || head.Height != Small || red(t, small) != 1 {
		t.Errorf("%+v, %v", head, err)
	}
	if _, err := Shrink([]byte("no photo")); err == nil {
		t.Error("text is shrunk")
	}
}
