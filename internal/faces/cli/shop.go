package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/shop"
)

// shopFile is what a shop's lists are called where nobody says.
const shopFile = "shop.yaml"

// noShop says that no lists are wanted.
const noShop = "none"

// shopPath is the file of the shop's lists a job is planned with: as asked, beside the job file, or in the person's data folder;
// empty where there is none.
func (s *session) shopPath(beside string) string {
	if s.Shop == noShop {
		return ""
	}
	if s.Shop != "" {
		return s.Shop
	}
	places := []string{filepath.Join(filepath.Dir(beside), shopFile)}
	if data := s.Getenv("XDG_DATA_HOME"); data != "" {
		places = append(places, filepath.Join(data, "slabwright", shopFile))
	} else if home := s.Getenv("HOME"); home != "" {
		places = append(places, filepath.Join(home, ".local", "share", "slabwright", shopFile))
	}
	for _, path := range places {
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
			return path
		}
	}
	return ""
}

// lists are the shop's own, for the jobs beside a file; nil where there are none. Each file is read once.
func (s *session) lists(beside string) (*intake.Lists, error) {
	path := s.shopPath(beside)
	if path == "" {
		return nil, nil
	}
	if l, ok := s.shops[path]; ok {
		return l, nil
	}
	l, _, err := s.readShop(path)
	if err != nil {
		return nil, err
	}
	if s.shops == nil {
		s.shops = map[string]*intake.Lists{}
	}
	s.shops[path] = l
	if !s.Quiet && s.Shop == "" {
		fmt.Fprintf(s.Err, "With the shop's lists of %s (leave them out: --shop none).\n", path)
	}
	return l, nil
}

func (s *session) readShop(path string) (*intake.Lists, []byte, error) {
	src, err := intake.File(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, exit{code: NotFound, err: fmt.Errorf("there is no file %s", path), hint: "Start one: slabwright shop set price.materials.concrete 165 --shop " + path}
	}
	if err != nil {
		return nil, nil, err
	}
	today, err := s.today(nil)
	if err != nil {
		return nil, nil, err
	}
	l, notes, err := intake.Shop(path, src, today)
	if !s.Quiet {
		for _, n := range notes {
			fmt.Fprintf(s.Err, "%s:%d:%d: %s: %s\n", n.File, n.Line, n.Column, n.Field, n.Says)
		}
	}
	return l, src, err
}

// shopCommand is the shop's own lists.
type shopCommand struct {
	Show    shopShow    `cmd:"" help:"What the shop has set, what is still assumed, how old its prices are."`
	Set     shopSet     `cmd:"" help:"Set one value on the shop's lists."`
	Take    shopTake    `cmd:"" help:"Take over what finished jobs say of rates, waste and bases."`
	Check   shopCheck   `cmd:"" help:"Read the lists and try them on a plain slab."`
	History shopHistory `cmd:"" help:"What was set when and by whom."`
	Schema  shopSchema  `cmd:"" help:"Print the JSON Schema of a shop's lists."`
}

// Help shows how it is used.
func (shopCommand) Help() string {
	return `The lists are a file, shop.yaml: beside the job files, in your data folder, or named with --shop. Jobs take from it what they do not say.
Examples:
  slabwright shop set price.materials.concrete 172 --by Ada
  slabwright shop show price
  slabwright shop take done/*.yaml                          shows what your finished jobs say
  slabwright shop take done/*.yaml --field price.rates.forms --by Ada`
}

type shopShow struct {
	Find string `arg:"" optional:"" help:"Only lines with this in their name or words."`
}

// shopLine is a line for scripts.
type shopLine struct {
	Field  string       `json:"field"`
	Says   string       `json:"says"`
	Origin known.Origin `json:"origin"`
	Text   string       `json:"text"`
	SI     *float64     `json:"si,omitempty"`
	On     string       `json:"on,omitempty"`
	By     string       `json:"by,omitempty"`
	Old    bool         `json:"old,omitempty"`
	Assume bool         `json:"invented,omitempty"`
}

// Run prints the lists.
func (c shopShow) Run(s *session) error {
	l, err := s.theLists()
	if err != nil {
		return err
	}
	now, today := l.Now(), quantity.DateOf(s.asOf())
	t := speak.Of(job.Job{Units: now.Units, Currency: orDollar(now.Currency)})
	lines := slices.DeleteFunc(now.Lines(today), func(l shop.Line) bool {
		return l.Origin == known.Missing || !strings.Contains(strings.ToLower(l.Field+" "+l.Says), strings.ToLower(c.Find))
	})
	switch {
	case s.JSON:
		views := []shopLine{}
		for _, l := range lines {
			views = append(views, viewOf(l, t))
		}
		return s.printJSON(map[string]any{"lines": views, "crews": nonNil(now.Crews), "plants": nonNil(now.Plants), "gear": nonNil(now.Gear)})
	case s.Plain:
		for _, l := range lines {
			s.fields(append([]string{l.Field, string(l.Origin)}, t.Plain(l.Value)...)...)
		}
		return nil
	}
	s.shopTable(lines, t)
	s.shopNames(now, t, strings.ToLower(c.Find))
	return nil
}

func nonNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func viewOf(l shop.Line, t speak.Tongue) shopLine {
	v := shopLine{Field: l.Field, Says: l.Says, Origin: l.Origin, Text: t.Value(l.Value), By: l.By, Old: l.Old, Assume: l.Invented}
	if l.Value.Kind != quantity.AsText {
		v.SI = &l.Value.SI
	}
	if !l.On.IsZero() {
		v.On = l.On.ISO()
	}
	return v
}

func (s *session) shopTable(lines []shop.Line, t speak.Tongue) {
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	section := ""
	for _, l := range lines {
		if l.Section != section {
			section = l.Section
			fmt.Fprintf(w, "%s\n", section)
		}
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\n", strings.TrimPrefix(l.Field, section+"."), l.Says, t.Value(l.Value), standing(l))
	}
	w.Flush()
}

// standing says how a line is known.
func standing(l shop.Line) string {
	switch {
	case l.Invented:
		return "assumed (invented)"
	case l.Origin == known.Assumed:
		return "assumed"
	case l.On.IsZero():
		return "set, no day known"
	}
	says := "set " + l.On.Time().Format("2 Jan 2006")
	if l.By != "" {
		says += " by " + l.By
	}
	if l.Old {
		says += fmt.Sprintf(", OLD: %d days", l.Days)
	}
	return says
}

func (s *session) shopNames(now shop.Shop, t speak.Tongue, find string) {
	if find != "" && !strings.Contains("crews plants gear", find) {
		return
	}
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for i, c := range now.Crews {
		fmt.Fprintf(w, "crew %d\t%s\tforeman %s\t%s\n", i+1, c.Name.Value, orNot(c.Foreman.Value), shownOr(t, c.People, "people not said", " people"))
	}
	for i, p := range now.Plants {
		fmt.Fprintf(w, "plant %d\t%s\t%s\t%s\n", i+1, p.Name.Value, shownOr(t, p.Haul, "drive not said", " away"), shownOr(t, p.Hourly, "yards an hour not said", ""))
	}
	for i, g := range now.Gear {
		fmt.Fprintf(w, "gear %d\t%s\t%s\t%s\n", i+1, g.Name.Value, shownOr(t, g.Count, "1", ""), g.Says.Value)
	}
	w.Flush()
}

func orNot(text string) string {
	if text == "" {
		return "not said"
	}
	return text
}

func shownOr[T any](t speak.Tongue, k known.Known[T], not, after string) string {
	if !k.Given() {
		return not
	}
	return t.Value(k.Show("")) + after
}

func orDollar(currency string) string {
	if currency == "" {
		return "$"
	}
	return currency
}

// theLists are those the command is about; it is an error that there are none.
func (s *session) theLists() (*intake.Lists, error) {
	l, err := s.lists(".")
	if l == nil && err == nil {
		err = exit{code: NotFound, err: errors.New("there are no lists of the shop yet"), hint: "Start them: slabwright shop set price.materials.concrete 165 --by YOU"}
	}
	return l, err
}

// asOf is the moment commands without a job work as of.
func (s *session) asOf() time.Time {
	t, err := s.today(nil)
	if err != nil {
		return s.Now()
	}
	return t
}

type shopSet struct {
	Field string `arg:"" help:"What to set, like price.materials.concrete or plants[1].haul."`
	Value string `arg:"" help:"Its value, as you would say it."`
	By    string `help:"Who sets it." placeholder:"NAME"`
}

// Run sets one value, and keeps a line of the history.
func (c shopSet) Run(s *session) error {
	return s.changeShop(c.By, "", []setting{{c.Field, c.Value}})
}

// setting is one value to set, as typed.
type setting struct{ field, text string }

// changeShop sets values on the lists: the file is written whole once all of it reads and a plain slab can be planned with it.
func (s *session) changeShop(by, why string, settings []setting) error {
	path := s.shopPath(".")
	if path == "" {
		path = shopFile
	}
	src, err := intake.File(path)
	if errors.Is(err, fs.ErrNotExist) {
		src, err = []byte("# The shop's own lists. What a job does not say, it takes from here.\n"), nil
	}
	if err != nil {
		return err
	}
	today := s.asOf()
	before, _, err := intake.Shop(path, src, today)
	if err != nil {
		return err
	}
	text := src
	for _, one := range settings {
		if text, err = intake.SetLine(path, text, one.field, one.text); err != nil {
			return exit{code: WrongUsage, err: err}
		}
	}
	after, _, err := intake.Shop(path, text, today)
	if err != nil {
		return exit{code: WrongUsage, err: err, hint: "Nothing was written."}
	}
	if err := s.tried(after, path, text); err != nil {
		return err
	}
	changes := intake.ShopChanges(before.Document(), after.Document())
	if len(changes) == 0 {
		fmt.Fprintln(s.Out, "It stands so already.")
		return nil
	}
	for i := range changes {
		changes[i].On, changes[i].By, changes[i].Step = quantity.DateOf(today), by, why
	}
	if text, err = intake.Remember(path, text, changes...); err != nil {
		return err
	}
	if err := intake.WriteWhole(path, text); err != nil {
		return exit{code: Failed, err: err}
	}
	for _, e := range changes {
		fmt.Fprintf(s.Out, "%s: %s (%s)\n", e.Field, e.Now, wasWord(e.Was))
	}
	return nil
}

func wasWord(was string) string {
	if was == "" {
		return "not set before"
	}
	return "was " + was
}

// tried plans a plain slab with the lists; what no stage can use comes with its place.
func (s *session) tried(l *intake.Lists, path string, src []byte) error {
	faults := plan.Tried(l.Now(), s.asOf())
	if len(faults) == 0 {
		return nil
	}
	placed, left := intake.Placed(path, src, faults)
	if len(left) > 0 {
		return left
	}
	return placed
}

type shopCheck struct{}

// Run reads the lists and tries them.
func (shopCheck) Run(s *session) error {
	path := s.shopPath(".")
	if path == "" {
		_, err := s.theLists()
		return err
	}
	l, src, err := s.readShop(path)
	if err != nil {
		return err
	}
	if err := s.tried(l, path, src); err != nil {
		return err
	}
	own, invented, old := 0, 0, 0
	for _, line := range l.Now().Lines(quantity.DateOf(s.asOf())) {
		switch {
		case line.Old:
			own, old = own+1, old+1
		case line.Origin == known.Listed:
			own++
		case line.Invented:
			invented++
		}
	}
	fmt.Fprintf(s.Out, "%s: %s set, %s, %s still invented.\n", path, counted(own, "value", "values"), counted(old, "price old", "prices old"), counted(invented, "price", "prices"))
	return nil
}

type shopHistory struct {
	Field string `arg:"" optional:"" help:"Only what was set at or under this field."`
}

// Run prints the history, newest first.
func (c shopHistory) Run(s *session) error {
	l, err := s.theLists()
	if err != nil {
		return err
	}
	lines := slices.DeleteFunc(slices.Clone(l.Now().History), func(e shop.Entry) bool { return !strings.HasPrefix(e.Field, c.Field) })
	if s.JSON {
		return s.printJSON(nonNil(lines))
	}
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	for _, e := range lines {
		if s.Plain {
			s.fields(e.On.ISO(), e.By, e.Field, e.Was, e.Now, e.Step)
			continue
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\n", e.On, orNot(e.By), e.Field, e.Now, wasWord(e.Was), e.Step)
	}
	return w.Flush()
}

type shopSchema struct{}

// Run prints the schema.
func (shopSchema) Run(s *session) error { return s.printJSON(intake.ShopSchema()) }
