package intake

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const three = "length: 40 ft\nwidth: 14 ft\nthickness: 6 in\n"

// readJob reads a job and gives its refusal as text, empty when it was read.
func readJob(t *testing.T, folder, text string) string {
	t.Helper()
	_, _, err := Job(filepath.Join(folder, "pad.yaml"), []byte(text), asOf)
	if err == nil {
		return ""
	}
	var faults Faults
	if !errors.As(err, &faults) {
		t.Fatalf("%q: refused without a place: %v", text, err)
	}
	return strings.ReplaceAll(err.Error(), folder+string(filepath.Separator), "")
}

func TestFilesAsProgramsSaveThem(t *testing.T) {
	for name, text := range map[string]string{
		"byte order mark":      "\ufeff" + three,
		"lines end as in DOS":  strings.ReplaceAll(three, "\n", "\r\n"),
		"lines end as in 1990": strings.ReplaceAll(three, "\n", "\r"),
		"sections left empty":  three + "site:\nmix: ~\nprice: null\nsteel: {}\n",
		"a list left empty":    three + "site:\n  shots:\n  obstacles: []\n",
		"JSON":                 `{"length": "40 ft", "width": 14, "thickness": "6 in", "site": null}`,
		"primes":               "length: 40′\nwidth: 14’\nthickness: 6”\n",
		"one-glyph fractions":  "length: 40½ ft\nwidth: 14\nthickness: 5½ in\n",
		"blocks":               "length: |\n  40 ft\nwidth: >\n  14 ft\nthickness: 6\n",
		"brackets in quotes":   three + "name: \"" + strings.Repeat("[{", 60) + "\"\nowner: '" + strings.Repeat("[", 60) + "' # " + strings.Repeat("{", 60) + "\n",
		"feet marks in lists":  "thickness: 6 in\nsite:\n  corners: [[0, 0], [34' 0\", 0], [34', 12' 6], [0, 12' 6]]\n",
		"names in any script":  three + "name: Bäckerei 🚚 «Ω» שלום\nowner: '=1+1'\n",
	} {
		if says := readJob(t, t.TempDir(), text); says != "" {
			t.Errorf("%s: %s", name, says)
		}
	}
}

// TestHostileFilesAreToldWhere holds that a file nobody could plan is refused with its place and in words.
func TestHostileFilesAreToldWhere(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{three + "name: caf\xe9\n", "pad.yaml:4:10: file: holds bytes that are no text. Save the file as UTF-8."},
		{three + "name: a\x00b\n", "pad.yaml:4:8: file: holds bytes"},
		{three + `name: "a\e[31mred"` + "\n", `pad.yaml:4:7: name: holds a sign that cannot be printed after "a".`},
		{three + "name: \"a\u202eb\"\n", "cannot be printed"},
		{three + "name: " + strings.Repeat("A", 5000) + "\n", "pad.yaml:4:7: name: has 5000 letters"},
		{three + "length: 3\n", "pad.yaml:4:1: length: stands twice."},
		{"- length: 40\n", "pad.yaml:1:1: file: is not made of `name: value` lines."},
		{"hello\n", "is not made of"},
		{three + "site: [1, 2]\n", "pad.yaml:4:7: site: is a section"},
		{three + "site: {corners: [~, ~]}\n", "site.corners[1]"},
		{three + "1: 2\n", "Known here"},
		{three + "paper: napkin\n", "pad.yaml:4:8: paper `napkin`: is not a paper"},
		{three + "locale: what ever\n", "pad.yaml:4:9: locale"},
		{three + "time_zone: Mars/Olympus\n", "pad.yaml:4:12: time_zone `Mars/Olympus`: is not a time zone."},
		{three + "time_zone: ../../etc/passwd\n", "is not a time zone"},
		{three + "forecast_file: missing.csv\n", "pad.yaml:4:16: forecast_file `missing.csv`: is no file beside the job file."},
		{three + "forecast_file: .\n", "is no file beside"},
		{three + "forecast_file: /dev/zero\n", "is no file beside"},
		{three + "site: " + strings.Repeat("[", 3000) + strings.Repeat("]", 3000), "has more than 40 lists"},
		{strings.Repeat(three, MaxJob/len(three)+1), "is longer than 512 kB"},
		{strings.Repeat("a: 1\n", longestJob+1), "20000 lines"},
		{"length: " + strings.Repeat("[", 100000), "pad.yaml:1:49: file: has more than 40 lists"},
		{"length: " + strings.Repeat("{a: ", 100000), "has more than 40 lists"},
		{strings.Repeat("- ", 100000), "pad.yaml:1:1: file: has more than 40"},
		{strings.Repeat("? ", 100000), "has more than 40"},
		{strings.Repeat("[\n", 1000), "has more than 40"},
	} {
		if says := readJob(t, t.TempDir(), c.text); !strings.Contains(says, c.says) {
			t.Errorf("%.60q: %q\n  wants %s", c.text, says, c.says)
		}
	}
}

func TestForecastsAreRefusedWithTheirPlace(t *testing.T) {
	const head = "time,air_f,humidity_pct,wind_mph\n"
	for _, c := range []struct{ table, says string }{
		{"", "fc.csv:1:1: forecast: has no header row."},
		{"# only a comment\n", "has no header row"},
		{head + "2027-06-17 07:00,60,50,5\n2027-06-17 06:00,60,50,5\n", "fc.csv:3:1: forecast: is not later than the row before."},
		{head + "2027-06-17 07:00,60,50,-5\n", "fc.csv:2:24: forecast: wind "},
		{head + "2027-06-17 07:00,warm,50,5\n", "fc.csv:2:18: forecast: air "},
		{head + "2027-06-17 07:00,60\n", "has 2 cells; the header has 4."},
		{head + ",60,50,5\n", "has no time"},
		{head + "2027-06-17 07:00,\"6\"0,50,5\n", "fc.csv:2:20: forecast: cannot be read as a table."},
		{"time,mood\n", "forecast `mood`: is not a column"},
	} {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "fc.csv"), []byte(c.table), 0o600); err != nil {
			t.Fatal(err)
		}
		if says := readJob(t, folder, three+"time_zone: America/Chicago\nforecast_file: fc.csv\n"); !strings.Contains(says, c.says) {
			t.Errorf("%q: %q\n  wants %s", c.table, says, c.says)
		}
	}
}

func TestALongForecastOfFaultsIsCutShort(t *testing.T) {
	table := "time,air_f\n" + strings.Repeat("never,60\n", 5000)
	var faults Faults
	if _, err := Forecast("fc.csv", []byte(table), Reading{Zone: time.UTC}); !errors.As(err, &faults) || len(faults) > 2*manyFaults {
		t.Errorf("%d faults", len(faults))
	}
}

func TestADayThatHasGoneByIsNoted(t *testing.T) {
	_, notes, err := Job("pad.yaml", []byte(three+"pour_date: 2020-01-01\n"), asOf)
	if err != nil || len(notes) != 1 || notes[0].Line != 4 || !strings.Contains(notes[0].Says, "gone by") {
		t.Errorf("%v, %v", notes, err)
	}
}

func FuzzJob(f *testing.F) {
	f.Add(three + "pour_date: thu\nsite:\n  shots: [[0, 0, 5.28]]\n")
	f.Add(three + "site: ~\nprice: []\nsteel: {bars: '#4 @ 18 ew'}\n")
	f.Add("\ufefflength: 12,5\nlocale: de-DE\nunits: metric\ntime_zone: Europe/Rome\n")
	f.Fuzz(func(t *testing.T, text string) {
		if strings.Contains(text, "_file") {
			return // files are read only in the tests above
		}
		if _, _, err := Job("pad.yaml", []byte(text), asOf); err != nil && err.Error() == "" {
			t.Error("a refusal without words")
		}
	})
}

func TestSurveyFilesAreRefusedAtTheLineThatMustAnswer(t *testing.T) {
	for _, c := range []struct{ file, lines, says string }{
		{"1,10,20,5\n", "", "pad.yaml:6:5: site.survey_file.axes: s.csv: does not say which coordinate is which."},
		{"1,10,20,5\n", "    axes: east north\n", "pad.yaml:6:5: site.survey_file.unit: s.csv: does not say the unit"},
		{"1,10,20,5\n", "    axes: sideways\n", "site.survey_file.axes `sideways`: is not one of the words"},
		{"1,10,20,5\n2,10\n", "    axes: east north\n    unit: m\n", "s.csv:2:1: northing: is not a number."},
		{"point,easting_m,northing_m\nA,1,2\n", "    unit: ft\n", "s.csv:1:7: unit `ft`: but column easting_m is in m."},
		{"", "    axes: east north\n    unit: m\n", "s.csv:1:1: file: is empty."},
		{"1,10,20,5\n", "    axes: east north\n    unit: m\n    outline: PAD\n", "pad.yaml:9:14: site.survey_file.outline `PAD`: is no closed line and no code of the file."},
		{"1,1,1,5,P\n2,9,1,5,P\n3,9,4,5,P\n", "    axes: east north\n    unit: m\n    outline: P\n", "and the job's own size or corners both say where the slab is"},
	} {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "s.csv"), []byte(c.file), 0o600); err != nil {
			t.Fatal(err)
		}
		if says := readJob(t, folder, three+"site:\n  survey_file:\n    file: s.csv\n"+c.lines); !strings.Contains(says, c.says) {
			t.Errorf("%q with %q: %q\n  wants %s", c.file, c.lines, says, c.says)
		}
	}
	if says := readJob(t, t.TempDir(), three+"site: {survey_file: {unit: m}}\n"); !strings.Contains(says, "site.survey_file.file: names no file") {
		t.Error(says)
	}
}
