package api

import (
	"context"
	"fmt"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/rim/store"
	"slabwright/internal/rim/works"
	"slabwright/internal/trade/plan"
)

// Sheets lists what can be printed, and what was.
type Sheets struct {
	Files    []SheetFile   `json:"files"`
	Problems []string      `json:"problems"` // what could not be drawn, in words
	Prints   []store.Print `json:"prints"`   // newest first
	Next     string        `json:"next"`     // the revision the next print will carry, like R3
	Crew     string        `json:"crew,omitempty"`
}

// SheetFile is one file of the pack.
type SheetFile struct {
	Name  string `json:"name"`
	Media string `json:"media"`
}

var sheetMedia = map[string]string{".pdf": "application/pdf", ".svg": "image/svg+xml", ".png": "image/png", ".dxf": "image/vnd.dxf", ".csv": "text/csv; charset=utf-8",
	".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", ".ics": "text/calendar; charset=utf-8", ".json": "application/json", ".html": "text/html; charset=utf-8"}

// made makes the pack of a job, or gives the one made last where nothing has changed.
func (s *Server) made(ctx context.Context, id string) (works.Packed, error) {
	a, err := s.ask(ctx, id, Question{Questions: plan.Names()})
	if err != nil {
		return works.Packed{}, err
	}
	version, err := s.version(ctx, id, a)
	if err != nil {
		return works.Packed{}, err
	}
	if kept, ok := a.desk.packedAt(version, a.sees); ok {
		return kept, nil
	}
	print, err := s.store.Print(ctx, id, a.revision, version)
	if err != nil {
		return works.Packed{}, err
	}
	a.plan.Job.Revision = printName(print.Number)
	if a.plan, err = s.since(ctx, id, a, print.Number-1); err != nil {
		return works.Packed{}, err
	}
	if a.plan.Job.Photos, err = s.smallPhotos(ctx, id, a.job.Record.Photos); err != nil {
		return works.Packed{}, err
	}
	movers, _ := s.ranked(a)
	made, err := pack.Make(a.plan, movers)
	if err != nil {
		return works.Packed{}, err
	}
	made.Files = slices.DeleteFunc(made.Files, func(f folder.File) bool { return !a.sees.sheet(f.Name) })
	p := works.Packed{Pack: made, Plan: a.plan, Print: print, Version: version}
	a.desk.keepPack(p, a.sees)
	return p, nil
}

// version is equal for equal packs of a job: its revision and that of the shop's lists, the day it is planned for, the long works
// that are done, and the photos that have come.
func (s *Server) version(ctx context.Context, id string, a asked) (string, error) {
	photos, err := s.store.Photos(ctx, id)
	done := []string{}
	for _, r := range a.whole.Stages {
		if r.Answered() {
			done = append(done, r.Name)
		}
	}
	_, ranked := s.ranked(a)
	return short8([]byte(fmt.Sprint(a.revision, a.lists, a.job.AsOf.Format(time.DateOnly), done, ranked, len(photos)))), err
}

// drawn says which pack a job's sheets would be, for a long work.
func (s *Server) drawn(ctx context.Context, id string) (string, error) {
	a, err := s.ask(ctx, id, Question{Questions: plan.Names()})
	if err != nil {
		return "", err
	}
	return s.version(ctx, id, a)
}

func (s *Server) listSheets(w http.ResponseWriter, r *http.Request) error {
	a, prints, err := s.sinceLast(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	out := Sheets{Files: []SheetFile{}, Problems: []string{}, Prints: prints, Next: printName(1)}
	if len(prints) > 0 {
		out.Crew, out.Next = printName(prints[0].Number), printName(prints[0].Number+1)
		if prints[0].Revision == a.revision {
			out.Next = out.Crew
		}
	}
	for _, name := range a.sheetNames() {
		out.Files = append(out.Files, SheetFile{Name: name, Media: mediaOf(name)})
	}
	return reply(w, http.StatusOK, out)
}

// sheetNames are the files of the pack that whoever asks may have.
func (a asked) sheetNames() []string {
	return slices.DeleteFunc(pack.Names(a.plan), func(name string) bool { return !a.sees.sheet(name) })
}

func mediaOf(name string) string { return sheetMedia[strings.ToLower(path.Ext(name))] }

func (s *Server) getSheet(w http.ResponseWriter, r *http.Request) error {
	p, err := s.made(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	name := r.PathValue("file")
	i := slices.IndexFunc(p.Files, func(f folder.File) bool { return f.Name == name })
	if i < 0 {
		return problem(http.StatusNotFound, "The job has no sheet of this name.", "Take a name from the list of sheets.")
	}
	if fresh(w, r, `"`+short8(p.Files[i].Data)+`"`) {
		return nil
	}
	w.Header().Set("Content-Type", mediaOf(name))
	shown := "inline"
	if path.Ext(name) == ".html" {
		shown = "attachment" // a page of its own, to carry; not one of this server
	}
	w.Header().Set("Content-Disposition", shown+"; filename="+strconv.Quote(name))
	w.Header().Set("X-Print", printName(p.Print.Number))
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(p.Files[i].Data)
	return nil
}

func (s *Server) getPack(w http.ResponseWriter, r *http.Request) error {
	p, err := s.made(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	archive, err := works.Zip(p.Files, p.Print.Printed)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="sheets-`+printName(p.Print.Number)+`.zip"`)
	_, _ = w.Write(archive)
	return nil
}
