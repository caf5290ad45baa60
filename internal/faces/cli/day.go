package cli

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
)

type dayCommand struct {
	askCommand
	Full     bool   `help:"Also play the day through: the board, the crew and trucks it needs, what each measure buys."`
	Forecast string `help:"Judge by this forecast: a table or a service's answer; - reads what is pasted on standard input." placeholder:"FILE"`
	Reading  string `help:"Four numbers read on site now: air, humidity, wind at the slab, concrete. Without a forecast they stand alone; with one they move it." placeholder:"\"84F 32% 6mph 79F\""`
	Renew    bool   `help:"Ask the weather service that the job names (forecast_service) and keep its answer beside the job. Never asked otherwise."`
	Yes      bool   `short:"y" help:"With --renew: send it without asking first."`
}

// Help shows how it is used.
func (c dayCommand) Help() string {
	return `Examples:
  slabwright day pad.yaml                                 pour or not; the exit code says it too
  slabwright day pad.yaml --full                          the board, the crew, what each measure buys
  slabwright day pad.yaml --reading "84F 32% 6mph 79F"    four numbers at dawn: alone, or moving the forecast
  slabwright day pad.yaml --forecast -                    a table pasted here: time,air_f,humidity_pct,wind_mph
  slabwright day pad.yaml --renew                         asks the weather service, shows what is sent
Why any of it: slabwright why pad.yaml pour.verdict`
}

// Run judges the day. A "don't" is exit code 3.
func (c dayCommand) Run(s *session) error {
	o, err := s.open(c.jobFile)
	if err != nil {
		return err
	}
	if c.Renew {
		if o, err = s.renew(o, c); err != nil {
			return err
		}
	}
	if err := c.weather(s, &o); err != nil {
		return err
	}
	if c.Full || o.job.Pour.Team.Hands.Given() { // a crew that was said is judged with the day
		o.job.Pour.Rehearse = known.Say(true)
	}
	answer := s.ask(o, c.Question)
	if c.Full && !s.JSON && !s.Plain && !s.Quiet && (answer == nil || answeredNo(answer)) {
		if err := s.dayTables(o); err != nil {
			return err
		}
	}
	return answer
}

// answeredNo says whether an error is only a "don't".
func answeredNo(err error) bool {
	var e exit
	return errors.As(err, &e) && e.code == AnsweredNo
}

// dayTables prints what the day played through adds: each day's best start, what each measure buys, the hands.
func (s *session) dayTables(o atHand) error {
	p, err := o.planned("pour")
	if err != nil {
		return err
	}
	report, _ := p.Of("pour")
	r, ok := report.Result.(pour.Result)
	if !ok {
		return nil
	}
	clock := func(t time.Time) string { return almanac.Stamp(t.In(o.now.Location()), o.job.Units) }
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	if len(r.Days) > 1 {
		fmt.Fprintf(w, "\n%s\n", s.strong("The best start of each day"))
	}
	for _, d := range r.Days {
		if d.Best >= 0 && len(r.Days) > 1 {
			fmt.Fprintf(w, "  %s %s\t%s\n", shape(d.Starts[d.Best].Level), clock(d.Starts[d.Best].At), d.Starts[d.Best].Level)
		}
	}
	if len(r.Measures) > 0 {
		fmt.Fprintf(w, "\n%s\n", s.strong("What each measure buys"))
	}
	for _, m := range r.Measures {
		fmt.Fprintf(w, "  %s %s\t%s\n", shape(m.Level), m.Name, m.Buys)
	}
	w.Flush()
	if r.Rehearsal != nil {
		fmt.Fprintln(s.Out)
		pourCommand{jobFile: jobFile{o.name}}.show(s, o, "", r)
	}
	return nil
}

// weather takes the forecast and the reading that were given on the command line.
func (c dayCommand) weather(s *session, o *atHand) error {
	if c.Forecast != "" {
		src, name, err := s.read(c.Forecast)
		if e := (exit{}); errors.As(err, &e) && e.code == NotFound {
			e.hint = "Save the forecast there, or paste it: --forecast -"
			return e
		}
		if err != nil {
			return err
		}
		at, said := o.job.PourAt()
		if !said {
			at = o.now
		}
		zone, _ := o.job.Location()
		hours, made, err := intake.WeatherFile(name, src, intake.Reading{Units: o.job.Units, Locale: o.job.Locale, Today: o.now, Zone: zone, Day: at})
		if err != nil {
			return err
		}
		o.job.Pour.Forecast, o.job.Pour.ForecastIssued = hours, made
	}
	text := c.Reading
	if text == "" && len(o.job.Pour.Forecast) == 0 && s.Terminal && !o.job.Pour.Reading.Air.Given() {
		fmt.Fprint(s.Err, "No forecast. Air, humidity, wind at the slab, concrete (84F 32% 6mph 79F; empty: none)? ")
		text = intake.Line(s.In)
	}
	if text == "" {
		return nil
	}
	reading, err := intake.SiteReading(text, o.job.Units)
	if err != nil {
		return exit{code: WrongUsage, err: err}
	}
	o.job.Pour.Reading = reading
	return nil
}

// beside is the name of a file of the job's own, in its folder.
func beside(job, ending string) string {
	name := filepath.Base(job)
	return strings.TrimSuffix(name, filepath.Ext(name)) + ending
}

// renew asks the weather service and keeps the answer beside the job, which names it from then on. What is sent is shown; the first
// time a person says yes to it. Where the service does not answer, the answer kept stands.
func (s *session) renew(o atHand, c dayCommand) (atHand, error) {
	if c.File == "-" {
		return o, exit{code: WrongUsage, err: errors.New("--renew keeps the answer beside the job file, and standard input has no place"), hint: "Name the job file."}
	}
	in := bufio.NewReader(s.In)
	if o.job.ForecastService == "" {
		if !s.Terminal {
			return o, exit{code: Missing, err: errors.New("the job names no weather service"), hint: "Type `forecast_service: https://…` into it; {latitude} and {longitude} stand for the site."}
		}
		fmt.Fprint(s.Err, "Address of a weather service that answers with an hourly forecast as JSON ({latitude} and {longitude} stand for the site)? ")
		o.job.ForecastService = intake.Line(in)
	}
	address, err := intake.AddressFor(o.job.ForecastService, o.job.Latitude, o.job.Longitude)
	if err != nil {
		return o, err
	}
	file := o.job.ForecastFile
	switch {
	case file == "":
		file = beside(c.File, "-forecast.json")
	case !strings.HasSuffix(strings.ToLower(file), ".json"):
		return o, exit{code: WrongUsage, err: fmt.Errorf("the job's forecast_file is %s, a table that is not written over", file), hint: "Take that line out, and --renew keeps its answer in a file of its own."}
	}
	path := intake.Beside(c.File, file)
	kept := keptIn(path)
	agent := "slabwright " + Version
	fmt.Fprintf(s.Err, "This is sent, and nothing else:\n  GET %s\n  User-Agent: %s\n", address, agent)
	if kept.Address != address && !c.Yes {
		if err := s.allowed(in); err != nil {
			return o, err
		}
	}
	s.progress("Asking the weather service")
	answer, err := intake.Ask(context.Background(), intake.Asking{Address: address, Agent: agent, Client: s.Client})
	if err == nil {
		_, _, err = intake.ServiceForecast(address, answer, intake.Reading{})
	}
	if err != nil && kept.Address == "" {
		return o, err
	}
	if err != nil {
		fmt.Fprintf(s.Err, "%v.\nThe answer kept from %s is used.\n", err, almanac.Stamp(kept.Asked.In(o.now.Location()), o.job.Units))
		return o, nil
	}
	text, err := json.MarshalIndent(intake.Kept{Asked: s.Now().UTC().Truncate(time.Second), Address: address, Answer: answer}, "", " ")
	if err != nil {
		return o, err
	}
	if err := s.write(path, append(text, '\n')); err != nil {
		return o, err
	}
	return s.named(o, c.jobFile, [2]string{"forecast_service", o.job.ForecastService}, [2]string{"forecast_file", file})
}

// allowed asks whether it may be sent.
func (s *session) allowed(in *bufio.Reader) error {
	if !s.Terminal {
		return exit{code: Missing, err: errors.New("nobody said that it may be sent"), hint: "Add --yes the first time."}
	}
	fmt.Fprint(s.Err, "Send it (y/n)? ")
	if answer := strings.ToLower(intake.Line(in)); answer != "y" && answer != "yes" {
		return exit{code: Failed, err: errors.New("not sent")}
	}
	return nil
}

// keptIn is the answer kept at a path; empty without one.
func keptIn(path string) (kept intake.Kept) {
	if src, err := intake.File(path); err == nil {
		_ = json.Unmarshal(src, &kept) // what cannot be read is as good as none, and is asked for again
	}
	return kept
}

// named writes into the job file the lines it does not have yet, and reads it again.
func (s *session) named(o atHand, f jobFile, lines ...[2]string) (atHand, error) {
	text := o.src
	for _, line := range lines {
		if strings.Contains("\n"+string(o.src), "\n"+line[0]+":") {
			continue
		}
		var err error
		if text, err = intake.WithLine(o.name, text, line[0], line[1], o.now); err != nil {
			return o, err
		}
	}
	if len(text) != len(o.src) {
		if err := s.write(f.File, text); err != nil {
			return o, err
		}
	}
	return s.open(f)
}

// write writes one file whole or not at all.
func (s *session) write(path string, text []byte) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	return intake.WriteWhole(path, text)
}

// keptText is what a file holds; nothing where there is none yet.
func keptText(path string) ([]byte, error) {
	src, err := intake.File(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return src, err
}
