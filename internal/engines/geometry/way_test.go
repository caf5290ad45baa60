package geometry

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

func ExampleShortestWay() {
	// A fence between a truck and the far end of a slab: round its end.
	way := ShortestWay(Point{0, 0}, Point{10, 0}, []Segment{{Point{5, -3}, Point{5, 20}}}, 0.5)
	fmt.Printf("%.2f m, turning at %.1f\n", PathLength(way), way[1:len(way)-1])
	// Output: 12.22 m, turning at [{4.5 -3.5}]
}

func TestAWalledPlaceHasNoWay(t *testing.T) {
	yard := edgesOf([]Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}})
	if way := ShortestWay(Point{2, 2}, Point{9, 9}, yard, 0.5); way != nil {
		t.Errorf("a way out of a closed yard: %v", way)
	}
	if way := ShortestWay(Point{2, 2}, Point{9, 9}, yard[:3], 0.5); way == nil {
		t.Error("no way out of an open yard")
	}
}

// A way crosses no wall, is never shorter than the straight line, and is that line where it is clear.
func TestWaysKeepClearAndAreNoShorterThanStraight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := func(name string) Point {
			return Point{rapid.Float64Range(-20, 20).Draw(t, name+" x"), rapid.Float64Range(-20, 20).Draw(t, name+" y")}
		}
		from, to := place("from"), place("to")
		var walls []Segment
		for range rapid.IntRange(0, 6).Draw(t, "walls") {
			if w := (Segment{place("a"), place("b")}); w.Length() > 0.01 {
				walls = append(walls, w)
			}
		}
		way := ShortestWay(from, to, walls, 0.5)
		if way == nil {
			return
		}
		if way[0] != from || way[len(way)-1] != to || PathLength(way) < from.Distance(to)-1e-9 {
			t.Fatalf("%v from %v to %v", way, from, to)
		}
		for i := 1; i < len(way); i++ {
			for _, w := range walls {
				if m, _ := (Segment{way[i-1], way[i]}).Meet(w); m == Crossing {
					t.Fatalf("leg %d crosses %v", i, w)
				}
			}
		}
		if sees(from, to, walls) && len(way) != 2 {
			t.Fatalf("a bent way %v where the straight one is clear", way)
		}
	})
}
