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
