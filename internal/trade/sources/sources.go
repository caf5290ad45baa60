// Package sources is the registry of everything the program cites: standards, papers, manuals, trade habit. A number shown
// to a person names its source by a key of this registry; a key that is not here fails a test.
package sources

import "sort"

// Key names a source.
type Key string

// Standing says how well a source is known.
type Standing string

// The standings.
const (
	Published Standing = "published" // the document, or a page quoting it, was seen
	Recalled  Standing = "recalled"  // the document is believed to say so; its text was not seen
	Practice  Standing = "common practice"
	Computed  Standing = "computed" // recomputed from stated equations by an independent program
	Exact     Standing = "exact"    // follows from a definition or from arithmetic
	Own       Standing = "our rule" // a decision of this project, open to change
)

// Source is one entry.
type Source struct {
	Key      Key
	Title    string // author, work, edition, table or equation: enough to find it
	Standing Standing
}

// The sources every chapter uses.
const (
	CommonPractice Key = "common-practice"
	Arithmetic     Key = "arithmetic"
	Definition     Key = "definition"
	OwnRule        Key = "own-rule"
	Recomputed     Key = "recomputed"
	ShopPrice      Key = "shop-price-list"
	PlaceholderFee Key = "placeholder-price"
)

var general = []Source{
	{CommonPractice, "Trade habit, no single source", Practice},
	{Arithmetic, "Arithmetic on the values shown", Exact},
	{Definition, "Follows from a definition", Exact},
	{OwnRule, "A rule of this program, open to change", Own},
	{Recomputed, "Recomputed from the equations by an independent program", Computed},
	{ShopPrice, "The shop's own price list", Own},
	{PlaceholderFee, "Invented starting price: replace it with the shop's own", Own},
}

// All lists the registry, by key.
func All() []Source {
	all := append([]Source{}, general...)
	for _, chapter := range [][]Source{structure, site, concrete, curing, building, price, words} {
		all = append(all, chapter...)
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].Key < all[j].Key })
	return all
}

var index = buildIndex()

func buildIndex() map[Key]Source {
	m := map[Key]Source{}
	for _, s := range All() {
		m[s.Key] = s
	}
	return m
}

// Find looks a source up.
func Find(k Key) (Source, bool) {
	s, ok := index[k]
	return s, ok
}

// String is the source as a sheet prints it: title, then how well it is known when that is less than published.
func (k Key) String() string {
	s, ok := index[k]
	switch {
	case !ok:
		return string(k)
	case s.Standing == Recalled:
		return s.Title + " (recalled, not seen)"
	}
	return s.Title
}
