package cli

import (
	"fmt"

	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/trade/plan"
)

type sheetsCommand struct {
	jobFile
	Out    string `short:"o" help:"Folder for the sheets; else beside the job file, named after it." placeholder:"DIR"`
	Deep   bool   `help:"Also draw hold and backing, which take seconds to work out."`
	DryRun bool   `help:"Say which files would be written, write none."`
}

// Help shows how it is used.
func (sheetsCommand) Help() string {
	return `Examples:
  slabwright sheets pad.yaml             writes pad-sheets/
  slabwright sheets pad.yaml -o /media/stick/tomorrow
  slabwright sheets pad.yaml --dry-run   only names the files`
}

// Run plans the job and writes its sheets.
func (c sheetsCommand) Run(s *session) error {
	o, err := s.open(c.jobFile)
	if err != nil {
		return err
	}
	p, err := o.played().planned(deeper(c.Deep)...)
	if err != nil {
		return err
	}
	if err := s.writeSheets(p, sheetFolder(c.File, c.Out), c.DryRun); err != nil {
		return err
	}
	return unanswered(p)
}

// writeSheets makes the pack and writes it whole or not at all. What could not be made is said on standard error.
func (s *session) writeSheets(p plan.Plan, dir string, dryRun bool) error {
	s.progress("Drawing the sheets")
	made, err := pack.Make(p, p.Movers())
	if err != nil {
		return err
	}
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
