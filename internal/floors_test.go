// Package internal holds only the test of the house's law: which floor may import which.
package internal

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// policy is the law of the four floors: a line says who may import whom inside this module. It is a statement of
// policy: a build that breaks it is mended in the importing package, not here.
const policy = `
	internal/engines:              internal/engines
	internal/trade/sources:        NONE
	internal/trade/known:          internal/engines internal/trade/sources
	internal/trade/check:          internal/engines internal/trade/sources
	internal/trade/working:        internal/engines internal/trade/sources internal/trade/known internal/trade/check
	internal/trade/working/workingtest: internal/engines internal/trade/sources internal/trade/known internal/trade/check internal/trade/working
	internal/trade/draft:          internal/engines
	internal/trade/spoken:         internal/engines internal/trade/sources internal/trade/known
	internal/trade/bounds:         internal/engines internal/trade/sources internal/trade/known internal/trade/check internal/trade/spoken
	internal/trade/fresh:          internal/engines
	internal/trade/strength:       internal/engines internal/trade/sources
	internal/trade/fresh:          internal/engines internal/trade/sources internal/trade/known internal/trade/check internal/trade/spoken internal/trade/bounds
	internal/trade/strength:       internal/engines internal/trade/sources internal/trade/known internal/trade/check internal/trade/spoken internal/trade/bounds
	internal/trade/hydration:      internal/engines internal/trade/sources internal/trade/known internal/trade/spoken
	internal/trade/STAGE:          internal/engines internal/trade/sources internal/trade/known internal/trade/check internal/trade/working internal/trade/draft internal/trade/spoken internal/trade/bounds internal/trade/hydration internal/trade/fresh internal/trade/strength
	internal/trade/job:            internal/engines internal/trade
	internal/trade/shop:           internal/engines internal/trade
	internal/trade/week:           internal/engines internal/trade
	internal/trade/proof:          internal/engines internal/trade/sources
	internal/trade/plan:           internal/engines internal/trade
	internal/rim:                  internal/engines internal/trade internal/rim
	internal/faces:                internal/engines internal/trade internal/rim internal/faces
	cmd:                           internal/faces
`

// engineLibraries are the only modules the engines may use beside the standard library.
var engineLibraries = []string{"gonum.org/v1/gonum/", "github.com/peterstace/simplefeatures/"}

var stages = []string{"site", "mix", "slab", "grade", "joints", "steel", "forms", "order", "access", "hold", "backing", "pour", "cure", "price", "record"}

func rules() map[string][]string {
	m := map[string][]string{}
	for line := range strings.Lines(policy) {
		who, whom, ok := strings.Cut(strings.TrimSpace(line), ":")
		if ok {
			m[who] = strings.Fields(whom)
		}
	}
	return m
}

func under(pkg, floor string) bool { return pkg == floor || strings.HasPrefix(pkg, floor+"/") }

// ruleFor is the longest policy line that covers pkg; stages share one line and never see each other.
func ruleFor(pkg string, all map[string][]string) ([]string, bool) {
	for _, s := range stages {
		if under(pkg, "internal/trade/"+s) {
			return append([]string{"internal/trade/" + s}, all["internal/trade/STAGE"]...), true
		}
	}
	best, found := "", false
	for who := range all {
		if under(pkg, who) && len(who) > len(best) {
			best, found = who, true
		}
	}
	return all[best], found
}

func TestArrowsOnlyPointDownwards(t *testing.T) {
	all, seen := rules(), 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		pkg := filepath.ToSlash(filepath.Dir(strings.TrimPrefix(path, "../")))
		if !under(pkg, "internal") && !under(pkg, "cmd") {
			return nil
		}
		seen++
		allowed, ok := ruleFor(pkg, all)
		if !ok {
			t.Errorf("%s stands on no floor; name it in the policy", pkg)
		}
		for _, imported := range importsOf(t, path) {
			checkImport(t, pkg, imported, allowed)
		}
		return nil
	})
	if err != nil || seen < 10 {
		t.Fatalf("looked at %d files: %v", seen, err)
	}
}

func checkImport(t *testing.T, pkg, imported string, allowed []string) {
	t.Helper()
	inner, ours := strings.CutPrefix(imported, "slabwright/")
	if !ours {
		if under(pkg, "internal/engines") && strings.Contains(imported, ".") && !anyPrefix(imported, engineLibraries) {
			t.Errorf("%s imports %s: an engine uses the standard library, gonum and simplefeatures only", pkg, imported)
		}
		return
	}
	for _, floor := range allowed {
		if under(inner, floor) {
			return
		}
	}
	t.Errorf("%s imports %s: not below it", pkg, inner)
}

func anyPrefix(s string, prefixes []string) bool {
	for _, p := range prefixes {
		if strings.HasPrefix(s, p) {
			return true
		}
	}
	return false
}

func importsOf(t *testing.T, path string) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, imported)
	}
	return out
}
