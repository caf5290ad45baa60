// Package cli is the command line: it parses, calls and prints. No rule of the trade lives here.
package cli

import (
	"errors"
	"fmt"
	"os"
	"os/signal"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/alecthomas/kong"
	"github.com/posener/complete"
	"github.com/willabides/kongplete"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/check"
)

// Version is set when a release is built.
var Version = "0.1"

// The exit codes.
const (
	Done        = 0
	Failed      = 1
	WrongUsage  = 2
	AnsweredNo  = 3
	Missing     = 4
	NotFound    = 5
	Uncomputed  = 7
	Interrupted = 130
)

// exit is an error that knows its exit code. A nil err prints nothing.
type exit struct {
	code int
	err  error
	hint string
}

func (e exit) Error() string {
	if e.err == nil {
		return fmt.Sprintf("exit %d", e.code)
	}
	return e.err.Error()
}

func (e exit) Unwrap() error { return e.err }

// Globals are the options every command takes.
type Globals struct {
	JSON    bool   `help:"Print one JSON object for scripts." group:"Output" xor:"form"`
	Plain   bool   `help:"Print tab-separated lines for scripts." group:"Output" xor:"form"`
	NoColor bool   `help:"No colour; also when NO_COLOR is set." group:"Output"`
	Quiet   bool   `short:"q" help:"Print the answer only." group:"Output"`
	Shop    string `help:"The shop's own lists; else shop.yaml beside the job file or in your data folder; none for no lists." placeholder:"FILE" group:"Input"`
	AsOf    string `help:"Plan as of this day (2027-06-17, or \"2027-06-17 05:00\") instead of now: same input, same output." placeholder:"DATE" group:"Output"`
}

// Commands is the whole command line.
type Commands struct {
	Globals
	Version kong.VersionFlag `help:"Print the version."`

	New     newCommand     `cmd:"" help:"Start a job file from three numbers."`
	Size    sizeCommand    `cmd:"" help:"How many yards for a size like 14x40x6in?"`
	Plan    planCommand    `cmd:"" help:"Work out the whole plan of a job and write its sheets."`
	Sheets  sheetsCommand  `cmd:"" help:"Write a job's sheets only."`
	Why     whyCommand     `cmd:"" help:"Show how a number was worked out."`
	Levels  askCommand     `cmd:"" help:"Where does the water go, and how deep do we dig?"`
	Load    askCommand     `cmd:"" help:"How thick, will it hold, and when may it be loaded?"`
	Joints  askCommand     `cmd:"" help:"Where do joints, bars and boards go?"`
	Order   askCommand     `cmd:"" help:"What do we order: yards, mix, trucks?"`
	Day     dayCommand     `cmd:"" help:"Pour on that day? Exit code 3 means don't."`
	Pour    pourCommand    `cmd:"" help:"On the day: stamp what happens, and see what is next."`
	Price   askCommand     `cmd:"" help:"What does it cost, what do we charge?"`
	Hold    askCommand     `cmd:"" help:"Will it hold, worked out on the real panels? Takes a second or two."`
	Backing askCommand     `cmd:"" name:"backing" help:"Can the trailer be backed in and got out again? Takes seconds."`
	Survey  surveyCommand  `cmd:"" help:"What does a survey file hold, and how does a job take it?"`
	Record  askCommand     `cmd:"" help:"What did we do, and what is missing from the record?"`
	Lessons lessonsCommand `cmd:"" help:"What do our own finished jobs say of rates, waste and bases?"`
	Week    weekCommand    `cmd:"" help:"Who pours what on which day, what clashes, what waits."`
	Shop    shopCommand    `cmd:"" help:"The shop's own lists: prices, rates, crews, plants; jobs take from them what they do not say."`
	Serve   serveCommand   `cmd:"" help:"Open the page: all jobs in a browser, on this machine."`
	Store   storeCommand   `cmd:"" help:"Back up, restore, verify or move all jobs."`
	People  peopleCommand  `cmd:"" help:"Who may use a shared server, and in which role."`
	Work    workCommand    `cmd:"" help:"Do the long works that servers on the same jobs are asked for."`
	Works   worksCommand   `cmd:"" help:"Who does long works, and how far are they?"`
	Stage   stageCommand   `cmd:"" help:"Run one stage alone: input on standard input, result as JSON."`
	Verify  verifyCommand  `cmd:"" help:"Run the published checks on this machine."`
	Source  sourceCommand  `cmd:"" name:"sources" help:"List every source the program cites."`
	Schema  schemaCommand  `cmd:"" help:"Print the JSON Schema of a job file."`
	Man     manCommand     `cmd:"" hidden:"" help:"Print this help as a manual page."`

	Completion completionCommand `cmd:"" help:"Print how to switch on shell completion."`
}

const about = `Plans an outdoor concrete slab: three numbers or a full survey in, every decision out, explained.

Examples:
  slabwright size 14x40x6in
  slabwright new pad.yaml --length "40 ft" --width "14 ft" --thickness 6in
  slabwright plan examples/boathouse-apron.yaml
  slabwright why examples/boathouse-apron.yaml order
  slabwright day examples/bakery-court.yaml
  slabwright verify

Exit codes: 0 done, 1 failed, 2 wrong usage, 3 answered no, 4 input missing, 5 not found, 7 could not compute, 130 interrupted.`

// completionCommand prints the lines that switch completion on.
type completionCommand struct {
	kongplete.InstallCompletions `kong:"-"`
}

// Help shows how it is used.
func (completionCommand) Help() string {
	return `Put what it prints into your shell's start-up file:
  slabwright completion >> ~/.bashrc`
}

// Main runs one command line and returns its exit code.
func Main(args []string, w World) int {
	out := &sink{to: w.Out}
	w.Out = out
	commands, parser := grammar(w)
	kongplete.Complete(parser, kongplete.WithPredictor("job", complete.PredictFiles("*.yaml")))
	code := run(parser, commands, args, w)
	if out.err != nil && code == Done {
		return tell(w, out.err)
	}
	return code
}

// grammar is the command line with every help text.
func grammar(w World) (*Commands, *kong.Kong) {
	commands := &Commands{}
	for name, ask := range map[string]*askCommand{"levels": &commands.Levels, "load": &commands.Load, "joints": &commands.Joints,
		"order": &commands.Order, "day": &commands.Day.askCommand, "price": &commands.Price, "record": &commands.Record, "hold": &commands.Hold, "backing": &commands.Backing} {
		ask.Question = name
	}
	return commands, kong.Must(commands, kong.Name("slabwright"), kong.Description(about), kong.Vars{"version": "slabwright " + Version},
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}), kong.Writers(w.Out, w.Err),
		kong.Exit(func(code int) { panic(stopped(code)) }))
}

// stopped is how kong's own exits (help, version) come back here.
type stopped int

func run(parser *kong.Kong, commands *Commands, args []string, w World) (code int) {
	defer func() {
		if p := recover(); p != nil {
			early, ok := p.(stopped)
			if !ok {
				panic(p)
			}
			code = int(early)
		}
	}()
	if len(args) == 0 {
		args = []string{"--help"}
	}
	if len(args) > 0 && args[0] == "help" {
		args = append(args[1:], "--help")
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		return tell(w, usage(err, args))
	}
	s := &session{World: w, Globals: &commands.Globals, grammar: parser.Model}
	interrupted := make(chan os.Signal, 1)
	signal.Notify(interrupted, os.Interrupt)
	done := make(chan error, 1)
	go func() {
		defer func() {
			if p := recover(); p != nil {
				done <- fmt.Errorf("a mistake in the program: %v", p)
			}
		}()
		done <- ctx.Run(s)
	}()
	select {
	case err = <-done:
	case <-interrupted:
		s.writing.Lock() // what is being written comes whole or not at all
		return Interrupted
	}
	return tell(w, err)
}

// negative finds a number with a minus sign where an option was expected.
var negative = regexp.MustCompile(`^-[0-9.]`)

// usage says what was wrong in a command line and shows the right form.
func usage(err error, args []string) error {
	says, form := err.Error(), "slabwright <command>"
	if i := slices.IndexFunc(args, negative.MatchString); i >= 0 && strings.HasPrefix(says, "unknown flag") {
		says = fmt.Sprintf("%s: a size is more than zero; take the minus sign away", args[i])
	}
	if option, _, ok := strings.Cut(says, ": expected "); ok && strings.HasSuffix(says, `but got "EOL" (<EOL>)`) {
		says = option + " wants a value after it"
	}
	help := "slabwright --help"
	if parse := (*kong.ParseError)(nil); errors.As(err, &parse) && parse.Context.Selected() != nil {
		command := parse.Context.Selected()
		form, help = strings.TrimSuffix(command.Summary(), " [flags]"), "slabwright "+command.Path()+" --help"
		if !strings.HasPrefix(form, "slabwright") {
			form = "slabwright " + form
		}
	}
	return exit{code: WrongUsage, err: errors.New(says), hint: "Type it like: " + form + "\nMore: " + help}
}

// tell prints an error once, in words, and gives its exit code.
func tell(w World, err error) int {
	if err == nil {
		return Done
	}
	known := classify(err)
	if known.err != nil {
		fmt.Fprintln(w.Err, "slabwright: "+masked(known.err.Error()))
	}
	if known.hint != "" {
		fmt.Fprintln(w.Err, known.hint)
	}
	return known.code
}

// password finds one in the address of a database.
var password = regexp.MustCompile(`(postgres(?:ql)?://[^:/@\s]*):\S*@`)

// masked takes passwords out of what is shown.
func masked(text string) string { return password.ReplaceAllString(text, "$1:…@") }

// classify gives each kind of error its exit code.
func classify(err error) exit {
	var known exit
	var inFile intake.Faults
	var faults check.Faults
	switch {
	case errors.As(err, &known):
		return known
	case errors.As(err, &inFile):
		return exit{code: WrongUsage, err: fmt.Errorf("%d to mend\n%s", len(inFile), cut(inFile.Error()))}
	case errors.As(err, &faults):
		return exit{code: Missing, err: errors.New(cut(faults.Error()))}
	case errors.Is(err, os.ErrNotExist):
		return exit{code: NotFound, err: err}
	}
	return exit{code: Failed, err: err}
}

// mostLines is how many faults are told at once; the rest are counted.
const mostLines = 20

func cut(text string) string {
	lines := strings.Split(text, "\n")
	if len(lines) <= mostLines {
		return text
	}
	return strings.Join(lines[:mostLines], "\n") + fmt.Sprintf("\nand %d more", len(lines)-mostLines)
}

// session is one running command.
type session struct {
	World
	*Globals
	grammar *kong.Application
	shops   map[string]*intake.Lists // by their file, as far as they were read
	writing sync.Mutex               // held while files are moved to their place
}

// today is the moment the plan is made: --as-of as the site's clock shows it, or the clock. Without a zone the site's clock
// is the machine's, and for --as-of UTC: the same on every machine.
func (s *session) today(zone *time.Location) (time.Time, error) {
	if s.AsOf == "" {
		if zone == nil {
			return s.Now(), nil
		}
		return s.Now().In(zone), nil
	}
	if zone == nil {
		zone = time.UTC
	}
	for _, form := range []string{"2006-01-02", "2006-01-02 15:04", "2006-01-02T15:04"} {
		if t, err := time.ParseInLocation(form, s.AsOf, zone); err == nil {
			return t, nil
		}
	}
	return time.Time{}, exit{code: WrongUsage, err: fmt.Errorf("--as-of `%s` is not a day", s.AsOf), hint: "Type it like 2027-06-17, or \"2027-06-17 05:00\"."}
}

func (s *session) colour() bool { return s.Colour && !s.NoColor && !s.Plain && !s.JSON }

// strong marks text on a terminal.
func (s *session) strong(text string) string {
	if !s.colour() {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}

// unitsOf reads a system's name.
func unitsOf(text string) (quantity.System, error) {
	var u quantity.System
	_, err := u.ReadText(text, quantity.Box{Name: "units"})
	return u, err
}
