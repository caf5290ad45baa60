// Command trainstrength learns the strength model from the data beside it, scores it and plainer models on folds grouped by mix,
// prints the table, and with -write puts model.json and docs/validation/strength.md in their places. Run it from the root of the
// repository:
//
//	go run ./tools/trainstrength -write
//
// Everything follows from the seed. -reduced learns and scores at the setting that the ordinary tests repeat, in seconds.
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"

	"slabwright/internal/trade/strength"
)

const (
	modelPath = "internal/trade/strength/model.json"
	pagePath  = "docs/validation/strength.md"
)

func main() {
	reduced := flag.Bool("reduced", false, "the setting of the ordinary tests: prints, writes nothing")
	write := flag.Bool("write", false, "write "+modelPath+" and "+pagePath)
	seed := flag.Uint64("seed", strength.Full.Seed, "of the first deal of mixes into folds")
	folds := flag.Int("folds", 0, "another number of folds than the setting's: prints, writes nothing")
	deals := flag.Int("deals", 0, "another number of deals than the setting's: prints, writes nothing")
	flag.Parse()
	settings := strength.Full
	if *reduced {
		settings = strength.Reduced
	}
	settings.Seed = *seed
	if *folds > 0 {
		settings.Folds = *folds
	}
	if *deals > 0 {
		settings.Repeats = *deals
	}
	if err := run(settings, *write && !*reduced && *folds == 0 && *deals == 0); err != nil {
		fmt.Fprintln(os.Stderr, "trainstrength:", err)
		os.Exit(1)
	}
}

func run(settings strength.Settings, write bool) error {
	data, err := strength.LoadData()
	if err != nil {
		return err
	}
	model, err := strength.Train(data, settings, strength.Reduced)
	if err != nil {
		return err
	}
	if write {
		text, err := json.MarshalIndent(model, "", " ")
		if err != nil {
			return err
		}
		if err := os.WriteFile(modelPath, append(text, '\n'), 0o644); err != nil {
			return err
		}
	}
	plain, err := baselines(data, settings)
	if err != nil {
		return err
	}
	page := report(model, plain, settings)
	fmt.Print(page)
	if !write {
		return nil
	}
	return os.WriteFile(pagePath, []byte(page), 0o644)
}
