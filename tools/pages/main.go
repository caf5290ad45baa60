// Command pages paints the pictures of real sheets that the README shows, from the shipped example.
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/trade/plan"
)

const example = "examples/boathouse-apron.yaml"

// asOf is the evening before the example's pour, so that the same sources paint the same pictures.
var asOf = time.Date(2027, 6, 16, 23, 30, 0, 0, time.UTC)

// pictures are sheets by name with their resolution in dots per inch.
var pictures = map[string]float64{"joint-plan": 128, "crew-sheet": 120}

func main() {
	if err := paint(); err != nil {
		fmt.Fprintln(os.Stderr, "pages:", err)
		os.Exit(1)
	}
}

func paint() error {
	src, err := os.ReadFile(example)
	if err != nil {
		return err
	}
	j, _, err := intake.Job(example, src, asOf)
	if err != nil {
		return err
	}
	var planner plan.Planner
	p := planner.Make(j)
	for name, dpi := range pictures {
		data, err := pack.Picture(p, name, dpi)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join("docs", "pictures", name+".png"), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
