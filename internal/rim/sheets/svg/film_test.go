package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/rim/sheets/page"
)

func smallFilm() Film {
	stands := []drawing.Stand{{}, {At: drawing.Point{X: 1, Y: 2}, Heading: math.Pi / 2}, {At: drawing.Point{X: 2, Y: 2}, Heading: math.Pi}}
	return Film{Film: &drawing.Film{Seconds: 3, Bodies: []drawing.FilmBody{{Outline: []drawing.Point{{X: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}}, Stands: stands, Ref: "truck & <trailer>"}},
		Words: []drawing.FilmWord{{From: 0, To: 0.5, Says: "Back 3 ft"}, {From: 0.5, To: 1, Says: "Forward <2 ft"}}},
		On: func(p drawing.Point) page.Point { return p.Scale(10).Add(page.Point{X: 5, Y: 5}) }}
}

func TestAFilmStandsAloneAndMayBeStill(t *testing.T) {
	var out bytes.Buffer
	if err := WriteFilm(&out, page.Page{Title: "In & out", Paper: page.Letter}, smallFilm()); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	for d := xml.NewDecoder(strings.NewReader(text)); ; {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"prefers-reduced-motion:reduce){.go{animation:none}}", "@media print{.go{animation:none}}", "svg:focus .go{animation-play-state:paused}", `tabindex="0"`,
		"@keyframes body0{0%{transform:translate(5px,274.4px) rotate(0deg)}50%{transform:translate(15px,254.4px) rotate(-90deg)}", "animation-name:body0;transform:translate(25px,254.4px) rotate(-180deg)", "2. Forward &lt;2 ft"} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %s in\n%s", want, text)
		}
	}
	for _, never := range []string{"<script", "href", "url(", "NaN"} {
		if strings.Contains(text, never) {
			t.Errorf("holds %s", never)
		}
	}
}

func TestAFilmOfNothingIsRefused(t *testing.T) {
	for _, f := range []Film{{}, {Film: &drawing.Film{Seconds: 1}}, {Film: &drawing.Film{Seconds: 1, Bodies: []drawing.FilmBody{{}}}}} {
		if err := WriteFilm(io.Discard, page.Page{Paper: page.Letter}, f); err == nil {
			t.Errorf("%+v is filmed", f)
		}
	}
}
