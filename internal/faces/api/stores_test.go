package api

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"slabwright/internal/rim/store"
	"slabwright/internal/rim/store/storetest"
)

// A job that goes out as JSON and comes in elsewhere, on either database, and through a backup, goes out there the same to the
// byte. The examples are the jobs, and one with everything that JSON may write in two ways.
func TestAJobGoesOutAndInTheSameToTheByte(t *testing.T) {
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		where := fresh()
		s := openedAt(t, where)
		other := openedAt(t, storetest.File(t))
		examples, err := filepath.Glob("../../../examples/*.yaml")
		if err != nil || len(examples) < 4 {
			t.Fatal(examples, err)
		}
		out := map[string][]byte{}
		for i, path := range examples {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			job := fmt.Sprintf("/api/v1/jobs/e%d", i)
			s.want(201, "PUT", job, text, "Content-Type", "application/yaml")
			out[job] = s.want(200, "GET", job, nil).body
		}
		odd := "{ \"width\":\"14 ft\", \"thickness\" : 6.50,\n\"length\":1.20e1, \"name\":\"\\u0050ad \\u0000\\u2028<b>&\\ud83d\\udea7\\/\"}"
		s.want(201, "PUT", "/api/v1/jobs/odd", odd)
		out["/api/v1/jobs/odd"] = s.want(200, "GET", "/api/v1/jobs/odd", nil).body
		backup := filepath.Join(t.TempDir(), "backup")
		if _, err := s.store.BackupTo(t.Context(), backup); err != nil {
			t.Fatal(err)
		}
		there := fresh()
		if _, err := store.Restore(t.Context(), backup, there, time.Now); err != nil {
			t.Fatal(err)
		}
		restored := openedAt(t, there)
		for job, text := range out {
			other.want(201, "PUT", job, text)
			s.want(201, "PUT", job+"-again", text)
			for what, again := range map[string][]byte{"elsewhere": other.want(200, "GET", job, nil).body, "again": s.want(200, "GET", job+"-again", nil).body, "after a restore": restored.want(200, "GET", job, nil).body} {
				if !bytes.Equal(text, again) {
					t.Errorf("%s %s: %d bytes out, %d then", job, what, len(text), len(again))
				}
			}
		}
	})
}

// What a person does to a job in a day, on both databases: the answers are the same to the byte.
func TestADayIsTheSameOnBothDatabases(t *testing.T) {
	day := func(s *shop) (said []string) {
		note := func(g got) { said = append(said, fmt.Sprintf("%d %s", g.status, g.body)) }
		job := s.pad()
		note(s.do("PUT", job, threeNumbers))
		note(s.do("PUT", job, `{"length":"41 ft"}`))
		note(s.do("PUT", job+"/changes/c1", `{"device":"cab","by":"Ann","seen":1,"sets":[{"pointer":"/thickness","value":"5 in","was":"6 in"}]}`))
		note(s.do("PUT", job+"/changes/c2", `{"device":"office","by":"Ben","seen":1,"sets":[{"pointer":"/thickness","value":"7 in","was":"6 in"}]}`))
		note(s.do("PUT", job+"/changes/c2", `{"device":"office","by":"Ben","seen":1,"sets":[{"pointer":"/thickness","value":"7 in","was":"6 in"}]}`))
		note(s.do("GET", job+"/changes?since=1", nil))
		note(s.do("PUT", job+"/attachments/f.csv", "a,b\n", "Content-Type", "text/csv"))
		note(s.do("GET", job+"/attachments", nil))
		note(s.do("POST", job+"/answers", `{"questions":["order"],"coarse":true}`))
		note(s.do("GET", "/api/v1/jobs?find=pad", nil))
		note(s.do("PUT", job+"/changes/c%7F", `{"sets":[{"pointer":"/name","value":"x"}]}`))
		note(s.do("PUT", "/api/v1/jobs/none/changes/c1", `{"sets":[{"pointer":"/name","value":"x"}]}`))
		note(s.do("DELETE", job, nil, "If-Match", s.want(200, "GET", job, nil).head.Get("ETag")))
		note(s.do("GET", "/api/v1/jobs?binned=1", nil))
		note(s.do("GET", job, nil))
		return said
	}
	on := map[string][]string{}
	storetest.Both(t, func(t *testing.T, fresh func() string) {
		on[t.Name()[strings.LastIndexByte(t.Name(), '/')+1:]] = day(openedAt(t, fresh()))
	})
	if len(on) < 2 || on["postgres"] == nil {
		t.Skip("one database only")
	}
	for i := range on["sqlite"] {
		if on["sqlite"][i] != on["postgres"][i] {
			t.Errorf("step %d\nsqlite   %.800s\npostgres %.800s", i, on["sqlite"][i], on["postgres"][i])
		}
	}
}

// A database that goes away is told as such, and what is asked after it came back is answered.
func TestADatabaseThatGoesAwayIsSaidAndComesBack(t *testing.T) {
	server := storetest.Durable(t)
	s := openedAt(t, server.Database(t))
	job := s.pad()
	if err := server.Crash(); err != nil {
		t.Fatal(err)
	}
	for _, g := range []got{
		s.do("PUT", job+"/changes/c1", `{"device":"d","seen":1,"sets":[{"pointer":"/thickness","value":"5 in","was":"6 in"}]}`),
		s.do("GET", job, nil), s.do("GET", "/api/v1/jobs", nil),
	} {
		if g.status != http.StatusServiceUnavailable || !strings.Contains(string(g.body), "does not answer") || g.head.Get("Retry-After") == "" {
			t.Errorf("%d %s", g.status, g.body)
		}
	}
	if strings.Contains(s.log.String(), storetest.Password) {
		t.Error("the log shows the password")
	}
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	s.want(200, "PUT", job+"/changes/c1", `{"device":"d","seen":1,"sets":[{"pointer":"/thickness","value":"5 in","was":"6 in"}]}`)
	if text := s.want(200, "GET", job, nil).body; !strings.Contains(string(text), "5 in") {
		t.Errorf("%s", text)
	}
}

var recordFor = flag.Duration("record-for", 20*time.Second, "how long BenchmarkRecord writes at each pace")

// BenchmarkRecord writes entries of the record through a listening server, as many crews do at once: first two hundred a second,
// then as fast as they are taken. Entries a second and the milliseconds of an entry at the 95th percentile; run it with -benchtime 1x.
func BenchmarkRecord(b *testing.B) {
	run := func(b *testing.B, where string) {
		const jobs, crews = 40, 16
		s := openedAt(b, where)
		web := httptest.NewServer(s.handler)
		defer web.Close()
		for j := range jobs {
			s.want(201, "PUT", fmt.Sprintf("/api/v1/jobs/j%d", j), threeNumbers)
		}
		web.Client().Transport.(*http.Transport).MaxIdleConnsPerHost = crews
		var n atomic.Int64
		enter := func() time.Duration {
			i := n.Add(1)
			body := fmt.Sprintf(`{"device":"d%d","by":"Ann","sets":[{"pointer":"/record/notes/-","value":{"at":"2027-06-17 %02d:%02d","says":"truck %d in, slump 4 in"}}]}`, i%crews, i/60%24, i%60, i)
			r, err := http.NewRequest("PUT", fmt.Sprintf("%s/api/v1/jobs/j%d/changes/c%d", web.URL, rand.IntN(jobs), i), strings.NewReader(body))
			if err != nil {
				b.Error(err)
				return 0
			}
			began := time.Now()
			answer, err := web.Client().Do(r)
			if err != nil {
				b.Error(err)
				return 0
			}
			text, _ := io.ReadAll(answer.Body)
			answer.Body.Close()
			if answer.StatusCode != http.StatusOK {
				b.Errorf("%d %s", answer.StatusCode, text)
			}
			return time.Since(began)
		}
		for _, pace := range []int{200, 0} {
			var lock sync.Mutex
			var took []time.Duration
			var wait sync.WaitGroup
			began := time.Now()
			for crew := range crews {
				wait.Go(func() {
					for i := 0; time.Since(began) < *recordFor; i++ {
						if pace > 0 { // each crew has its turn, whether or not the one before was answered late
							time.Sleep(time.Until(began.Add(time.Duration(i*crews+crew) * time.Second / time.Duration(pace))))
						}
						one := enter()
						lock.Lock()
						took = append(took, one)
						lock.Unlock()
					}
				})
			}
			wait.Wait()
			rate, name := float64(len(took))/time.Since(began).Seconds(), "paced"
			if pace == 0 {
				name = "free"
			}
			b.ReportMetric(rate, name+"-entries/s")
			b.ReportMetric(float64(p95(took).Microseconds())/1000, name+"-ms-p95")
		}
		entries := 0
		for j := range jobs {
			done, err := s.store.Since(b.Context(), fmt.Sprintf("j%d", j), 0)
			if err != nil {
				b.Fatal(err)
			}
			entries += len(done)
		}
		if entries != int(n.Load()) {
			b.Errorf("%d entries were acknowledged and %d are kept", n.Load(), entries)
		}
	}
	b.Run("sqlite", func(b *testing.B) { run(b, storetest.File(b)) })
	b.Run("postgres", func(b *testing.B) { run(b, storetest.Durable(b).Database(b)) })
}
