package sparse_test

import (
	"context"
	"fmt"

	"slabwright/internal/engines/sparse"
)

// Three masses hang in a row on four springs of 100 N/m between two walls; the middle one weighs 10 N.
func ExampleDecompose() {
	springs := [][]int{{0, 1}, {1, 2}}
	p, err := sparse.NewPattern(1, []float64{0, 1, 2}, []float64{0, 0, 0}, func(yield func([]int) bool) {
		for _, s := range springs {
			if !yield(s) {
				return
			}
		}
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := p.Matrix()
	for _, s := range springs {
		m.Add(s, []float64{100, -100, -100, 100})
	}
	m.Add([]int{0}, []float64{100}) // to the walls
	m.Add([]int{2}, []float64{100})
	f, err := sparse.Decompose(context.Background(), m)
	if err != nil {
		fmt.Println(err)
		return
	}
	x := []float64{0, 10, 0}
	if _, err := f.Solve(x); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f\n", x)
	// Output: [0.050 0.100 0.050]
}
