package plan_test

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"time"

	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/plan"
)

// moneyPattern is an amount of money as the program writes it, and the fields of a JSON value in money.
var moneyPattern = regexp.MustCompile(`\$\s?-?\d|"(?:si_)?unit":"\$`)

func TestAnUnpricedPlanTellsNoMoney(t *testing.T) {
	for _, name := range []string{"boathouse-apron", "bakery-court", "nursery-pad"} {
		t.Run(name, func(t *testing.T) {
			file := "../../../examples/" + name + ".yaml"
			src, err := intake.File(file)
			if err != nil {
				t.Fatal(err)
			}
			j, _, err := intake.Job(file, src, time.Date(2027, 6, 1, 5, 0, 0, 0, time.UTC))
			if err != nil {
				t.Fatal(err)
			}
			var planner plan.Planner
			p := planner.Make(j)
			before := text(t, p)
			if !moneyPattern.MatchString(before) {
				t.Fatal("the plan itself tells no money: this proves nothing")
			}
			bare := p.Unpriced()
			found := text(t, bare)
			if at := moneyPattern.FindStringIndex(found); at != nil {
				t.Errorf("money: …%s…", found[max(0, at[0]-200):min(len(found), at[1]+100)])
			}
			for _, r := range bare.Stages {
				for _, pic := range r.Pictures() {
					drawn, err := json.Marshal(pic)
					if err != nil {
						continue // films hold what JSON cannot write
					}
					if at := moneyPattern.FindIndex(drawn); at != nil {
						t.Errorf("%s: …%s…", pic.Name, drawn[max(0, at[0]-100):min(len(drawn), at[1]+50)])
					}
				}
			}
			for _, m := range bare.Movers() {
				if says := m.Moves(bare.Job.Units); strings.Contains(says, "price") || strings.Contains(says, "$") {
					t.Errorf("%s.%s moves %s", m.Stage, m.Field, says)
				}
			}
			if _, ok := bare.Figure("price.crew"); !ok {
				t.Error("how many people come is no secret of the shop")
			}
			if len(bare.Alternatives()) > 0 {
				t.Error("alternatives are told by their price")
			}
			if _, err := bare.PriceRisk(100, 10, 1); err == nil {
				t.Error("an unpriced plan has no price to risk")
			}
			if after := text(t, p); after != before {
				t.Error("the plan it was made from has changed")
			}
		})
	}
}

func text(t *testing.T, p plan.Plan) string {
	t.Helper()
	out, err := json.Marshal(p.View())
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
