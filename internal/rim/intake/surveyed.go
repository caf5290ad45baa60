package intake

import (
	"errors"
	"io/fs"
	"path/filepath"

	"github.com/goccy/go-yaml/ast"

	"slabwright/internal/rim/intake/survey"
	"slabwright/internal/trade/job"
)

// survey reads the survey file a job names, from the job file's own folder: the ground and its breaklines always, the outline
// where one is told or the job has no size and no corners of its own. What is asked stands at the line that must answer it.
func (d *decoder) survey(root ast.Node, j *job.Job) error {
	f := j.Site.SurveyFile
	section, _ := lookUp(root, "site.survey_file")
	if f.File == "" {
		if section != nil {
			d.fault(section, "site.survey_file.file", "", "names no file.", "Type file: shots.csv, a file beside the job file.")
		}
		return nil
	}
	path, src, err := d.beside(root, "site.survey_file.file", f.File, survey.MaxSize, "Save the survey there as CSV, DXF, GeoJSON or LandXML, or take the lines out.")
	if src == nil || err != nil {
		return err
	}
	in, err := survey.Read(path, src, survey.Told{Unit: f.Unit, Axes: f.Axes})
	if err != nil {
		return d.surveyFaults(root, path, err)
	}
	sized := len(j.Site.Corners) > 0 || len(j.Site.Tapes) > 0 || j.Length.Given() || j.Site.Length.Given()
	taken, err := in.Take(f, sized)
	if err != nil {
		return d.surveyFaults(root, path, err)
	}
	if len(taken.Corners) > 0 && sized {
		n, _ := lookUp(root, "site.survey_file.outline")
		d.fault(n, "site.survey_file.outline", f.Outline, "and the job's own size or corners both say where the slab is.", "Keep one of the two.")
		return nil
	}
	j.Site.Corners = append(j.Site.Corners, taken.Corners...)
	j.Site.Obstacles = append(j.Site.Obstacles, taken.Obstacles...)
	j.Site.Survey = taken.Survey
	return nil
}

// SurveyFile reads a survey file whole, up to the largest that is read.
func SurveyFile(path string) ([]byte, error) { return readWhole(path, survey.MaxSize) }

// beside reads a file that a job names by a line. Without one, the line is at fault and src is nil.
func (d *decoder) beside(root ast.Node, field, name string, most int64, instead string) (path string, src []byte, err error) {
	path = Beside(d.file, name)
	src, err = d.open(name, most)
	if errors.Is(err, fs.ErrNotExist) {
		n, _ := lookUp(root, field)
		d.fault(n, field, name, "is no file beside the job file.", instead)
		return path, nil, nil
	}
	return path, src, err
}

// surveyFaults gives the faults of a survey file their place: in that file where they have one; else at the line of the job
// that tells what is asked, or at the section where it is still to be told.
func (d *decoder) surveyFaults(root ast.Node, path string, err error) error {
	var faults survey.Faults
	if !errors.As(err, &faults) {
		return err
	}
	for _, f := range faults {
		if f.Line > 0 || f.Field == "file" {
			d.faults = append(d.faults, Fault{File: path, Line: max(f.Line, 1), Column: max(f.Column, 1), Fault: f.Fault})
			continue
		}
		field := "site.survey_file." + f.Field
		n, told := lookUp(root, field)
		if !told {
			n, _ = lookUp(root, "site.survey_file")
			f.Why = filepath.Base(path) + ": " + f.Why
		}
		d.fault(n, field, f.Given, f.Why, f.Type)
	}
	return nil
}
