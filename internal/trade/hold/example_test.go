package hold_test

import (
	"fmt"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/hold"
	"slabwright/internal/trade/known"
)

// A heavy axle comes to one panel of 5 in, 10 ft square. Does it hold, and what would help?
func Example() {
	in := hold.Defaults()
	square := geometry.Rectangle(3.05, 3.05)
	in.Panels = []hold.Panel{{Number: 1, Outline: square}}
	in.Prints = []hold.Print{
		{Name: "left tyre", At: geometry.Point{Y: 0.9}, Force: 14000, Along: 0.2, Wide: 0.15},
		{Name: "right tyre", At: geometry.Point{Y: -0.9}, Force: 14000, Along: 0.2, Wide: 0.15},
	}
	in.Thickness = known.Say(quantity.Inches(5))
	in.SubgradeModulus = known.Say(quantity.Of[quantity.SubgradeModulus](100, "pci"))
	in.Finest, in.InfluencePlaces = known.Say(false), known.Say(false)
	r, err := hold.Design(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Worst.Says)
	fmt.Printf("uses %.1f of what is allowed\n", r.Utilisation)
	fmt.Println("what buys most:", r.Changes[0].Says)
	// Output:
	// wheel astray on an edge or corner
	// uses 0.9 of what is allowed
	// what buys most: free edges 2 in thicker
}
