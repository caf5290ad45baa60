package store

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"
)

var boss = Actor{Who: "Dana", Person: "p1", Address: "192.0.2.7"}

// staffed is a store with an owner and a foreman.
func staffed(t *testing.T, open opener, c *clock) *Store {
	t.Helper()
	s := open(t, c)
	for _, p := range []Person{{ID: "p1", Name: "Dana", SignIn: " Dana@Shop.example ", Role: Owner}, {ID: "p2", Name: "Luis", SignIn: "luis", Role: Foreman}} {
		if err := s.AddPerson(t.Context(), boss, p, "hash of "+p.Name); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func TestPeopleSignInByOneNameInAnyLetters(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		s := staffed(t, open, newClock())
		p, hash, err := s.PersonCalled(t.Context(), "DANA@shop.example")
		if err != nil || p.ID != "p1" || hash != "hash of Dana" || p.Waiting || p.Disabled {
			t.Errorf("%+v %q %v", p, hash, err)
		}
		if _, _, err := s.PersonCalled(t.Context(), "nobody"); !errors.Is(err, ErrAbsent) {
			t.Error(err)
		}
		if err := s.AddPerson(t.Context(), boss, Person{ID: "p3", Name: "Other", SignIn: "LUIS", Role: Office}, ""); !errors.Is(err, ErrThere) {
			t.Error(err)
		}
		all, err := s.People(t.Context())
		if err != nil || len(all) != 2 || all[0].Name != "Dana" {
			t.Errorf("%+v %v", all, err)
		}
	})
}

func TestTheLastOwnerStays(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		s := staffed(t, open, newClock())
		if err := s.SetRole(t.Context(), boss, "p1", Office); !errors.Is(err, ErrLastOwner) {
			t.Error(err)
		}
		if err := s.SetDisabled(t.Context(), boss, "p1", true); !errors.Is(err, ErrLastOwner) {
			t.Error(err)
		}
		if err := s.SetRole(t.Context(), boss, "p2", Owner); err != nil {
			t.Fatal(err)
		}
		var wait sync.WaitGroup
		errs := make([]error, 2)
		for i, id := range []string{"p1", "p2"} {
			wait.Go(func() { errs[i] = s.SetDisabled(context.Background(), boss, id, true) })
		}
		wait.Wait()
		if (errs[0] == nil) == (errs[1] == nil) {
			t.Errorf("both owners or neither went: %v", errs)
		}
	})
}

func TestARoleOrAPasswordEndsSessionsAndAPersonShutOutHasNone(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s := staffed(t, open, c)
		begin := func(id, person string) {
			t.Helper()
			if err := s.KeepSession(t.Context(), Session{ID: id, Person: person, Data: []byte("x"), Ends: c.at.Add(48 * time.Hour), Address: "192.0.2.1"}); err != nil {
				t.Fatal(err)
			}
		}
		alive := func(id string) bool {
			_, err := s.Session(t.Context(), id)
			return err == nil
		}
		begin("a", "p2")
		begin("b", "p2")
		begin("c", "p1")
		if err := s.SetPassword(t.Context(), boss, "p2", "new", "a"); err != nil || !alive("a") || alive("b") || !alive("c") {
			t.Errorf("after a new password: %v %v %v %v", err, alive("a"), alive("b"), alive("c"))
		}
		if err := s.SetRole(t.Context(), boss, "p2", Office); err != nil || alive("a") || !alive("c") {
			t.Errorf("after a new role: %v %v %v", err, alive("a"), alive("c"))
		}
		begin("d", "p2")
		if err := s.SetDisabled(t.Context(), boss, "p2", true); err != nil || alive("d") {
			t.Errorf("after shutting out: %v %v", err, alive("d"))
		}
		begin("e", "p1")
		if err := s.EndSessions(t.Context(), boss, "p1", "", "c"); err != nil || alive("e") || !alive("c") {
			t.Errorf("all but this: %v", err)
		}
		if err := s.EndSessions(t.Context(), boss, "p2", "c", ""); err != nil || !alive("c") {
			t.Error("one person ended another's session")
		}
	})
}

func TestSessionsEndUnusedAndInTheEnd(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s := staffed(t, open, c)
		start := c.at
		keep := func(id, person string) {
			t.Helper()
			if err := s.KeepSession(t.Context(), Session{ID: id, Person: person, Link: "l", Data: []byte(id), Ends: start.Add(80 * time.Hour)}); err != nil {
				t.Fatal(err)
			}
		}
		keep("used", "p1")
		keep("idle", "p1")
		keep("crew", "")
		for hour := 20; hour < 80; hour += 20 {
			c.at = start.Add(time.Duration(hour) * time.Hour)
			if one, err := s.Session(t.Context(), "used"); err != nil || string(one.Data) != "used" {
				t.Fatalf("after %d h: %v", hour, err)
			}
		}
		if _, err := s.Session(t.Context(), "idle"); !errors.Is(err, ErrAbsent) {
			t.Error("a session nobody used for a day is still good")
		}
		if _, err := s.Session(t.Context(), "crew"); err != nil {
			t.Error("a crew's session ends with its link, not unused")
		}
		if all, err := s.Sessions(t.Context(), "p1"); err != nil || len(all) != 1 {
			t.Errorf("%+v %v", all, err)
		}
		c.at = start.Add(80 * time.Hour)
		for _, id := range []string{"used", "crew"} {
			if _, err := s.Session(t.Context(), id); !errors.Is(err, ErrAbsent) {
				t.Errorf("%s outlived its end", id)
			}
		}
		c.at = c.at.Add(time.Second)
		if err := s.TidyPeople(t.Context()); err != nil {
			t.Fatal(err)
		}
		var left int
		if err := s.read.QueryRow("SELECT COUNT(*) FROM sessions").Scan(&left); err != nil || left != 0 {
			t.Errorf("%d left, %v", left, err)
		}
	})
}

func TestAOneTimeLinkWorksOnce(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s := staffed(t, open, c)
		token, hash := NewToken()
		if TokenHash(token) != hash || len(token) < 40 {
			t.Fatal("a token and its hash belong together")
		}
		ends := c.at.Add(time.Hour)
		if err := s.Invite(t.Context(), boss, "p2", hash, ends); err != nil {
			t.Fatal(err)
		}
		if p, err := s.Invited(t.Context(), hash); err != nil || p.ID != "p2" {
			t.Errorf("%+v %v", p, err)
		}
		if p, err := s.Redeem(t.Context(), Actor{}, hash, "second", Person{}); err != nil || p.ID != "p2" {
			t.Errorf("%+v %v", p, err)
		}
		if _, err := s.Redeem(t.Context(), Actor{}, hash, "third", Person{}); !errors.Is(err, ErrAbsent) {
			t.Error(err)
		}
		if _, now, _ := s.Person(t.Context(), "p2"); now != "second" {
			t.Errorf("%q", now)
		}
		_, older := NewToken()
		_, newer := NewToken()
		for _, h := range []string{older, newer} {
			if err := s.Invite(t.Context(), boss, "p2", h, ends); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := s.Invited(t.Context(), older); !errors.Is(err, ErrAbsent) {
			t.Error("an older link still works")
		}
		c.at = ends
		if _, err := s.Redeem(t.Context(), Actor{}, newer, "late", Person{}); !errors.Is(err, ErrAbsent) {
			t.Error("a link works after its end")
		}
	})
}

func TestTheStartLinkMakesOneOwnerOnly(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s := open(t, c)
		if there, err := s.HasPeople(t.Context()); there || err != nil {
			t.Fatal(there, err)
		}
		_, first := NewToken()
		if err := s.Invite(t.Context(), Actor{Who: "start"}, "", first, c.at.Add(time.Hour)); err != nil {
			t.Fatal(err)
		}
		p, err := s.Redeem(t.Context(), Actor{Address: "192.0.2.1"}, first, "h", Person{ID: "o", Name: "Dana", SignIn: "dana", Role: Crew})
		if err != nil || p.Role != Owner {
			t.Errorf("%+v %v", p, err)
		}
		_, second := NewToken()
		if err := s.Invite(t.Context(), Actor{}, "", second, c.at.Add(time.Hour)); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Redeem(t.Context(), Actor{}, second, "h", Person{ID: "x", Name: "X", SignIn: "x"}); !errors.Is(err, ErrAbsent) {
			t.Error("a second owner came in by a start link")
		}
	})
}

func TestCrewLinksEndAndAreShut(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s := staffed(t, open, c)
		if _, err := s.Create(t.Context(), "court", doc(t, `{"name":"Court"}`), About{Title: "Court"}, ""); err != nil {
			t.Fatal(err)
		}
		if _, err := s.AddCrewLink(t.Context(), boss, CrewLink{Name: "Crew 2", Job: "nowhere", Ends: c.at.Add(time.Hour)}, "t0", "pin"); !errors.Is(err, ErrAbsent) {
			t.Error(err)
		}
		l, err := s.AddCrewLink(t.Context(), boss, CrewLink{Name: "Crew 2", Job: "court", Ends: c.at.Add(time.Hour)}, "t1", "pin")
		if err != nil || len(l.Number) != 3 {
			t.Fatal(l, err)
		}
		if found, pin, err := s.CrewLinkOf(t.Context(), l.Number); err != nil || found.ID != l.ID || pin != "pin" {
			t.Errorf("%+v %q %v", found, pin, err)
		}
		if err := s.KeepSession(t.Context(), Session{ID: "phone", Link: l.ID, Data: []byte("x"), Ends: l.Ends}); err != nil {
			t.Fatal(err)
		}
		if err := s.RevokeCrewLink(t.Context(), boss, l.ID); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Session(t.Context(), "phone"); !errors.Is(err, ErrAbsent) {
			t.Error("a phone is still in after its link was shut")
		}
		for name, err := range map[string]error{"token": second(s.CrewLinkBy(t.Context(), "t1")), "number": third(s.CrewLinkOf(t.Context(), l.Number))} {
			if !errors.Is(err, ErrAbsent) {
				t.Errorf("a shut link lets in by its %s: %v", name, err)
			}
		}
		l2, err := s.AddCrewLink(t.Context(), boss, CrewLink{Name: "Crew 3", Ends: c.at.Add(time.Hour)}, "t2", "pin")
		if err != nil {
			t.Fatal(err)
		}
		c.at = c.at.Add(time.Hour)
		if err := second(s.CrewLinkBy(t.Context(), "t2")); !errors.Is(err, ErrAbsent) {
			t.Errorf("%s lets in after its end: %v", l2.Name, err)
		}
		if all, err := s.CrewLinks(t.Context(), c.at.Add(-24*time.Hour)); err != nil || len(all) != 2 {
			t.Errorf("%+v %v", all, err)
		}
	})
}

func second[A any](_ A, err error) error        { return err }
func third[A, B any](_ A, _ B, err error) error { return err }

func TestAttemptsWaitLongerAndLongerAcrossServers(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s := open(t, c)
		l := Limit{About: "account x", Free: 3, Most: time.Minute, Shut: 12}
		for i := range 3 {
			if wait, shut, err := s.Attempt(t.Context(), l); wait != 0 || shut || err != nil {
				t.Fatalf("free attempt %d: %v %v %v", i, wait, shut, err)
			}
		}
		var waits []time.Duration
		for range 8 {
			wait, _, err := s.Attempt(t.Context(), l)
			if err != nil || wait == 0 {
				t.Fatalf("no wait after %v: %v", waits, err)
			}
			if again, _, _ := s.Attempt(t.Context(), l); again != wait {
				t.Errorf("asking early changes the wait: %v, then %v", wait, again)
			}
			waits = append(waits, wait)
			c.at = c.at.Add(wait)
			if now, _, err := s.Attempt(t.Context(), l); now != 0 || err != nil {
				t.Fatalf("still %v after waiting %v: %v", now, wait, err)
			}
		}
		for i := 1; i < len(waits); i++ {
			if waits[i] != min(2*waits[i-1], time.Minute) {
				t.Errorf("waits %v: each is twice the one before, to a minute", waits)
				break
			}
		}
		c.at = c.at.Add(time.Hour)
		for range 3 {
			c.at = c.at.Add(time.Hour)
			_, _, _ = s.Attempt(t.Context(), l)
		}
		c.at = c.at.Add(time.Hour)
		if _, shut, err := s.Attempt(t.Context(), l); !shut || err != nil {
			t.Errorf("more than twelve tries: %v %v", shut, err)
		}
		c.at = c.at.Add(48 * time.Hour)
		if _, shut, _ := s.Attempt(t.Context(), l); !shut {
			t.Error("what is shut opens by waiting")
		}
		if err := s.Forgive(t.Context(), l.About); err != nil {
			t.Fatal(err)
		}
		if wait, shut, err := s.Attempt(t.Context(), l); wait != 0 || shut || err != nil {
			t.Errorf("after the right one: %v %v %v", wait, shut, err)
		}
	})
}

func TestManyAttemptsAtOnceAreAllCounted(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		s := open(t, newClock())
		l := Limit{About: "account y", Free: 5, Most: time.Hour}
		var wait sync.WaitGroup
		var lock sync.Mutex
		through := 0
		for range 40 {
			wait.Go(func() {
				held, _, err := s.Attempt(context.Background(), l)
				lock.Lock()
				defer lock.Unlock()
				if err == nil && held == 0 {
					through++
				}
			})
		}
		wait.Wait()
		if through != 5 {
			t.Errorf("%d of 40 came through, 5 are free", through)
		}
	})
}

func TestWhoDidWhatIsNeverChanged(t *testing.T) {
	both(t, func(t *testing.T, open opener) {
		c := newClock()
		s := staffed(t, open, c)
		for range 5 {
			c.at = c.at.Add(time.Second)
			if err := s.Note(t.Context(), boss, "all sheets taken", "court"); err != nil {
				t.Fatal(err)
			}
		}
		for _, statement := range []string{"UPDATE audit SET who = 'somebody'", "DELETE FROM audit", "DELETE FROM audit WHERE about = 'court'"} {
			if _, err := s.write.Exec(statement); err == nil || !strings.Contains(err.Error(), "never") {
				t.Errorf("%s: %v", statement, err)
			}
		}
		var all []Happening
		for after := ""; ; {
			some, next, err := s.Happened(t.Context(), after, 3)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, some...)
			if after = next; next == "" {
				break
			}
		}
		if len(all) != 7 || all[0].What != "all sheets taken" || all[0].Who != "Dana" || all[0].Address != "192.0.2.7" || all[6].What != "person added" && all[5].What != "person added" {
			t.Errorf("%d lines: %+v", len(all), all)
		}
	})
}

func TestRolesAreOneAboveTheOther(t *testing.T) {
	order := []Role{Crew, Foreman, Office, Owner}
	for i, a := range order {
		for j, b := range order {
			if a.AtLeast(b) != (i >= j) {
				t.Errorf("%s at least %s: %v", a, b, a.AtLeast(b))
			}
		}
		if Role("boss").AtLeast(a) || a.AtLeast("boss") || Role("").AtLeast(a) {
			t.Error("an unknown role may something")
		}
	}
}
