// Package photo takes in photos that people bring: it decodes them within bounds and writes them anew, so that nothing of the file
// that came is kept but the picture. Place and time go with the rest of the camera's notes, unless the person keeps them.
package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	_ "image/png" // photos of screens come as PNG

	scale "golang.org/x/image/draw"
)

// Bounds of a photo that is taken in.
const (
	MaxBytes  = 16 << 20
	MaxPixels = 64 << 20 // width times height, read before anything is decoded
	Largest   = 2048     // pixels of the longest side as kept
	Small     = 640      // pixels of the longest side of the small copy, for lists and sheets
)

// The quality of the JPEG files kept.
const quality, smallQuality = 85, 75

// Kept is what of the camera's notes a person keeps.
type Kept struct{ Time, Place bool }

// Photo is a photo as it is kept.
type Photo struct {
	Full, Small   []byte // JPEG files
	Width, Height int    // of the full one, pixels
	Taken         string // 2027-06-17T07:42:00 by the camera's clock; empty: not kept
	Place         *Place // nil: not kept
}

// Place is where the camera was, degrees, north and east positive.
type Place struct{ Latitude, Longitude float64 }

// Refused says why a file is not taken and what to do instead.
type Refused struct{ Why, Instead string }

func (r Refused) Error() string { return r.Why + " " + r.Instead }

// Take decodes a JPEG or PNG file, turns it upright, makes it no larger than Largest and writes it anew. An error is Refused.
func Take(src []byte, keep Kept) (Photo, error) {
	upright, err := decode(src, Largest)
	if err != nil {
		return Photo{}, err
	}
	p, full := Photo{}, upright.img
	if p.Full, err = encode(full, quality); err != nil {
		return Photo{}, err
	}
	if p.Small, err = encode(within(full, Small), smallQuality); err != nil {
		return Photo{}, err
	}
	p.Width, p.Height = full.Bounds().Dx(), full.Bounds().Dy()
	if keep.Time {
		p.Taken = upright.notes.taken
	}
	if keep.Place {
		p.Place = upright.notes.place
	}
	return p, nil
}

// Shrink is the small copy of a JPEG or PNG file alone. An error is Refused.
func Shrink(src []byte) ([]byte, error) {
	upright, err := decode(src, Small)
	if err != nil {
		return nil, err
	}
	return encode(upright.img, smallQuality)
}

// decoded is a picture as a person held it, with the camera's notes.
type decoded struct {
	img   *image.RGBA
	notes notes
}

func decode(src []byte, longest int) (decoded, error) {
	if len(src) > MaxBytes {
		return decoded{}, Refused{fmt.Sprintf("The photo is %d MB.", len(src)>>20), fmt.Sprintf("Send one of at most %d MB.", MaxBytes>>20)}
	}
	head, kind, err := image.DecodeConfig(bytes.NewReader(src))
	switch {
	case errors.Is(err, image.ErrFormat):
		return decoded{}, Refused{"This is no photo that can be read.", "Send a JPEG or PNG file; set the camera to \"most compatible\"."}
	case err != nil || head.Width <= 0 || head.Height <= 0:
		return decoded{}, damaged
	case head.Width > MaxPixels/head.Height:
		return decoded{}, Refused{fmt.Sprintf("The photo is %d by %d pixels.", head.Width, head.Height), fmt.Sprintf("Send one of at most %d million.", MaxPixels>>20)}
	}
	img, _, err := image.Decode(bytes.NewReader(src))
	if err != nil {
		return decoded{}, damaged
	}
	d := decoded{img: within(img, longest)}
	if kind == "jpeg" {
		d.notes = notesOf(src)
		d.img = turned(d.img, d.notes.orientation)
	}
	return d, nil
}

var damaged = Refused{"The photo is damaged: it ends or breaks off where it should not.", "Take it again, or send the file once more."}

// within is a picture made no larger than a longest side, on white where it lets through.
func within(src image.Image, longest int) *image.RGBA {
	b := src.Bounds()
	w, h := b.Dx(), b.Dy()
	if most := max(w, h); most > longest {
		w, h = max(1, w*longest/most), max(1, h*longest/most)
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	if w == b.Dx() && h == b.Dy() {
		draw.Draw(out, out.Bounds(), src, b.Min, draw.Over)
		return out
	}
	scale.BiLinear.Scale(out, out.Bounds(), src, b, draw.Over, nil)
	return out
}

func encode(img image.Image, quality int) ([]byte, error) {
	var out bytes.Buffer
	err := jpeg.Encode(&out, img, &jpeg.Options{Quality: quality})
	return out.Bytes(), err
}

// turned is a picture as the camera was held: the eight orientations of EXIF 2.32, tag 0x0112.
func turned(src *image.RGBA, orientation int) *image.RGBA {
	if orientation < 2 || orientation > 8 {
		return src
	}
	b := src.Bounds()
	w, h := b.Dx(), b.Dy()
	if orientation >= 5 {
		w, h = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			sx, sy := x, y
			switch orientation {
			case 2:
				sx = w - 1 - x
			case 3:
				sx, sy = w-1-x, h-1-y
			case 4:
				sy = h - 1 - y
			case 5:
				sx, sy = y, x
			case 6:
				sx, sy = y, w-1-x
			case 7:
				sx, sy = h-1-y, w-1-x
			case 8:
				sx, sy = h-1-y, x
			}
			out.SetRGBA(x, y, src.RGBAAt(sx, sy))
		}
	}
	return out
}
