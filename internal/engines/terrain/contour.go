package terrain

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// Contour is all lines of one height.
type Contour struct {
	Level float64 // metres
	Lines [][]geometry.Point
}

// Length returns the length of all its lines in plan, metres.
func (c Contour) Length() float64 {
	sum := 0.0
	for _, line := range c.Lines {
		sum += geometry.PathLength(line)
	}
	return sum
}

// Contour returns the lines where the surface has the given height, higher ground on their right. A line that comes back
// to its start ends on its first point. A shot exactly at the level counts as just above it, so lines never fork and a
// flat at the level is drawn by its lower rim. Checked: SITE-10.
func (s *Surface) Contour(level float64) Contour {
	return s.contour(level, make([]bool, s.Len()))
}

// mostContours bounds the number of levels: more cannot be told apart on paper.
const mostContours = 10000

// Contours returns the contours at every whole multiple of interval metres that the surface reaches.
func (s *Surface) Contours(interval float64) ([]Contour, error) {
	low, high := s.heights()
	first, last := math.Ceil(low/interval), math.Floor(high/interval)
	if !(interval > 0) || last-first > mostContours {
		return nil, fmt.Errorf("terrain: a contour every %g m over %.3f m of height: give a larger interval", interval, high-low)
	}
	var out []Contour
	visited := make([]bool, s.Len())
	for k := first; k <= last; k++ {
		if c := s.contour(k*interval, visited); len(c.Lines) > 0 {
			out = append(out, c)
		}
		clear(visited)
	}
	return out, nil
}

// heights returns the lowest and highest shot of the triangles.
func (s *Surface) heights() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, h := range s.halves {
		low, high = min(low, s.z(h.from)), max(high, s.z(h.from))
	}
	return low, high
}

func (s *Surface) contour(level float64, visited []bool) Contour {
	c := Contour{Level: level}
	add := func(entry int32) {
		if line := s.follow(entry, level, visited); len(line) > 1 {
			c.Lines = append(c.Lines, line)
		}
	}
	for h := range s.halves {
		if h := int32(h); s.twin(h) < 0 && s.falls(h, level) {
			add(h)
		}
	}
	for h := range s.halves {
		if h := int32(h); !visited[h/3] && s.falls(h, level) {
			add(h)
		}
	}
	return c
}

// falls reports whether the half runs from above the level to below it: there a contour enters its triangle.
func (s *Surface) falls(h int32, level float64) bool {
	return s.z(s.from(h)) >= level && s.z(s.to(h)) < level
}

// follow draws the contour from the half where it enters until it leaves the surface or closes.
func (s *Surface) follow(entry int32, level float64, visited []bool) []geometry.Point {
	line := []geometry.Point{s.crossLevel(entry, level)}
	for h := entry; h >= 0 && !visited[h/3]; {
		visited[h/3] = true
		exit := next(h)
		if !(s.z(s.from(exit)) < level && s.z(s.to(exit)) >= level) {
			exit = next(exit)
		}
		if p := s.crossLevel(exit, level); p != line[len(line)-1] {
			line = append(line, p)
		}
		h = s.twin(exit)
	}
	return line
}

// crossLevel is where the half meets the level, computed from its lower end so that both sides of an edge agree.
func (s *Surface) crossLevel(h int32, level float64) geometry.Point {
	a, b := s.from(h), s.to(h)
	if s.z(a) > s.z(b) {
		a, b = b, a
	}
	if s.z(b) == level {
		return s.point(b)
	}
	return s.point(a).Lerp(s.point(b), (level-s.z(a))/(s.z(b)-s.z(a)))
}
