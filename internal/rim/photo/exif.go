package photo

import (
	"bytes"
	"encoding/binary"
	"math"
	"strings"
	"time"
)

// notes are what a camera wrote beside the picture, as far as it is used here.
type notes struct {
	orientation int // 1 to 8; 0: not said
	taken       string
	place       *Place
}

// Tags of EXIF 2.32 (CIPA DC-008), annex of tags.
const (
	tagOrientation = 0x0112
	tagExif        = 0x8769
	tagGPS         = 0x8825
	tagTaken       = 0x9003
	tagNorthSouth  = 1
	tagLatitude    = 2
	tagEastWest    = 3
	tagLongitude   = 4
)

// notesOf reads the camera's notes in a JPEG file; what cannot be read is left out.
func notesOf(src []byte) (n notes) {
	t, ok := tiffOf(src)
	if !ok {
		return n
	}
	main := t.entries(t.long(4))
	if v, ok := main[tagOrientation]; ok && len(v) >= 2 {
		n.orientation = int(t.order.Uint16(v))
	}
	if v, ok := main[tagExif]; ok && len(v) >= 4 {
		taken := strings.TrimRight(string(t.entries(t.order.Uint32(v))[tagTaken]), "\x00 ")
		if at, err := time.Parse("2006:01:02 15:04:05", taken); err == nil {
			n.taken = at.Format("2006-01-02T15:04:05")
		}
	}
	if v, ok := main[tagGPS]; ok && len(v) >= 4 {
		gps := t.entries(t.order.Uint32(v))
		latitude, okLat := t.degrees(gps[tagLatitude], gps[tagNorthSouth], "S")
		longitude, okLon := t.degrees(gps[tagLongitude], gps[tagEastWest], "W")
		if okLat && okLon && math.Abs(latitude) <= 90 && math.Abs(longitude) <= 180 {
			n.place = &Place{latitude, longitude}
		}
	}
	return n
}

// tiff is the table of notes: offsets count from its first byte.
type tiff struct {
	text  []byte
	order binary.ByteOrder
}

// tiffOf finds the table in a JPEG file's segments.
func tiffOf(src []byte) (tiff, bool) {
	for at := 2; at+4 <= len(src) && src[at] == 0xff; {
		kind, size := src[at+1], int(binary.BigEndian.Uint16(src[at+2:]))
		if kind == 0xda || size < 2 || at+2+size > len(src) {
			break
		}
		body := src[at+4 : at+2+size]
		if text, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00")); ok && kind == 0xe1 && len(text) >= 8 {
			switch string(text[:2]) {
			case "II":
				return tiff{text, binary.LittleEndian}, true
			case "MM":
				return tiff{text, binary.BigEndian}, true
			}
		}
		at += 2 + size
	}
	return tiff{}, false
}

func (t tiff) long(at int) uint32 {
	if at+4 > len(t.text) {
		return 0
	}
	return t.order.Uint32(t.text[at:])
}

// sizes of the kinds of value, bytes.
var sizes = map[uint16]uint64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 9: 4, 10: 8}

// entries reads one directory: the bytes of each value by tag.
func (t tiff) entries(offset uint32) map[uint16][]byte {
	out := map[uint16][]byte{}
	at := uint64(offset)
	if at < 8 || at+2 > uint64(len(t.text)) {
		return out
	}
	count := uint64(t.order.Uint16(t.text[at:]))
	for i := range count {
		e := at + 2 + 12*i
		if e+12 > uint64(len(t.text)) {
			break
		}
		field := t.text[e : e+12]
		size := sizes[t.order.Uint16(field[2:])] * uint64(t.order.Uint32(field[4:]))
		value := field[8:12]
		if size > 4 {
			from := uint64(t.order.Uint32(value))
			if from+size > uint64(len(t.text)) {
				continue
			}
			value = t.text[from : from+size]
		} else {
			value = value[:size]
		}
		out[t.order.Uint16(field)] = value
	}
	return out
}

// degrees reads three fractions: degrees, minutes, seconds; negative names the letter that turns the sign.
func (t tiff) degrees(v, letter []byte, negative string) (float64, bool) {
	if len(v) < 24 || len(letter) == 0 {
		return 0, false
	}
	sum := 0.0
	for i, share := range []float64{1, 60, 3600} {
		over, under := t.order.Uint32(v[8*i:]), t.order.Uint32(v[8*i+4:])
		if under == 0 {
			return 0, false
		}
		sum += float64(over) / float64(under) / share
	}
	if strings.HasPrefix(string(letter), negative) {
		sum = -sum
	}
	return sum, true
}
