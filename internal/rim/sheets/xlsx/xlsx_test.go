package xlsx_test

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"slabwright/internal/rim/sheets/ledger"
	"slabwright/internal/rim/sheets/xlsx"
)

var about = xlsx.About{Title: "Boathouse apron", Note: "practice, invented data", AsOf: time.Date(2026, 6, 10, 12, 0, 0, 0, time.UTC)}

func tabs() []ledger.Tab {
	bill := ledger.Tab{Name: "Bill [of] quantities, with a long name", Columns: []ledger.Column{
		{Name: "item"}, {Name: "amount", Unit: "yd3", Decimals: 2}, {Name: "price", Unit: "$/yd3", Decimals: 2},
		{Name: "cost", Unit: "$", Money: true, Decimals: 2, Product: []string{"amount", "price"}, Sum: true}},
		Rows: [][]ledger.Cell{
			{ledger.Text("Concrete"), ledger.Number(11.25), ledger.Number(165), {}},
			{ledger.Text("=1+1"), ledger.Number(2), ledger.Number(38.5), {}},
			{ledger.Text("@x"), {}, ledger.Number(3), {}},
		}}
	return []ledger.Tab{bill, {Name: "Dates", Columns: []ledger.Column{{Name: "what"}}, Rows: [][]ledger.Cell{{ledger.Text("pour")}}}}
}

func written(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := xlsx.Write(&b, about, tabs()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Every formula is worked out by the spreadsheet's own engine and must agree with ours to rounding of float64.
func TestFormulasAgree(t *testing.T) {
	f, err := excelize.OpenReader(bytes.NewReader(written(t)))
	if err != nil {
		t.Fatal(err)
	}
	sheet := f.GetSheetList()[0]
	bill := tabs()[0]
	for cell, want := range map[string]float64{"D5": 1856.25, "D6": 77, "D8": bill.Total(3)} {
		formula, _ := f.GetCellFormula(sheet, cell)
		text, err := f.CalcCellValue(sheet, cell, excelize.Options{RawCellValue: true})
		got, parseErr := strconv.ParseFloat(text, 64)
		if formula == "" || err != nil || parseErr != nil || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s = %q comes to %q (%v), want %v", cell, formula, text, err, want)
		}
	}
	if formula, _ := f.GetCellFormula(sheet, "A6"); formula != "" {
		t.Errorf("typed text became the formula %q", formula)
	}
	if text, _ := f.GetCellValue(sheet, "A6"); text != "=1+1" {
		t.Errorf("typed text came back as %q", text)
	}
}

func TestSameBytes(t *testing.T) {
	if !bytes.Equal(written(t), written(t)) {
		t.Error("two writes of the same tables differ")
	}
}

func TestIndependentReader(t *testing.T) {
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import openpyxl").Run() != nil {
		t.Skip("no openpyxl to read the file with")
	}
	path := filepath.Join(t.TempDir(), "bill.xlsx")
	if err := os.WriteFile(path, written(t), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", `
import sys, openpyxl
w = openpyxl.load_workbook(sys.argv[1]); s = w.worksheets[0]
print(len(w.worksheets), s["D5"].value, s["D8"].value, s["A6"].value, s["A6"].data_type, s["B5"].value)`, path).CombinedOutput()
	if got, want := strings.TrimSpace(string(out)), "2 =B5*C5 =SUM(D5:D7) =1+1 s 11.25"; err != nil || got != want {
		t.Errorf("openpyxl reads %q (%v), want %q", got, err, want)
	}
}
