package door_test

import (
	"bytes"
	"context"
	"fmt"
	"html"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"slabwright/internal/faces/door"
	"slabwright/internal/faces/serve"
	"slabwright/internal/rim/store"
)

// clock is a time that a test moves.
type clock struct {
	lock sync.Mutex
	past time.Duration
}

func (c *clock) now() time.Time {
	c.lock.Lock()
	defer c.lock.Unlock()
	return time.Now().Add(c.past)
}

func (c *clock) wait(d time.Duration) {
	c.lock.Lock()
	defer c.lock.Unlock()
	c.past += d
}

// shop is a shared server with an owner (dana), a foreman (luis) and a job, and the store beside it.
type shop struct {
	base   string
	people *store.Store
	clock  *clock
	log    *bytes.Buffer
	first  string
}

const (
	danas = "velvet anvil river 9"
	luiss = "copper meadow lantern 4"
)

func opened(t *testing.T, staff bool, change ...func(*serve.Options)) shop {
	t.Helper()
	s := shop{clock: &clock{}, log: &bytes.Buffer{}}
	file := filepath.Join(t.TempDir(), "shop.db")
	people, err := store.Open(t.Context(), file, s.clock.now)
	if err != nil {
		t.Fatal(err)
	}
	s.people = people
	t.Cleanup(func() { people.Close() })
	if staff {
		for _, p := range []struct{ id, name, secret string }{{"dana", "Dana", danas}, {"luis", "Luis", luiss}} {
			hash, err := door.Hash(t.Context(), p.secret)
			if err == nil {
				err = people.AddPerson(t.Context(), store.Actor{Who: "test"}, store.Person{ID: p.id, Name: p.name, SignIn: p.id, Role: map[string]store.Role{"dana": store.Owner, "luis": store.Foreman}[p.id]}, hash)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := free.Addr().String()
	if err := free.Close(); err != nil {
		t.Fatal(err)
	}
	o := serve.Options{Store: file, Listen: address, Now: s.clock.now, Log: slog.New(slog.NewTextHandler(s.log, &slog.HandlerOptions{Level: slog.LevelDebug})), Page: serve.Page, Shared: serve.Shared{Public: "http://" + address}}
	for _, c := range change {
		c(&o)
	}
	server, err := serve.Start(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := server.Close(); err != nil {
			t.Error(err)
		}
	})
	s.base, s.first = "http://"+address, server.First
	return s
}

// visitor is one browser.
type visitor struct {
	*testing.T
	s      shop
	client *http.Client
}

func (s shop) visitor(t *testing.T) visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return visitor{t, s, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

func (v visitor) do(method, path string, form url.Values, headers ...string) (*http.Response, string) {
	v.Helper()
	if !strings.HasPrefix(path, "http") {
		path = v.s.base + path
	}
	r, err := http.NewRequestWithContext(v.Context(), method, path, strings.NewReader(form.Encode()))
	if err != nil {
		v.Fatal(err)
	}
	r.Header.Set("Accept", "text/html")
	if method == "POST" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	answer, err := v.client.Do(r)
	if err != nil {
		v.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		v.Fatal(err)
	}
	return answer, html.UnescapeString(string(text))
}

func (v visitor) status(method, path string, form url.Values, headers ...string) int {
	v.Helper()
	answer, _ := v.do(method, path, form, headers...)
	return answer.StatusCode
}

func (v visitor) signIn(name, password string, headers ...string) (*http.Response, string) {
	v.Helper()
	return v.do("POST", "/sign-in", url.Values{"name": {name}, "password": {password}}, headers...)
}

func (v visitor) in(name, password string) visitor {
	v.Helper()
	if a, text := v.signIn(name, password); a.StatusCode != http.StatusSeeOther {
		v.Fatalf("%s got %d: %s", name, a.StatusCode, text)
	}
	return v
}

func (v visitor) token() string {
	u, _ := url.Parse(v.s.base)
	for _, c := range v.client.Jar.Cookies(u) {
		if strings.Contains(c.Name, "slabwright") {
			return c.Value
		}
	}
	return ""
}

func TestTheFirstOwnerComesInByTheStartLink(t *testing.T) {
	s := opened(t, false)
	if !strings.HasPrefix(s.first, s.base+"/start/") {
		t.Fatalf("the start link is %q", s.first)
	}
	v := s.visitor(t)
	if got := v.status("GET", "/jobs", nil); got != http.StatusSeeOther {
		t.Errorf("a shared server without people shows its jobs: %d", got)
	}
	for range 2 { // looking at it uses nothing up
		if got := v.status("GET", s.first, nil); got != http.StatusOK {
			t.Fatalf("the link shows %d", got)
		}
	}
	form := url.Values{"name": {"Dana"}, "sign_in": {"Dana@slabs.example"}, "new": {danas}, "again": {danas + "x"}}
	if _, text := v.do("POST", s.first, form); !strings.Contains(text, "not the same") {
		t.Error("two different passwords are taken")
	}
	form.Set("again", danas)
	if got := v.status("POST", s.first, form); got != http.StatusSeeOther {
		t.Fatalf("the first owner got %d", got)
	}
	if got := v.status("GET", "/people", nil); got != http.StatusOK {
		t.Errorf("the owner is not in: %d", got)
	}
	if got := s.visitor(t).status("POST", s.first, form); got != http.StatusNotFound {
		t.Errorf("the link works twice: %d", got)
	}
	s.visitor(t).in("dana@SLABS.example", danas)
}

func TestSigningInAndOut(t *testing.T) {
	s := opened(t, true)
	v := s.visitor(t)
	if a, text := v.signIn("dana", "not the password"); a.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(text, "not right") || v.token() != "" {
		t.Errorf("%d %q", a.StatusCode, v.token())
	}
	a, _ := v.do("GET", "/jobs?find=court", nil)
	if to := a.Header.Get("Location"); to != "/sign-in?next=%2Fjobs%3Ffind%3Dcourt" {
		t.Errorf("led to %q", to)
	}
	a, _ = v.do("POST", "/sign-in", url.Values{"name": {" DANA "}, "password": {danas}, "next": {"/jobs?find=court"}})
	if a.StatusCode != http.StatusSeeOther || a.Header.Get("Location") != "/jobs?find=court" {
		t.Errorf("%d to %q", a.StatusCode, a.Header.Get("Location"))
	}
	one := v.token()
	if got := v.status("GET", "/jobs", nil); got != http.StatusOK {
		t.Errorf("signed in, and the jobs say %d", got)
	}
	if v.in("dana", danas).token() == one {
		t.Error("signing in again keeps the token")
	}
	stolen := s.visitor(t)
	if got := stolen.status("GET", "/jobs", nil, "Cookie", "slabwright="+one); got != http.StatusSeeOther {
		t.Errorf("the token before is still good: %d", got)
	}
	two := v.token()
	a, _ = v.do("POST", "/sign-out", nil)
	if a.StatusCode != http.StatusSeeOther || a.Header.Get("Clear-Site-Data") != `"cache"` {
		t.Errorf("%d %v", a.StatusCode, a.Header)
	}
	if got := stolen.status("GET", "/jobs", nil, "Cookie", "slabwright="+two); got != http.StatusSeeOther {
		t.Errorf("the session outlives the sign-out: %d", got)
	}
	if got := v.status("GET", "/sign-out", nil); got == http.StatusSeeOther && v.token() != "" {
		t.Error("a link signs people out")
	}
}

func TestNextLeadsNowhereElse(t *testing.T) {
	s := opened(t, true)
	for _, next := range []string{"https://evil.example/", "//evil.example", `/\evil.example`, "javascript:alert(1)", "/\tevil", "jobs", "", "/sign-out", "http:/evil"} {
		a, _ := s.visitor(t).do("POST", "/sign-in", url.Values{"name": {"dana"}, "password": {danas}, "next": {next}})
		if to := a.Header.Get("Location"); to != "/" {
			t.Errorf("next %q leads to %q", next, to)
		}
	}
}

func TestTheCookieOfASessionIsGuarded(t *testing.T) {
	s := opened(t, true)
	a, _ := s.visitor(t).signIn("dana", danas)
	c := a.Cookies()[0]
	if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" || len(c.Value) < 43 {
		t.Errorf("%+v", c)
	}
	behind := opened(t, true, func(o *serve.Options) { o.Shared = serve.Shared{Public: "https://slabs.example"} })
	v := behind.visitor(t)
	r, err := http.NewRequestWithContext(t.Context(), "POST", behind.base+"/sign-in", strings.NewReader(url.Values{"name": {"dana"}, "password": {danas}}.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	r.Host = "slabs.example"
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := v.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	c = answer.Cookies()[0]
	if c.Name != "__Host-slabwright" || !c.Secure || !c.HttpOnly || c.Path != "/" || c.Domain != "" {
		t.Errorf("%+v", c)
	}
	if !strings.HasPrefix(answer.Header.Get("Strict-Transport-Security"), "max-age=31536000") {
		t.Errorf("%v", answer.Header)
	}
	files, err := behind.people.Sessions(t.Context(), "dana")
	if err != nil || len(files) != 1 || strings.Contains(files[0].ID, c.Value) || bytes.Contains(files[0].Data, []byte(c.Value)) {
		t.Error("the store keeps the token itself")
	}
}

func TestTriesAreCountedAndWaitLonger(t *testing.T) {
	s := opened(t, true)
	v := s.visitor(t)
	for i := range 5 {
		if a, _ := v.signIn("luis", "wrong password here"); a.StatusCode != http.StatusUnprocessableEntity {
			t.Fatalf("try %d: %d", i, a.StatusCode)
		}
	}
	a, text := v.signIn("luis", luiss)
	if a.StatusCode != http.StatusTooManyRequests || a.Header.Get("Retry-After") == "" || !strings.Contains(text, "Wait") {
		t.Errorf("the sixth try, with the right password: %d, %v", a.StatusCode, a.Header)
	}
	s.clock.wait(5 * time.Second)
	if a, _ := v.signIn("luis", luiss); a.StatusCode != http.StatusSeeOther {
		t.Errorf("after the wait: %d", a.StatusCode)
	}
	if a, _ := v.signIn("luis", "wrong again here"); a.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("the right one does not forgive the count: %d", a.StatusCode)
	}
	unknown := s.visitor(t)
	for range 5 {
		unknown.signIn("nobody@slabs.example", "wrong password here")
	}
	if a, _ := unknown.signIn("nobody@slabs.example", "wrong password here"); a.StatusCode != http.StatusTooManyRequests {
		t.Errorf("names nobody has are not limited: %d, so they can be told from others", a.StatusCode)
	}
}

func TestOnePlaceCannotTryManyNames(t *testing.T) {
	s := opened(t, true)
	v, held := s.visitor(t), 0
	for i := range 40 {
		if a, _ := v.signIn(fmt.Sprintf("name%d", i), "wrong password here"); a.StatusCode == http.StatusTooManyRequests {
			held++
		}
	}
	if held < 5 {
		t.Errorf("40 names tried from one place, %d held up", held)
	}
}

func TestAnUnknownNameIsAnsweredLikeAKnownOne(t *testing.T) {
	s := opened(t, true)
	var answers []string
	for _, name := range []string{"luis", "nobody"} {
		a, text := s.visitor(t).signIn(name, "wrong password here")
		answers = append(answers, fmt.Sprint(a.StatusCode, strings.ReplaceAll(text, name, "X")))
	}
	if answers[0] != answers[1] {
		t.Error("the answers differ")
	}
	if err := s.people.SetDisabled(t.Context(), store.Actor{}, "luis", true); err != nil {
		t.Fatal(err)
	}
	a, text := s.visitor(t).signIn("luis", luiss)
	if got := fmt.Sprint(a.StatusCode, strings.ReplaceAll(text, "luis", "X")); got != answers[1] {
		t.Error("somebody shut out is answered otherwise")
	}
}

func TestProxiesAreBelievedOnlyWhereTheyStand(t *testing.T) {
	s := opened(t, true)
	v := s.visitor(t)
	for i := range 36 {
		v.signIn(fmt.Sprintf("n%d", i), "wrong password here", "X-Forwarded-For", fmt.Sprintf("198.51.100.%d", i))
	}
	if a, _ := v.signIn("other", "wrong password here", "X-Forwarded-For", "203.0.113.9"); a.StatusCode != http.StatusTooManyRequests {
		t.Errorf("whoever writes X-Forwarded-For gets a new count: %d", a.StatusCode)
	}
	s = opened(t, true, func(o *serve.Options) { o.Shared.Behind = []string{"127.0.0.0/8"} })
	v = s.visitor(t)
	for i := range 36 {
		v.signIn(fmt.Sprintf("n%d", i), "wrong password here", "X-Forwarded-For", fmt.Sprintf("203.0.113.%d, 198.51.100.7", i))
	}
	if a, _ := v.signIn("other", "wrong password here", "X-Forwarded-For", "198.51.100.7"); a.StatusCode != http.StatusTooManyRequests {
		t.Errorf("what the caller wrote before the proxy's word counts: %d", a.StatusCode)
	}
	if a, _ := v.signIn("other", "wrong password here", "X-Forwarded-For", "198.51.100.8"); a.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("behind a proxy all share one count: %d", a.StatusCode)
	}
}

func TestAPasswordIsChangedWithTheOldOneAndEndsOtherSessions(t *testing.T) {
	s := opened(t, true)
	here, there := s.visitor(t).in("luis", luiss), s.visitor(t).in("luis", luiss)
	const next = "harbour pencil thunder 2"
	if _, text := here.do("POST", "/you/password", url.Values{"old": {"guess guess guess"}, "new": {next}, "again": {next}}); !strings.Contains(text, "old password is not right") {
		t.Error("a password changes without the old one")
	}
	if _, text := here.do("POST", "/you/password", url.Values{"old": {luiss}, "new": {"short"}, "again": {"short"}}); !strings.Contains(text, "12 signs") {
		t.Error("a short password is taken")
	}
	before := here.token()
	if got := here.status("POST", "/you/password", url.Values{"old": {luiss}, "new": {next}, "again": {next}}); got != http.StatusSeeOther {
		t.Fatalf("%d", got)
	}
	if here.token() == before || here.status("GET", "/jobs", nil) != http.StatusOK {
		t.Error("the session is not renewed with the password")
	}
	if got := there.status("GET", "/jobs", nil); got != http.StatusSeeOther {
		t.Errorf("the other device is still in: %d", got)
	}
	if a, _ := s.visitor(t).signIn("luis", luiss); a.StatusCode == http.StatusSeeOther {
		t.Error("the old password still works")
	}
	s.visitor(t).in("luis", next)
}

func TestPeopleSeeAndEndTheirOwnSessions(t *testing.T) {
	s := opened(t, true)
	here, there, danaHere := s.visitor(t).in("luis", luiss), s.visitor(t).in("luis", luiss), s.visitor(t).in("dana", danas)
	_, text := here.do("GET", "/you", nil)
	ids := regexp.MustCompile(`name="session" value="([0-9a-f]{64})"`).FindAllStringSubmatch(text, -1)
	if len(ids) != 1 || !strings.Contains(text, "this device") {
		t.Fatalf("%v", ids)
	}
	danaHere.do("POST", "/you/sessions", url.Values{"session": {ids[0][1]}})
	if there.status("GET", "/jobs", nil) != http.StatusOK {
		t.Error("one person ends another's session")
	}
	here.do("POST", "/you/sessions", url.Values{"session": {ids[0][1]}})
	if there.status("GET", "/jobs", nil) != http.StatusSeeOther || here.status("GET", "/jobs", nil) != http.StatusOK {
		t.Error("the session on the other device did not end, or this one did")
	}
}

func TestTheOwnerRunsPeople(t *testing.T) {
	s := opened(t, true)
	dana, luis := s.visitor(t).in("dana", danas), s.visitor(t).in("luis", luiss)
	for _, path := range []string{"/people", "/who-did-what"} {
		if got := luis.status("GET", path, nil); got != http.StatusForbidden {
			t.Errorf("the foreman sees %s: %d", path, got)
		}
	}
	if got := luis.status("POST", "/people/luis/role", url.Values{"role": {"owner"}}); got != http.StatusForbidden {
		t.Errorf("the foreman makes himself owner: %d", got)
	}
	_, text := dana.do("POST", "/people", url.Values{"name": {"Mia <b>"}, "sign_in": {"mia"}, "role": {"office"}})
	link := regexp.MustCompile(regexp.QuoteMeta(s.base) + `/start/[\w-]+`).FindString(text)
	if link == "" || !strings.Contains(text, "Mia <b>") {
		t.Fatalf("no link for the new person: %s", text)
	}
	if _, again := dana.do("GET", "/people", nil); strings.Contains(again, "/start/") {
		t.Error("the link is shown again")
	}
	mia := s.visitor(t)
	const mias = "garden whistle cobalt 8"
	if got := mia.status("POST", link, url.Values{"new": {mias}, "again": {mias}}); got != http.StatusSeeOther {
		t.Fatalf("%d", got)
	}
	if got := mia.status("GET", "/people", nil); got != http.StatusForbidden {
		t.Errorf("the office sees people: %d", got)
	}
	if got := dana.status("POST", "/people/luis/role", url.Values{"role": {"boss"}}); got != http.StatusUnprocessableEntity {
		t.Errorf("a role nobody knows: %d", got)
	}
	dana.do("POST", "/people/luis/role", url.Values{"role": {"office"}})
	if got := luis.status("GET", "/jobs", nil); got != http.StatusSeeOther {
		t.Errorf("a session goes on under the old role: %d", got)
	}
	luis.in("luis", luiss)
	dana.do("POST", "/people/luis/disabled", url.Values{"disabled": {"yes"}})
	if got := luis.status("GET", "/jobs", nil); got != http.StatusSeeOther {
		t.Errorf("somebody shut out is still in: %d", got)
	}
	if _, text := dana.do("POST", "/people/dana/disabled", url.Values{"disabled": {"yes"}}); !strings.Contains(text, "last owner") {
		t.Error("the last owner shuts herself out")
	}
	_, text = dana.do("GET", "/who-did-what", nil)
	for _, says := range []string{"signed in", "person added", "one-time link made", "password set", "role set to office", "shut out", "127.0.0.1"} {
		if !strings.Contains(text, says) {
			t.Errorf("who did what does not tell: %s", says)
		}
	}
}

func TestACrewComesInByLinkOrDigits(t *testing.T) {
	s := opened(t, true)
	luis := s.visitor(t).in("luis", luiss)
	if got := luis.status("PUT", "/api/v1/jobs/court", nil, "X", "y"); got != http.StatusCreated && got != http.StatusBadRequest {
		t.Fatal(got)
	}
	_, text := luis.do("POST", "/crews", url.Values{"name": {"Crew 2"}, "job": {""}, "until": {s.clock.now().Format(time.DateOnly)}})
	link := regexp.MustCompile(regexp.QuoteMeta(s.base) + `/crew/[\w-]+`).FindString(text)
	digits := regexp.MustCompile(`\d{3} \d{3} \d{3}`).FindString(text)
	if link == "" || digits == "" {
		t.Fatalf("no link or digits: %s", text)
	}
	phone := s.visitor(t)
	phone.do("GET", link, nil)
	if phone.token() != "" {
		t.Error("looking at the link lets in: programs that preview links would be")
	}
	if got := phone.status("POST", link, url.Values{"name": {"Pat"}}); got != http.StatusSeeOther {
		t.Fatal(got)
	}
	if a, text := phone.do("GET", "/today", nil); a.StatusCode != http.StatusOK || !strings.Contains(text, "Pat, Crew 2") {
		t.Errorf("%d %s", a.StatusCode, text)
	}
	for _, path := range []string{"/jobs", "/week", "/people", "/crews", "/settings"} {
		if got := phone.status("GET", path, nil); got != http.StatusForbidden {
			t.Errorf("the crew at %s: %d", path, got)
		}
	}
	other := s.visitor(t)
	if got := other.status("POST", "/crew", url.Values{"number": {strings.ReplaceAll(digits, " ", "-")}}); got != http.StatusSeeOther {
		t.Errorf("the digits: %d", got)
	}
	_, text = luis.do("GET", "/crews", nil)
	shut := regexp.MustCompile(`/crews/[0-9a-f]+/shut`).FindString(text)
	luis.do("POST", shut, nil)
	if phone.status("GET", "/today", nil) != http.StatusSeeOther || other.status("GET", "/today", nil) != http.StatusSeeOther {
		t.Error("phones are still in after the link was shut")
	}
	if got := s.visitor(t).status("POST", link, nil); got != http.StatusNotFound {
		t.Errorf("a shut link: %d", got)
	}
}

func TestDigitsAreNotGuessed(t *testing.T) {
	s := opened(t, true)
	luis := s.visitor(t).in("luis", luiss)
	_, text := luis.do("POST", "/crews", url.Values{"name": {"Crew 3"}, "until": {s.clock.now().Format(time.DateOnly)}})
	digits := strings.ReplaceAll(regexp.MustCompile(`\d{3} \d{3} \d{3}`).FindString(text), " ", "")
	wrong := digits[:3] + "000000"
	if wrong == digits {
		wrong = digits[:3] + "000001"
	}
	guesser := s.visitor(t)
	looked := 0
	for range 60 {
		if guesser.status("POST", "/crew", url.Values{"number": {wrong}}) == http.StatusUnprocessableEntity {
			looked++
		}
		s.clock.wait(16 * time.Minute)
	}
	if looked > 20 {
		t.Errorf("%d guesses of one number were looked at", looked)
	}
	if got := s.visitor(t).status("POST", "/crew", url.Values{"number": {digits}}); got == http.StatusSeeOther {
		t.Error("a number that was guessed at so often is still open")
	}
}

func TestPasswordsAreLongNotOdd(t *testing.T) {
	for password, good := range map[string]bool{
		"velvet anvil river 9": true, "ünïcode wörds häre": true, "aaaaaaaaaaaaaaaaaaaaaaaa b c d e f g": true, "x7#Kq2!vLm9z": true, "日本語日本語日本語日本語": false,
		"short": false, "elevenchars": false, "Password1234": false, "P@ssw0rd1234": false, "passwordpassword": false, "qwertyuiopas": false, "123456789012": false,
		"aaaaaaaaaaaaaaa": false, "luis luis luis luis": false, "Concrete2027!": false, "correcthorsebatterystaple": false, "iloveyou123456": false, strings.Repeat("velvet anvil ", 30): false,
	} {
		if why := door.PasswordFault(password, "Luis", "luis@slabs.example"); (why == "") != good {
			t.Errorf("%q: %q", password, why)
		}
	}
}

func TestOnlyAFewHashesAreWorkedOutAtOnce(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), 30*time.Second)
	defer stop()
	var wait sync.WaitGroup
	errs := make([]error, 12)
	for i := range errs {
		wait.Go(func() { _, errs[i] = door.Hash(ctx, "velvet anvil river 9") })
	}
	wait.Wait()
	if slices.ContainsFunc(errs, func(err error) bool { return err != nil }) {
		t.Error(errs)
	}
	gone, leave := context.WithCancel(t.Context())
	leave()
	if _, err := door.Hash(gone, "x"); err == nil {
		t.Log("a turn was free") // whoever has gone may still get a free turn
	}
}

func TestAStreamEndsWithItsSession(t *testing.T) {
	s := opened(t, true)
	v := s.visitor(t).in("luis", luiss)
	if got := v.status("POST", "/start", url.Values{"length": {"40 ft"}, "width": {"14 ft"}, "thickness": {"6 in"}, "units": {"us"}}); got != http.StatusSeeOther {
		t.Fatal(got)
	}
	jobs, _, err := s.people.List(t.Context(), store.Listing{Limit: 1})
	if err != nil || len(jobs) != 1 {
		t.Fatal(jobs, err)
	}
	if jobs[0].ChangedBy != "Luis" {
		t.Errorf("the job is by %q", jobs[0].ChangedBy)
	}
	ctx, stop := context.WithTimeout(t.Context(), 40*time.Second)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, "GET", s.base+"/api/v1/jobs/"+jobs[0].ID+"/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := v.client.Do(r)
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Fatal(answer, err)
	}
	defer answer.Body.Close()
	if err := s.people.SetDisabled(t.Context(), store.Actor{}, "luis", true); err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, answer.Body); ctx.Err() != nil {
		t.Errorf("the stream goes on: %v", err)
	}
}

// What is secret, and what customers say, is in no log however much is logged.
func TestNothingSecretIsLogged(t *testing.T) {
	s := opened(t, true)
	v := s.visitor(t)
	v.signIn("dana", "marked-wrong-password-7")
	v.in("dana", danas)
	token := v.token()
	v.do("POST", "/start", url.Values{"length": {"40 ft"}, "width": {"14 ft"}, "units": {"us"}})
	v.do("PUT", "/api/v1/jobs/marked-job?x=marked-query-3", url.Values{})
	r, err := http.NewRequestWithContext(t.Context(), "PUT", s.base+"/api/v1/jobs/j1", strings.NewReader(`{"name":"marked-customer-5","length":"40 ft","oops":1}`))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer marked-header-1")
	if a, err := v.client.Do(r); err == nil {
		a.Body.Close()
	}
	v.do("GET", "/start/marked-token-9", nil)
	v.do("GET", "/jobs?find=marked-search-2", nil)
	_, text := v.do("POST", "/people", url.Values{"name": {"Mia"}, "sign_in": {"marked-mia@slabs.example"}, "role": {"office"}})
	link := regexp.MustCompile(`/start/([\w-]{43})`).FindStringSubmatch(text)
	luis := s.visitor(t).in("luis", luiss)
	luis.do("GET", "/people?marked-refused-4", nil)
	logged := s.log.String()
	if !strings.Contains(logged, "request") || !strings.Contains(logged, "not for the role") {
		t.Fatalf("nothing is logged: this proves nothing: %s", logged)
	}
	for _, secret := range []string{"marked-", danas, luiss, token, link[1], store.TokenHash(token), "argon2id"} {
		if strings.Contains(logged, secret) {
			t.Errorf("the log tells %q", secret)
		}
	}
}

func TestNobodySignsInOnOnePersonsMachineUntilPeopleAreAdded(t *testing.T) {
	s := opened(t, false, func(o *serve.Options) { o.Shared = serve.Shared{} })
	v := s.visitor(t)
	if got := v.status("GET", "/jobs", nil); got != http.StatusOK {
		t.Errorf("one person's own page asks who comes: %d", got)
	}
	hash, err := door.Hash(t.Context(), danas)
	if err == nil {
		err = s.people.AddPerson(t.Context(), store.Actor{}, store.Person{ID: "dana", Name: "Dana", SignIn: "dana", Role: store.Owner}, hash)
	}
	if err != nil {
		t.Fatal(err)
	}
	if got := v.status("GET", "/jobs", nil); got != http.StatusSeeOther {
		t.Errorf("people were added, and the page is open to everybody: %d", got)
	}
	if got := v.in("dana", danas).status("GET", "/jobs", nil); got != http.StatusOK {
		t.Errorf("%d", got)
	}
}

func TestAnswersOfASessionAreNobodyElses(t *testing.T) {
	s := opened(t, true)
	v := s.visitor(t).in("dana", danas)
	for _, path := range []string{"/jobs", "/you", "/api/v1/jobs", "/people", "/today"} {
		a, _ := v.do("GET", path, nil)
		if kept := a.Header.Get("Cache-Control"); !slices.Contains(a.Header.Values("Vary"), "Cookie") || !strings.Contains(kept, "no-store") && !strings.Contains(kept, "no-cache") && a.StatusCode == http.StatusOK {
			t.Errorf("%s: Vary %v, Cache-Control %q", path, a.Header.Values("Vary"), kept)
		}
	}
}

func TestNobodyIsLetInWhileTheStoreIsAway(t *testing.T) {
	people, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "shop.db"), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	public, err := url.Parse("https://slabs.example")
	if err != nil {
		t.Fatal(err)
	}
	reached := 0
	inside := http.HandlerFunc(func(http.ResponseWriter, *http.Request) { reached++ })
	doors := []*door.Door{door.New(people, door.Options{Now: time.Now, Log: slog.New(slog.DiscardHandler)}, inside), door.New(people, door.Options{Public: public, Now: time.Now, Log: slog.New(slog.DiscardHandler)}, inside)}
	if err := people.Close(); err != nil {
		t.Fatal(err)
	}
	for _, d := range doors {
		r, err := http.NewRequestWithContext(t.Context(), "GET", "/jobs", nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Cookie", "__Host-slabwright=x; slabwright=x")
		w := &heard{header: http.Header{}}
		d.ServeHTTP(w, r)
		if w.status != http.StatusInternalServerError || reached > 0 {
			t.Errorf("%d, let in %d times", w.status, reached)
		}
	}
}

type heard struct {
	header http.Header
	status int
}

func (h *heard) Header() http.Header         { return h.header }
func (h *heard) WriteHeader(status int)      { h.status = status }
func (h *heard) Write(b []byte) (int, error) { return len(b), nil }
