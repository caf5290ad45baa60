package quantity

import "testing"

func TestNominalSizesReadByTheirRoundNames(t *testing.T) {
	for mm, want := range map[float64]string{9.5: "10 mm", 9.525: "10 mm", 12.5: "12 mm", 14: "14 mm", 19: "20 mm", 19.05: "20 mm", 20: "20 mm", 25.4: "25 mm", 37.5: "40 mm", 50.8: "50 mm", 75: "75 mm", 45: "45 mm"} {
		if got := Show(Millimetres(mm), AsNominal).String(Metric); got != want {
			t.Errorf("%v mm reads %q, not %q", mm, got, want)
		}
	}
	if got := Show(Inches(0.75), AsNominal).String(US); got != "3/4 in" {
		t.Error(got)
	}
	for inches, want := range map[float64]string{4: "100 mm", 3: "75 mm", 6: "150 mm", 4.4: "110 mm"} {
		if got := Show(Inches(inches), AsSlump).String(Metric); got != want {
			t.Errorf("a slump of %v in reads %q, not %q", inches, got, want)
		}
	}
}

func TestADayInFullFollowsTheLocale(t *testing.T) {
	d := Date{2027, 6, 17}
	for locale, want := range map[string]string{"": "Thursday, June 17, 2027", "en-US": "Thursday, June 17, 2027", "en-GB": "Thursday 17 June 2027", "de": "Thursday 17 June 2027"} {
		if got := d.Long(locale); got != want {
			t.Errorf("%q: %q", locale, got)
		}
	}
}
