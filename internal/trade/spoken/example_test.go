package spoken_test

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/spoken"
)

// Somebody orders by sacks: that tells how much cement, and nothing of strength.
func ExampleAsked_ReadText() {
	var a spoken.Asked
	heard, _ := a.ReadText("5 1/2 sack", quantity.Box{Name: "strength"})
	fmt.Println(heard.ReadBack)
	fmt.Println(heard.Notes[0])
	// Output:
	// 517 lb/yd³ cement  (307 kg/m³)
	// Sacks tell cement, not strength. Type the psi too, or ask the plant.
}

func ExampleBarGrid_ReadText() {
	var g spoken.BarGrid
	_, err := g.ReadText(`#4 18 oc both ways`, quantity.Box{Name: "bars"})
	fmt.Println(g, err)
	fmt.Printf("%.4f in²/ft\n", quantity.In(g.PerWidth(), "in2/ft"))
	// Output:
	// #4 @ 18 in each way <nil>
	// 0.1333 in²/ft
}
