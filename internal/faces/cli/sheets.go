package cli

import (
	"errors"
	"fmt"
	"io"
	"os"

	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/photo"
	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/trade/plan"
)

type sheetsCommand struct {
	Files  []string `arg:"" optional:"" name:"job" help:"The job file (YAML), - for standard input; with --day as many as there are." predictor:"job"`
	Day    string   `help:"All sheets of the jobs that pour on this day: tomorrow, thu, 2027-06-17." placeholder:"DAY"`
	Only   []string `help:"With --day: these sheets, like crew-sheet,stake-sheet; else what a crew takes along." placeholder:"SHEET"`
	Out    string   `short:"o" help:"Folder for the sheets; else beside the job file, named after it." placeholder:"DIR"`
	Deep   bool     `help:"Also draw hold and backing, which take seconds to work out."`
	DryRun bool     `help:"Say which files would be written, write none."`
	Kept
}

// Help shows how it is used.
func (sheetsCommand) Help() string {
	return `Examples:
  slabwright sheets pad.yaml             writes pad-sheets/
  slabwright sheets pad.yaml -o /media/stick/tomorrow
  slabwright sheets pad.yaml --dry-run   only names the files
  slabwright sheets --day tomorrow jobs/*.yaml                     all crews' sheets in one PDF, and one for each crew
  slabwright sheets --day tomorrow --store shop.db                 those of the jobs that are kept; it counts as a print of each
  slabwright sheets --day thu jobs/*.yaml --only crew-sheet,stake-sheet`
}

// Run plans the job and writes its sheets.
func (c sheetsCommand) Run(s *session) error {
	switch {
	case c.Day != "":
		return c.ofDay(s)
	case len(c.Files) == 0:
		return exit{code: WrongUsage, err: errors.New("no job file is named"), hint: "Type it like: slabwright sheets pad.yaml, or slabwright sheets --day tomorrow for the jobs that are kept."}
	case len(c.Files) > 1:
		return exit{code: WrongUsage, err: errors.New("the sheets of several jobs are written for one day"), hint: "Name the day: slabwright sheets --day tomorrow jobs/*.yaml"}
	}
	o, err := s.open(jobFile{File: c.Files[0]})
	if err != nil {
		return err
	}
	p, err := s.photographed(o).played().planned(deeper(c.Deep)...)
	if err != nil {
		return err
	}
	if err := s.writeSheets(p, sheetFolder(c.Files[0], c.Out), c.DryRun); err != nil {
		return err
	}
	return unanswered(p)
}

// photographed is the job with the photos its record names, which lie beside the job file. One that cannot be read is said on standard
// error and its place on the sheets stays empty.
func (s *session) photographed(o atHand) atHand {
	o.job.Photos = map[string][]byte{}
	for _, p := range o.job.Record.Photos {
		name := p.File.Value
		small, err := shrunk(intake.Beside(o.name, name))
		if err != nil {
			fmt.Fprintf(s.Err, "photo %s: %v\n", name, err)
			continue
		}
		o.job.Photos[name] = small
	}
	return o
}

func shrunk(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	src, err := io.ReadAll(io.LimitReader(f, photo.MaxBytes+1))
	if err != nil {
		return nil, err
	}
	return photo.Shrink(src)
}

// writeSheets makes the pack and writes it whole or not at all. What could not be made is said on standard error.
func (s *session) writeSheets(p plan.Plan, dir string, dryRun bool) error {
	s.progress("Drawing the sheets")
	made, err := pack.Make(p, p.Movers())
	if err != nil {
		return err
	}
	return s.sheetsMade(made, dir, dryRun)
}

// sheetsMade writes what was made, and says what and where.
func (s *session) sheetsMade(made pack.Pack, dir string, dryRun bool) error {
	if !dryRun {
		if err := s.put(dir, made.Files); err != nil {
			return err
		}
	}
	for _, problem := range made.Problems {
		fmt.Fprintln(s.Err, "not drawn: "+problem)
	}
	if s.JSON || s.Plain {
		return nil
	}
	verb := "Sheets"
	if dryRun {
		verb = "Would write"
	}
	if s.Quiet {
		return nil
	}
	fmt.Fprintf(s.Out, "\n%s: %s (%s)\n", verb, dir, counted(len(made.Files), "file", "files"))
	if dryRun {
		for _, f := range made.Files {
			fmt.Fprintln(s.Out, "  "+f.Name)
		}
	}
	return nil
}

// put writes the files; an interrupt waits until they all stand.
func (s *session) put(dir string, files []folder.File) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	if err := folder.Write(dir, files); err != nil {
		return exit{code: Failed, err: err, hint: "The old sheets, if any, are as they were. Name another folder with --out."}
	}
	return nil
}

// progress says on a terminal what is being done; scripts are spared it.
func (s *session) progress(what string) {
	if s.ErrTerm && !s.Quiet && !s.JSON {
		fmt.Fprintf(s.Err, "%s …\n", what)
	}
}
