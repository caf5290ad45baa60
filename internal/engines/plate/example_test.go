package plate_test

import (
	"context"
	"fmt"
	"math"

	"slabwright/internal/engines/plate"
)

// A trailer wheel of 20 kN stands at the edge of a parking pad 4 × 4 m, 150 mm thick, on middling soil.
func ExampleSolve() {
	slab := plate.Slab{
		Panels:    []plate.Panel{{Outline: plate.Polygon{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}}},
		Thickness: 0.15, Modulus: 27.6e9, Poisson: 0.15, Support: 54e6,
	}
	tyre := plate.Rectangle(plate.Point{X: 0.1, Y: 2}, 0.2, 0.2, 20e3)
	r, err := plate.Solve(context.Background(), slab, plate.Load{Patches: []plate.Patch{tyre}}, plate.Mesh{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("tension at the bottom %.2f MPa at (%.1f, %.1f), sinks %.2f mm\n",
		r.Bottom.Value/1e6, r.Bottom.At.X, r.Bottom.At.Y, r.Down.Value*1e3)
	fmt.Printf("on the slab %.1f kN, from the soil %.1f kN\n", r.Balance.Applied/1e3, r.Balance.Soil/1e3)
	// Output:
	// tension at the bottom 2.22 MPa at (0.0, 2.0), sinks 0.38 mm
	// on the slab 20.0 kN, from the soil 20.0 kN
}

// Two bays with a joint that passes shear, and an axle that may stand anywhere, along the bays or across.
func ExampleFactored_Drive() {
	slab := plate.Slab{Thickness: 0.15, Modulus: 27.6e9, Poisson: 0.15, Support: 54e6}
	slab.Panels, slab.Joints = plate.Bays([]float64{0, 3, 6}, []float64{0, 4}, nil, slab.JointShear(3))
	axle := []plate.Patch{
		plate.Rectangle(plate.Point{X: 0, Y: 0.9}, 0.25, 0.2, 20e3),
		plate.Rectangle(plate.Point{X: 0, Y: -0.9}, 0.25, 0.2, 20e3),
	}
	f, err := plate.Factor(context.Background(), slab, plate.Mesh{})
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := f.Drive(context.Background(), plate.Drive{Patches: axle, Headings: []float64{0, math.Pi / 2}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("worst at the bottom: %.1f MPa, tyres on the slab: %d\n", e.Bottom.Extreme.Value/1e6, len(e.Bottom.Patches))
	fmt.Printf("worst at the top: %.1f MPa, sinks most: %.1f mm\n", e.Top.Extreme.Value/1e6, e.Down.Extreme.Value*1e3)
	// Output:
	// worst at the bottom: 2.2 MPa, tyres on the slab: 2
	// worst at the top: 1.5 MPa, sinks most: 1.0 mm
}
