package intake

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
)

func TestALaboratoryTableIsReadInTheJobsUnits(t *testing.T) {
	table := "# from the lab\nname, job, age_days, cylinder_1, cylinder_2, across, cured\nA, drive, 28, 30.1, 31.2, 150, \nB, \"court, north\", 7, 20.4, 3000 psi, 100, 12\n"
	got, err := Lab("lab.csv", []byte(table), Reading{Units: quantity.Metric, Locale: "en-GB"})
	if err != nil || len(got) != 2 {
		t.Fatalf("%+v, %v", got, err)
	}
	a, b := got[0], got[1]
	if a.Name.Value != "A" || a.Cylinders[1].Value != quantity.MPa(31.2) || a.Across.Value != quantity.Millimetres(150) || a.Cured.Given() {
		t.Errorf("%+v", a)
	}
	if b.Job.Value != "court, north" || b.Age.Value != quantity.Days(7) || b.Cylinders[1].Value != quantity.PSI(3000) || b.Cured.Value != quantity.Celsius(12) {
		t.Errorf("%+v", b)
	}
	us, err := Lab("lab.csv", []byte("cylinder_1,cylinder_2\n\"4,060\",4140\n"), Reading{})
	if err != nil || us[0].Cylinders[0].Value != quantity.PSI(4060) {
		t.Errorf("%+v, %v", us, err)
	}
}

func TestLaboratoryTablesAreRefusedWithTheirPlace(t *testing.T) {
	for _, c := range []struct{ table, says string }{
		{"", "lab.csv:1:1: lab: has no header row."},
		{"name,cylinder_1\nA,x\n", "lab.csv:2:3: lab: cylinder `x`: "},
		{"name,slump\nA,4\n", "lab.csv:1:6: lab `slump`: is not a column of a laboratory's table."},
		{"name\nA\n", "lab.csv:2:1: lab: cylinder: has no strength."},
		{"name,cylinder_1\nA,3000\nB,-1\n", "lab.csv:3:3: lab: cylinder `-1`: "},
		{"name,cylinder_1\nA,30,31\n", "lab.csv:2:1: lab `A,30,31`: has 3 cells; the header has 2."},
		{"name,cylinder_1\nA,NaN\n", "lab.csv:2:3: lab: cylinder `NaN`: "},
		{"name,cylinder_1\nA,31\n", "lab.csv:2:3: lab: cylinder 31 psi? Use 31 MPa"}, // MPa in a US job
		{"name,cylinder_1\nA,9999999\n", "lab.csv:2:3: lab"},                         // no concrete
		{"age_days,cylinder_1\n-7,3000\n", "lab.csv:2:1: lab: age_days `-7`: "},      // before it was cast
		{"day,cylinder_1\nsometime,3000\n", "lab.csv:2:1: lab"},                      // no day
		{"name,cylinder_1\n\"A\"B,3000\n", "cannot be read as a table"},              // quotes
	} {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "lab.csv"), []byte(c.table), 0o600); err != nil {
			t.Fatal(err)
		}
		if says := readJob(t, folder, three+"lab_file: lab.csv\n"); !strings.Contains(says, c.says) {
			t.Errorf("%q: %q\n  wants %s", c.table, says, c.says)
		}
	}
	if says := readJob(t, t.TempDir(), three+"lab_file: missing.csv\n"); !strings.Contains(says, "pad.yaml:4:11: lab_file `missing.csv`: is no file beside the job file.") {
		t.Error(says)
	}
}

func TestTheLaboratorysTableStandsBeforeWhatIsTyped(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "lab.csv"), []byte("name,cylinder_1\nfirst,4100\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	j, _, err := Job(filepath.Join(folder, "pad.yaml"), []byte(three+"lab_file: lab.csv\nmix: {lab: [{name: second, cylinders: [4200]}]}\n"), asOf)
	if err != nil || len(j.Mix.Lab) != 2 || j.Mix.Lab[0].Name.Value != "first" || j.Mix.Lab[1].Name.Value != "second" {
		t.Errorf("%+v, %v", j.Mix.Lab, err)
	}
}

func FuzzLab(f *testing.F) {
	f.Add("name,job,age_days,cylinder_1,cylinder_2\nA,drive,28,4700,4650\nB,drive,7,3300,\n", false)
	f.Add("cylinder_1\n\"\"\n", true)
	f.Add("day,cured,across,cylinder\n6/11,12,4,30 MPa\n", true)
	f.Fuzz(func(t *testing.T, table string, metric bool) {
		reading := Reading{Today: asOf}
		if metric {
			reading.Units = quantity.Metric
		}
		results, err := Lab("lab.csv", []byte(table), reading)
		var faults Faults
		if err != nil && (!errors.As(err, &faults) || len(faults) == 0 || faults[0].Line < 1) {
			t.Fatalf("a refusal without a place: %v", err)
		}
		for _, r := range results {
			if err == nil && len(r.Cylinders) == 0 {
				t.Fatal("a sample without cylinders")
			}
		}
	})
}
