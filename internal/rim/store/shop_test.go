package store

import (
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"slabwright/internal/rim/fields"
)

// wageTo sets the wage.
func wageTo(text string) func(fields.Value) (fields.Value, []ShopLine, error) {
	return func(doc fields.Value) (fields.Value, []ShopLine, error) {
		was, _ := fields.Get(doc, fields.Pointer{"wage"}).(string)
		return fields.Put(doc, fields.Pointer{"wage"}, text), []ShopLine{{Field: "wage", Was: was, Now: text}}, nil
	}
}

func TestTheShopsListsKeepTheirHistory(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s, ctx := open(t, c), t.Context()
		if shop, err := s.Shop(ctx); err != nil || shop.Doc != nil || shop.Revision != 0 {
			t.Errorf("before anything is set: %+v, %v", shop, err)
		}
		for i, wage := range []string{"32", "34", "34"} {
			id := fmt.Sprint("c", min(i, 1)) // the last is sent again
			shop, err := s.SetShop(ctx, id, "Ada", wageTo(wage))
			if err != nil || shop.Revision != int64(min(i, 1)+1) {
				t.Errorf("%s: %+v, %v", id, shop, err)
			}
			c.at = c.at.Add(time.Hour)
		}
		refused := errors.New("no")
		if _, err := s.SetShop(ctx, "c9", "Bo", func(fields.Value) (fields.Value, []ShopLine, error) { return nil, nil, refused }); !errors.Is(err, refused) {
			t.Errorf("a refusal: %v", err)
		}
		lines := must[[]ShopLine](t)(s.ShopHistory(ctx, 10))
		if len(lines) != 2 || lines[0].Now != "34" || lines[0].Was != "32" || lines[0].By != "Ada" || lines[1].Revision != 1 || !lines[0].Received.After(lines[1].Received) {
			t.Errorf("history %+v", lines)
		}
		if shop := must[Shop](t)(s.Shop(ctx)); fields.Get(shop.Doc, fields.Pointer{"wage"}) != "34" {
			t.Errorf("it stands at %v", shop.Doc)
		}
	})
}

// Many set different things at once: none is lost, and every revision has its line.
func TestNobodysSettingIsLost(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		s, ctx := open(t, newClock()), t.Context()
		const people, each = 6, 5
		var wait sync.WaitGroup
		for p := range people {
			wait.Go(func() {
				for i := range each {
					name := fmt.Sprintf("f%d-%d", p, i)
					_, err := s.SetShop(ctx, name, "", func(doc fields.Value) (fields.Value, []ShopLine, error) {
						return fields.Put(doc, fields.Pointer{name}, "set"), []ShopLine{{Field: name, Now: "set"}}, nil
					})
					if err != nil {
						t.Error(err)
					}
				}
			})
		}
		wait.Wait()
		shop := must[Shop](t)(s.Shop(ctx))
		if n := len(shop.Doc.(map[string]any)); n != people*each || shop.Revision != people*each {
			t.Errorf("%d fields at revision %d", n, shop.Revision)
		}
		if lines := must[[]ShopLine](t)(s.ShopHistory(ctx, 1000)); len(lines) != people*each {
			t.Errorf("%d lines", len(lines))
		}
	})
}

func TestAWeekIsReadFromSummaries(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s, ctx := open(t, c), t.Context()
		for _, j := range []struct {
			id    string
			about About
			plan  *Answered
		}{
			{"thursday", About{Title: "Thursday", PoursOn: "2027-06-17", FirstTruck: "07:00", Crew: "North"}, &Answered{Yards: "11 1/4 yd³", PoursOn: "2027-06-17", FirstTruck: "07:00", Known: "{}"}},
			{"early", About{Title: "Early", PoursOn: "2027-06-17", FirstTruck: "06:00"}, nil},
			{"next", About{Title: "Next week", PoursOn: "2027-06-22"}, nil},
			{"quoted", About{Title: "Quoted", Quoted: "2027-06-01"}, nil},
			{"accepted", About{Title: "Accepted", Quoted: "2027-06-01", Accepted: "2027-06-03"}, nil},
			{"hard", About{Title: "Hardening", PoursOn: "2027-06-01"}, &Answered{PoursOn: "2027-06-01", ReadyOn: "2027-06-29", Known: "{}"}},
			{"ready", About{Title: "Ready", PoursOn: "2027-05-01"}, &Answered{PoursOn: "2027-05-01", ReadyOn: "2027-06-10", Known: "{}"}},
		} {
			must[Job](t)(s.Create(ctx, j.id, map[string]any{}, j.about, "Ada"))
			if j.plan != nil {
				if err := s.Summarise(ctx, j.id, 1, *j.plan); err != nil {
					t.Fatal(err)
				}
			}
		}
		binned := must[Job](t)(s.Create(ctx, "binned", map[string]any{}, About{Title: "Binned", PoursOn: "2027-06-17"}, ""))
		if err := s.Bin(ctx, binned.ID, 1); err != nil {
			t.Fatal(err)
		}
		night := c.at.Add(time.Hour)
		c.at = night.Add(time.Hour)
		if _, _, err := s.Apply(ctx, "thursday", Change{ID: "x", By: "Bo", Step: "Thickness to 7 in", Sets: []fields.Set{{Pointer: "/thickness", Value: "7 in"}}}, flat,
			func(fields.Value) About {
				return About{Title: "Thursday", PoursOn: "2027-06-17", FirstTruck: "08:00", Crew: "South"}
			}, nil); err != nil {
			t.Fatal(err)
		}
		got := must[Around](t)(s.Around(ctx, Span{From: "2027-06-14", Until: "2027-06-20", Today: "2027-06-10", Poured: "2027-05-20", Since: night, Most: 100}))
		ids := func(list []Placed) string {
			out := ""
			for _, p := range list {
				out += p.ID + " "
			}
			return out
		}
		if ids(got.Pours) != "early thursday " || ids(got.Ahead) != "hard " || ids(got.Quotes) != "quoted " || fmt.Sprint(got.Fresh) != "[thursday early quoted]" {
			t.Errorf("pours %s, ahead %s, quotes %s, fresh %v", ids(got.Pours), ids(got.Ahead), ids(got.Quotes), got.Fresh)
		}
		if p := got.Pours[1]; p.Crew != "South" || p.FirstTruck != "08:00" || !p.Stale || !p.Planned || p.Yards != "11 1/4 yd³" {
			t.Errorf("the changed job: %+v", p)
		}
		if len(got.Changed) != 1 || got.Changed[0].By != "Bo" || got.Changed[0].Step != "Thickness to 7 in" || got.Changed[0].Fields[0] != "/thickness" || got.Changed[0].Title != "Thursday" {
			t.Errorf("changed %+v", got.Changed)
		}
	})
}
