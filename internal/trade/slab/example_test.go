package slab_test

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/slab"
)

// A travel trailer is to be parked on 4 in of stone over clay. The owner asks for 4 in of concrete.
func Example() {
	in := slab.Defaults()
	in.Vehicle = known.Say("travel trailer")
	in.Soil = known.Say("clay or silt")
	in.Thickness = known.Say(quantity.Inches(4))
	r, err := slab.Design(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range r.Checks {
		if c.ID == "slab.holds" {
			fmt.Printf("%s: %s\n", c.Level, c.Says)
			for _, then := range c.Then {
				fmt.Println("-", then)
			}
		}
	}
	// Output:
	// don't: 4 in does not hold: axle crossing a free edge on a hot afternoon comes to 122.2 % of what is allowed.
	// - 5 in holds.
}
