package calc

import (
	"errors"
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
)

func hypotenuse() Calculation {
	return New("plane.diagonal", "the diagonal of a rectangle", "definition",
		func(in struct {
			A     quantity.Length `says:"one side"`
			B     quantity.Length `says:"the other side" default:"3"`
			Share float64         `unit:"%" default:"100"`
		}) (out struct {
			D    quantity.Length
			Said string
		}, err error) {
			if in.A < 0 {
				return out, errors.New("a side is longer than zero")
			}
			out.D = quantity.Length(5 * in.Share / 100)
			if in.A != 4 || in.B != 3 {
				out.D = 0
			}
			out.Said = "five"
			return out, nil
		})
}

func run(t *testing.T, table string) []Outcome {
	t.Helper()
	rows, err := ReadCSV(strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	var out []Outcome
	for _, r := range rows {
		out = append(out, Run(r, map[string]Calculation{"plane.diagonal": hypotenuse()}))
	}
	return out
}

func TestRowsRunInTheirOwnUnits(t *testing.T) {
	out := run(t, `id,calculation,inputs,expect,tolerance,why,source,class
D-1,plane.diagonal,a=4 m,d=16.4042 ft,rel 1e-5,digits printed,definition,exact
D-2,plane.diagonal,a=400 cm; b=3000 mm,"d=5 m; said=""five""",exact,definition,definition,exact
D-3,plane.diagonal,a=-1 m,"fault=""longer than zero""",exact,words,definition,exact
D-4,plane.diagonal,a=4 m,d=5.2 m,abs 0.1,too near,definition,exact
D-5,plane.diagonal,a=4 m; share=0.5 1,d=2.5 m,exact,unit of a share,definition,exact
D-6,plane.triangle,a=4 m,d=5 m,exact,no such name,definition,exact
D-7,plane.diagonal,q=4 m,d=5 m,exact,no such input,definition,exact
D-8,plane.diagonal,a=4 psi,d=5 m,exact,no such unit,definition,exact
`)
	want := []bool{true, true, true, false, true, false, false, false}
	for i, o := range out {
		if o.Pass != want[i] {
			t.Errorf("%s: pass %v, got %s, failed %q", o.ID, o.Pass, o.Got, o.Failed)
		}
		if o.Pass == (o.Failed != "") {
			t.Errorf("%s: pass %v with reason %q", o.ID, o.Pass, o.Failed)
		}
	}
}

func TestTablesNobodyCanReadAreRefused(t *testing.T) {
	for name, table := range map[string]string{
		"unknown column": "id,calculation,inputs,expext,tolerance\n",
		"missing column": "id,calculation,inputs,expect\n",
		"column twice":   "id,id,calculation,inputs,expect,tolerance\n",
		"id twice":       "id,calculation,inputs,expect,tolerance\nA,x,,y=1,exact\nA,x,,y=1,exact\n",
		"no expectation": "id,calculation,inputs,expect,tolerance\nA,x,,,exact\n",
		"empty":          "",
	} {
		if _, err := ReadCSV(strings.NewReader(table)); err == nil {
			t.Errorf("%s: read without complaint", name)
		}
	}
}

func TestTablesAsProgramsSaveThem(t *testing.T) {
	for name, table := range map[string]string{
		"byte order mark, CRLF": "\ufeffid,calculation,inputs,expect,tolerance\r\nA,plane.diagonal,a=4 m,d=5 m,exact\r\n",
		"semicolons":            "id;calculation;inputs;expect;tolerance\nA;plane.diagonal;\"a=4 m; b=3 m\";d=5 m;exact\n",
		"tabs":                  "id\tcalculation\tinputs\texpect\ttolerance\nA\tplane.diagonal\ta=4 m; b=3 m\td=5 m\texact\n",
		"capitals, empty cells": "ID,Calculation,Inputs,Expect,Tolerance,,\n,,,,\nA,Plane.Diagonal,A=4 m,D=5 m,Exact,,\n",
		"quotes in a bare cell": "id,calculation,inputs,expect,tolerance\nA,plane.diagonal,a=4 m,said=\"five\",exact\n",
		"comment first":         "# mine, all mine\nid;calculation;inputs;expect;tolerance\nA;plane.diagonal;a=4 m;d=5 m;exact\n",
	} {
		out := run(t, table)
		if len(out) != 1 || !out[0].Pass {
			t.Errorf("%s: %+v", name, out)
		}
	}
}

func TestWaysToWriteValues(t *testing.T) {
	for _, row := range []string{
		`a=4m,d=5m,exact`,
		`a=0.4e1 m,d=5e0 m,exact`,
		`"a=4,000 mm","d=5,000 mm",exact`,
		`a=8/2 m,d=4 2/2 m,exact`,
		`a=4 m; share=100%,d=5 m,exact`,
		`a=4 m,said=FIVE,exact`,
		`a=4 m,d=5.04 m,rel 1 %`,
		`a=4 m,d=5.04 m,abs 5 cm`,
		`a=4 m,"d=5 m; said=""five""",d: exact`,
		`a=4 m,d=5 m,*: rel 1e-9`,
		`a=-1 m,fault,exact`,
		`a=−1 m,"fault=""LONGER""",exact`,
	} {
		if out := run(t, "id,calculation,inputs,expect,tolerance\nA,plane.diagonal,"+row+"\n"); !out[0].Pass {
			t.Errorf("%s: got %s, failed %s", row, out[0].Got, out[0].Failed)
		}
	}
	for _, row := range []string{
		`"a=4,0 m",d=5 m,exact`,
		`a=NaN m,d=5 m,exact`,
		`a=1e999 m,d=5 m,exact`,
		`a=4/0 m,d=5 m,exact`,
		`a=4 m,d=5 m,0.1`,
		`a=4 m,d=5 m,q: abs 0.1; *: exact`,
		`a=4 m,d=5 m,abs 1 psi`,
		`a=4 m,d=0.000001 m,rel 0.1`,
	} {
		if out := run(t, "id,calculation,inputs,expect,tolerance\nA,plane.diagonal,"+row+"\n"); out[0].Pass || out[0].Failed == "" {
			t.Errorf("%s: passed or failed without a word", row)
		}
	}
}

func TestListsAndPointsAsWritten(t *testing.T) {
	total := New("plane.total", "", "definition", func(in struct {
		Parts []float64   `unit:"m"`
		Spots [][]float64 `unit:"m"`
		Wet   bool        `default:"false"`
		Tilt  float64     `unit:"m/m" default:"0" range:"0..1"`
	}) (out struct {
		Sum  quantity.Length
		Tilt float64 `unit:"m/m"`
	}, err error) {
		for _, v := range append(flatten(in.Spots), in.Parts...) {
			out.Sum += quantity.Length(v)
		}
		out.Tilt = in.Tilt
		return out, nil
	})
	for inputs, expect := range map[string]string{
		"parts=[1, 2] m; spots=[[1, 0], [0, 1]] m":            "sum=5 m",
		"parts=[1 m, 10 cm]; spots=[[100 cm, 0]]; wet=yes":    "sum=2.1 m",
		"parts=[1/2, 1 1/2] ft; spots=[]; wet=no; tilt=1:50":  "sum=2 ft; tilt=2 %",
		"parts=[]; spots=[[1e1, 2E-1]]m; tilt=1/4 in/ft":      "sum=10.2 m; tilt=0.25 in/ft",
		"PARTS = [1,2]; spots = [[1,1],[1,1,1]] ; tilt=0.5 %": "sum=8; tilt=0.005",
	} {
		row := Row{ID: "A", Calculation: "plane.total", Inputs: inputs, Expect: expect, Tolerance: "exact"}
		if out := Run(row, map[string]Calculation{"plane.total": total}); !out.Pass {
			t.Errorf("%s: got %s, failed %s", inputs, out.Got, out.Failed)
		}
	}
}

func TestNumbersOutsideTheirRangeAreRefused(t *testing.T) {
	root := New("plane.root", "", "definition", func(in struct {
		Areas []quantity.Area `range:"> 0"`
		Share quantity.Ratio  `range:"0..1" default:"1"`
	}) (out struct{ Sum quantity.Area }, err error) {
		for _, a := range in.Areas {
			out.Sum += a
		}
		return out, nil
	})
	for inputs, expect := range map[string]string{
		"areas=[1, 2] m2": "sum=3 m2", "areas=[1, 0] m2": `fault="areas is 0 m2; it must be > 0"`, "areas=[1] m2; share=2": `fault="0..1"`,
		"areas=[-1] ft2": "fault", "areas=[1] m2; share=100 %": "sum=1 m2",
	} {
		row := Row{ID: "A", Calculation: "plane.root", Inputs: inputs, Expect: expect, Tolerance: "exact"}
		if out := Run(row, map[string]Calculation{"plane.root": root}); !out.Pass {
			t.Errorf("%s: got %s, failed %s", inputs, out.Got, out.Failed)
		}
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add("id,calculation,inputs,expect,tolerance\nA,plane.diagonal,a=[4] m;;=,d=5 m,rel 1e-3\n")
	f.Add("id,calculation,inputs,expect,tolerance\nA,plane.diagonal,\"a=\"\"[,]\",d=[[1,2],[3]] ft,d: abs 1\n")
	f.Fuzz(func(t *testing.T, table string) {
		rows, err := ReadCSV(strings.NewReader(table))
		if err != nil {
			return
		}
		for _, r := range rows {
			r.Calculation = "plane.diagonal"
			Run(r, map[string]Calculation{"plane.diagonal": hypotenuse()})
		}
	})
}
