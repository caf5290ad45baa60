package pack_test

import (
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
)

// TestTheInspectorSeesThingsInOrder: permit first, tickets last, and no word that anything complies.
func TestTheInspectorSeesThingsInOrder(t *testing.T) {
	_, files := made(t, practice())
	sheet := strings.Join(text(t, files["inspection-sheet.pdf"]), "\n")
	if strings.Contains(strings.ToLower(sheet), "compl") {
		t.Error("the sheet judges for the inspector")
	}
	at := 0
	for _, what := range []string{"Permit", "Buried lines", "Base", "Thickness", "Forms", "Reinforcement", "Isolation", "Joints", "Fall", "Concrete", "Delivery tickets", "Inspector"} {
		next := strings.Index(sheet[at:], what)
		if next < 0 {
			t.Fatalf("%q does not stand after what is looked at before it", what)
		}
		at += next
	}
}

func TestHandOverSheetsAreOneSide(t *testing.T) {
	_, us := made(t, practice())
	_, metric := made(t, threeNumbers(12, 5, quantity.Metric))
	for paper, files := range map[string]map[string][]byte{"letter": us, "A4": metric} {
		for _, name := range []string{"before-the-pour", "inspection-sheet", "daily-log", "what-to-look-for"} {
			if pages := text(t, files[name+".pdf"]); len(pages) != 1 {
				t.Errorf("%s on %s takes %d sides", name, paper, len(pages))
			}
		}
	}
}

// TestTheLogSaysWhatWasPlanned: the saw has its hours beside the blanks for what happened.
func TestTheLogSaysWhatWasPlanned(t *testing.T) {
	_, files := made(t, practice())
	for line := range strings.Lines(text(t, files["daily-log.pdf"])[0]) {
		if step, hours, _ := strings.Cut(strings.TrimSpace(line), " "); step == "Saw" && strings.HasSuffix(strings.TrimSpace(hours), "to") {
			return
		}
	}
	t.Error("the saw has no planned hours")
}
