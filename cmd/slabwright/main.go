// Command slabwright plans an outdoor concrete slab: one job file in, the whole plan out.
package main

import (
	"os"
	_ "time/tzdata" // time zones by name, also where the machine has no list of them

	"slabwright/internal/faces/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], cli.System()))
}
