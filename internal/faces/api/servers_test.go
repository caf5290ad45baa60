package api

import (
	"archive/zip"
	"bufio"
	"bytes"
	"net/http"
	"net/http/httptest"
	"path"
	"slices"
	"strings"
	"testing"
	"time"

	"slabwright/internal/rim/store/storetest"
)

// two servers on one store: one does the long works, the other leaves them to it.
func two(t *testing.T, where string) (does, leaves *shop) {
	return sharing(t, where, 1), sharing(t, where, 0)
}

// listening opens a stream of a job's events.
func (s *shop) listening(t *testing.T, job string) *bufio.Scanner {
	server := httptest.NewServer(s.handler)
	t.Cleanup(server.Close)
	answer, err := server.Client().Get(server.URL + job + "/events")
	if err != nil {
		t.Fatal(err)
	}
	if answer.StatusCode != http.StatusOK {
		t.Fatal(answer.Status)
	}
	t.Cleanup(func() { answer.Body.Close() })
	return bufio.NewScanner(answer.Body)
}

func TestWhatOneServerChangesTheOtherTells(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		a, b := two(t, fresh())
		job := a.pad()
		stream := b.listening(t, job)
		want := func(want Event) {
			t.Helper()
			began := time.Now()
			if e := nextEvent(t, stream); e != want {
				t.Fatalf("%+v, want %+v", e, want)
			}
			if took := time.Since(began); took > 5*time.Second { // half a second is usual; a busy machine is no fault
				t.Errorf("%+v came after %s", want, took)
			}
		}
		want(Event{Kind: "changed", Revision: 1})
		before := b.answers(job, Question{}).Headline
		a.want(200, "PUT", job+"/changes/c1", `{"sets":[{"pointer":"/thickness","value":"9 in"}]}`)
		want(Event{Kind: "changed", Revision: 2})
		after := b.answers(job, Question{})
		if after.Revision != 2 || slices.EqualFunc(before, after.Headline, func(x, y Figure) bool { return x.Text == y.Text }) {
			t.Errorf("the other server answers with what was: %+v", after.Headline)
		}
		b.want(200, "PUT", job+"/changes/c2", `{"sets":[{"pointer":"/use","value":"car"}]}`)
		want(Event{Kind: "changed", Revision: 3, Change: "c2"}) // its own, once and with its change
		var list JobList
		b.answers(job, Question{})
		a.want(200, "GET", "/api/v1/jobs", nil).into(t, &list)
		if len(list.Jobs) != 1 || list.Jobs[0].Stale || list.Jobs[0].Trust == "" {
			t.Errorf("the list of the other server: %+v", list.Jobs)
		}
		a.want(204, "DELETE", job, nil, "If-Match", `"r3"`)
		want(Event{Kind: "binned", Revision: 3})
		a.want(200, "PUT", job+"/restored", nil)
		want(Event{Kind: "changed", Revision: 3})
	})
}

func TestALongWorkOfAnotherServerIsFollowedAndItsAnswerReadHere(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		does, leaves := two(t, fresh())
		job := does.pad()
		stream := leaves.listening(t, job)
		nextEvent(t, stream)
		leaves.want(202, "PUT", job+"/works/h", Start{Question: "hold"})
		states := []string{}
		for len(states) == 0 || states[len(states)-1] != "done" {
			e := nextEvent(t, stream)
			if e.Work == nil || e.Work.State == "failed" {
				t.Fatalf("%+v", e)
			}
			if len(states) == 0 || states[len(states)-1] != e.Work.State {
				states = append(states, e.Work.State)
			}
		}
		if !slices.Contains(states, "working") {
			t.Errorf("it went through %v", states)
		}
		for _, s := range []*shop{does, leaves} {
			if hold := s.answers(job, Question{Questions: []string{"hold"}}).Stages["hold"]; !hold.Answered {
				t.Errorf("not answered: %+v", hold)
			}
		}
		var all Workshop
		leaves.want(200, "GET", "/api/v1/works", nil).into(t, &all)
		if len(all.Workers) != 1 || len(all.Works) != 1 || all.Works[0].State != "done" {
			t.Errorf("%+v", all)
		}
	})
}

func TestTheSheetsOfADayComeInOneArchive(t *testing.T) {
	s := opened(t)
	for _, id := range []string{"one", "two"} {
		s.want(201, "PUT", "/api/v1/jobs/"+id, `{"name":"Pad `+id+`","length":"20 ft","width":"12 ft","thickness":"5 in","pour_date":"2027-06-17"}`)
		s.answers("/api/v1/jobs/"+id, Question{}) // the day it pours on stands in the list
	}
	s.want(202, "PUT", "/api/v1/works/p", Start{Question: "packs", Day: "2027-06-17"})
	done := s.waited("/api/v1/works/p", "done", "failed")
	if done.State != "done" || done.Result == "" {
		t.Fatalf("%+v", done)
	}
	first := s.want(200, "GET", done.Result, nil)
	z, err := zip.NewReader(bytes.NewReader(first.body), int64(len(first.body)))
	if err != nil {
		t.Fatal(err)
	}
	folders, front := map[string]bool{}, 0
	for _, f := range z.File {
		if dir := path.Dir(f.Name); dir != "." {
			folders[dir] = true
		} else if strings.HasSuffix(f.Name, ".pdf") {
			front++
		}
		if f.UncompressedSize64 == 0 || strings.HasPrefix(f.Name, "could-not") {
			t.Errorf("%s of %d bytes", f.Name, f.UncompressedSize64)
		}
	}
	if len(folders) != 2 || front == 0 {
		t.Errorf("folders %v, %d print sets in front", folders, front)
	}
	s.want(202, "PUT", "/api/v1/works/again", Start{Question: "packs", Day: "2027-06-17"})
	again := s.waited("/api/v1/works/again", "done")
	if second := s.want(200, "GET", again.Result, nil); !bytes.Equal(first.body, second.body) {
		t.Error("the same sheets were made again, and differ")
	}
	s.want(202, "PUT", "/api/v1/works/none", Start{Question: "packs", Day: "2027-07-01"})
	if none := s.waited("/api/v1/works/none", "done", "failed"); none.State != "failed" || !strings.Contains(none.Says, "No job pours") {
		t.Errorf("%+v", none)
	}
}

func TestRiskAndWeatherFindAListToFetch(t *testing.T) {
	s := opened(t)
	job := s.pad()
	for _, question := range []string{"price-risk", "weather", "pack"} {
		s.want(202, "PUT", job+"/works/"+question, Start{Question: question})
		done := s.waited(job+"/works/"+question, "done", "failed")
		if done.State != "done" {
			t.Fatalf("%+v", done)
		}
		g := s.want(200, "GET", done.Result, nil)
		if question != "pack" {
			var found map[string]any
			g.into(t, &found)
			if len(found) < 5 {
				t.Errorf("%s found %.200s", question, g.body)
			}
		}
		s.want(304, "GET", done.Result, nil, "If-None-Match", g.head.Get("ETag"))
	}
}
