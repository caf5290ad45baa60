// Command slabwright plans an outdoor concrete slab: one job file in, the whole plan out.
package main

import (
	"os"

	"slabwright/internal/faces/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], cli.System()))
}
