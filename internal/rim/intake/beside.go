package intake

import (
	"errors"
	"io/fs"
	"path/filepath"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"slabwright/internal/trade/job"
)

// files reads the files that a job names: they lie in its own folder.
func (d *decoder) files(root ast.Node, j *job.Job) error {
	return errors.Join(
		d.named(root, "forecast_file", j.ForecastFile, "Save the forecast there as a table, or take the line out.", func(path string, src []byte) error {
			hours, made, err := WeatherFile(path, src, d.reading)
			if j.Pour.Forecast = hours; j.Pour.ForecastIssued.IsZero() {
				j.Pour.ForecastIssued = made
			}
			return err
		}),
		d.pasted(root, j),
		d.named(root, "slab_temperature_file", j.SlabTemperatureFile, "Save the probe's log there as a table, or take the line out.", func(path string, src []byte) (err error) {
			j.Cure.Measured, err = SlabTemperatures(path, src, d.reading)
			return err
		}),
		d.stamped(root, j),
		d.named(root, "weather_year_file", j.WeatherYearFile, "Save a year of hourly observations there as a table, or take the line out.", func(path string, src []byte) (err error) {
			j.Pour.Year, err = WeatherRecord(path, src, d.reading)
			return err
		}),
		d.named(root, "lab_file", j.LabFile, "Save the laboratory's table there, or take the line out.", func(path string, src []byte) error {
			results, err := Lab(path, src, d.reading)
			j.Mix.Lab = append(results, j.Mix.Lab...)
			return err
		}))
}

// pasted reads the table that stands in the job file itself.
func (d *decoder) pasted(root ast.Node, j *job.Job) error {
	if j.ForecastTable == "" {
		return nil
	}
	n, _ := lookUp(root, "forecast_table")
	if j.ForecastFile != "" {
		d.fault(n, "forecast_table", "", "there is a forecast_file too.", "Keep one of the two.")
		return nil
	}
	hours, err := Forecast(d.file, []byte(j.ForecastTable), d.reading)
	if faults := (Faults)(nil); errors.As(err, &faults) {
		line, _ := place(n)
		for i := range faults {
			if faults[i].Line += line; faults[i].Line <= len(d.lines) {
				text := d.lines[faults[i].Line-1]
				faults[i].Column += len(text) - len(strings.TrimLeft(text, " "))
			}
		}
		return faults
	}
	j.Pour.Forecast = hours
	return err
}

// stamped reads the record of the day; one that is not there, or no more, is a day on which nothing was stamped yet.
func (d *decoder) stamped(root ast.Node, j *job.Job) error {
	if j.TapsFile == "" {
		return nil
	}
	src, err := d.open(j.TapsFile, MaxSize)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	stamps, err := ReadStamps(Beside(d.file, j.TapsFile), src, d.reading)
	j.Pour.Team.Taps = stamps.Taps()
	return err
}

// named reads one file that the job names; a name that leads nowhere is a fault of the line with it.
func (d *decoder) named(root ast.Node, field, name, instead string, into func(path string, src []byte) error) error {
	if name == "" {
		return nil
	}
	path, src, err := d.beside(root, field, name, MaxSize, instead)
	if src == nil || err != nil {
		return err
	}
	return into(path, src)
}

// Beside is the path of a file that a job names.
func Beside(job, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(job), name)
}
