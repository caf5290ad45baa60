// Command trainstrength trains the strength model from the data beside it, scores it and plainer models on folds grouped by mix,
// prints the table, and with -write puts model.json and docs/validation/strength.md in their places. Run it from the root of the
// repository:
//
//	go run ./tools/trainstrength -nested -write
//
// Everything follows from the seed. Without -nested the kernel is not tuned anew inside the folds (ten times the work) and the scores
// of that kind are kept from the model that stands.
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
	nested := flag.Bool("nested", false, "tune the kernel anew inside every fold, too")
	write := flag.Bool("write", false, "write "+modelPath+" and "+pagePath)
	seed := flag.Uint64("seed", strength.Full.Seed, "of the first deal of mixes into folds")
	flag.Parse()
	if err := run(*nested, *write, *seed); err != nil {
		fmt.Fprintln(os.Stderr, "trainstrength:", err)
		os.Exit(1)
	}
}

func run(nested, write bool, seed uint64) error {
	data, err := strength.LoadData()
	if err != nil {
		return err
	}
	settings := strength.Full
	settings.Seed = seed
	model, err := strength.Train(data, settings)
	if err != nil {
		return err
	}
	if model.Nested, err = nestedScores(data, settings, nested); err != nil {
		return err
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
	text, err := json.MarshalIndent(model, "", " ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(modelPath, append(text, '\n'), 0o644); err != nil {
		return err
	}
	return os.WriteFile(pagePath, []byte(page), 0o644)
}

// nestedScores scores with the kernel tuned inside every fold, or keeps what the standing model says.
func nestedScores(data strength.Data, settings strength.Settings, again bool) ([]strength.Scores, error) {
	if again {
		settings.Repeats = 1
		return strength.Validate(data, settings)
	}
	text, err := os.ReadFile(modelPath)
	if err != nil {
		return nil, err
	}
	var standing strength.Model
	return standing.Nested, json.Unmarshal(text, &standing)
}
