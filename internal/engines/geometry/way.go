package geometry

import (
	"math"
	"slices"
)

// ShortestWay returns the shortest line from one point to another that crosses none of the walls and passes round their ends at a
// distance of room metres where it turns, both points included; nil where there is no way. Touching a wall counts as crossing it,
// save where the way begins or ends.
//
// It searches the graph of places that see each other: the two points and four places about each end of a wall. Between walls nearer
// to each other than room a way may be missed or found; it never crosses one. Source: visibility graph and Dijkstra 1959, textbook.
func ShortestWay(from, to Point, walls []Segment, room float64) []Point {
	if sees(from, to, walls) {
		return []Point{from, to}
	}
	places := []Point{from, to}
	for _, w := range walls {
		along := w.Direction().Scale(room)
		across := along.Left()
		for _, end := range []Point{w.A, w.B} {
			for _, turn := range []Point{along.Add(across), along.Sub(across), across.Sub(along), along.Add(across).Scale(-1)} {
				places = append(places, end.Add(turn))
			}
		}
	}
	return cheapest(places, walls)
}

// sees says whether the straight line between two points keeps clear of the walls.
func sees(a, b Point, walls []Segment) bool {
	line := Segment{a, b}
	return !slices.ContainsFunc(walls, func(w Segment) bool {
		switch meeting, at := line.Meet(w); meeting {
		case Apart:
			return false
		case Touching:
			return at != a && at != b
		}
		return true
	})
}

// cheapest is the shortest way from the first place to the second over places that see each other.
func cheapest(places []Point, walls []Segment) []Point {
	far, before, done := make([]float64, len(places)), make([]int, len(places)), make([]bool, len(places))
	for i := range far {
		far[i], before[i] = math.Inf(1), -1
	}
	far[0] = 0
	for {
		at := -1
		for i, d := range far {
			if !done[i] && !math.IsInf(d, 1) && (at < 0 || d < far[at]) {
				at = i
			}
		}
		if at < 0 {
			return nil
		}
		if at == 1 {
			break
		}
		done[at] = true
		for i, p := range places {
			if d := far[at] + places[at].Distance(p); !done[i] && d < far[i] && sees(places[at], p, walls) {
				far[i], before[i] = d, at
			}
		}
	}
	var way []Point
	for i := 1; i >= 0; i = before[i] {
		way = append(way, places[i])
	}
	slices.Reverse(way)
	return way
}
