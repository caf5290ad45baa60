package store

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"net/url"
	"strings"
	"testing"

	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store/storetest"
)

// The password stands in no error and no name, whole, cut or as the address writes it, whatever is wrong with the address.
func TestAPasswordIsNeverShown(t *testing.T) {
	nobody, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	refused := nobody.Addr().String()
	nobody.Close()
	const secret = "correct-horse-battery"
	wrong := map[string]string{
		"nobody listens":         "postgres://shop:" + secret + "@" + refused + "/shop",
		"no such host":           "postgres://shop:" + secret + "@no.such.host.invalid:5432/shop?connect_timeout=1",
		"an @ in it":             "postgres://shop:x@" + secret + "@" + refused + "/shop",
		"a / in it":              "postgres://shop:" + secret + "/x@" + refused + "/shop",
		"a # in it":              "postgres://shop:" + secret + "#x@" + refused + "/shop",
		"a ? in it":              "postgres://shop:" + secret + "?x@" + refused + "/shop",
		"a % in it":              "postgres://shop:" + secret + "%zz@" + refused + "/shop",
		"a space in it":          "postgres://shop:" + secret + " x@" + refused + "/shop",
		"a line's end in it":     "postgres://shop:" + secret + "\n@" + refused + "/shop",
		"a port that is none":    "postgres://shop:" + secret + "@127.0.0.1:x/shop",
		"as a setting":           "postgres://shop@" + refused + "/shop?password=" + secret,
		"a setting that is none": "postgres://shop:" + secret + "@" + refused + "/shop?sslmode=" + secret,
		"another scheme":         "mysql://shop:" + secret + "@" + refused + "/shop",
	}
	for name, address := range wrong {
		s, err := Open(t.Context(), address, newClock().now)
		if err == nil {
			s.Close()
			t.Errorf("%s: opened", name)
			continue
		}
		for _, part := range []string{secret, "horse", "battery"} {
			if strings.Contains(fmt.Sprintf("%v %+v %#v", err, err, err), part) {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}

func TestTheServersRefusalIsInWordsWithoutThePassword(t *testing.T) {
	where := storetest.Postgres(t)
	at, err := url.Parse(where)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Open(t.Context(), where, newClock().now)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if name := s.Name(); name != "postgres://shop@"+at.Host+at.Path {
		t.Errorf("its name is %s", name)
	}
	other := *at
	other.User = url.UserPassword("shop", "wrong-horse")
	gone := *at
	gone.Path = "/nothere"
	for says, u := range map[string]url.URL{"password authentication failed": other, `database "nothere" does not exist`: gone} {
		_, err := Open(t.Context(), u.String(), newClock().now)
		if err == nil || !strings.Contains(err.Error(), says) || strings.Contains(err.Error(), "horse") || strings.Contains(err.Error(), storetest.Password) ||
			strings.Contains(err.Error(), url.QueryEscape(storetest.Password)) {
			t.Errorf("%v", err)
		}
	}
}

func TestADatabaseThatCannotKeepJobsIsRefused(t *testing.T) {
	where := storetest.Postgres(t)
	s, err := Open(t.Context(), where, newClock().now)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.Exec("CREATE DATABASE latin ENCODING 'LATIN1' LC_COLLATE 'C' LC_CTYPE 'C' TEMPLATE template0"); err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	u, _ := url.Parse(where)
	u.Path = "/latin"
	if _, err := Open(t.Context(), u.String(), newClock().now); err == nil || !strings.Contains(err.Error(), "ENCODING 'UTF8'") {
		t.Errorf("text kept as LATIN1: %v", err)
	}
	if _, err := s.write.Exec("DROP DATABASE latin WITH (FORCE)"); err != nil {
		t.Error(err)
	}
}

// What the store writes to PostgreSQL is read back as it was, with every character that JSON can hold.
func TestEveryCharacterComesBack(t *testing.T) {
	both(t, func(t *testing.T, opened opener) {
		s, ctx := opened(t, newClock()), context.Background()
		const odd = "a\x00b\u2028\U0001F6A7'\"\\%_\u0001é"
		const key = "a~1\u2028\U0001F6A7'\"\\%_\u0001é"
		v := map[string]any{"name": odd, "a/\u2028\U0001F6A7'\"\\%_\u0001é": "x"}
		must[Job](t)(s.Create(ctx, "a", v, nobody(v), odd))
		change(t, s, "a", Change{ID: "c", Device: odd, By: odd, At: odd, Step: odd, Seen: 1, Sets: set("/name", odd+"2", odd)})
		change(t, s, "a", Change{ID: "d", Device: odd + "2", By: odd, Seen: 1, Sets: set("/name", odd+"3", odd)})
		change(t, s, "a", Change{ID: "e", Device: odd + "2", By: odd, Seen: 3, Sets: set("/"+key, odd+"3", "x")})
		job := must[Job](t)(s.Job(ctx, "a"))
		if got := job.Doc.(map[string]any); got["name"] != odd+"2" || fields.Get(got, must[fields.Pointer](t)(fields.ParsePointer("/"+key))) != odd+"3" {
			t.Errorf("%q", got)
		}
		if open := must[[]DifferingView](t)(s.Differences(ctx, "a")); len(open) != 1 || open[0].Theirs != odd+"3" {
			t.Errorf("%+v", open)
		}
		if _, _, err := s.Attach(ctx, "a", Attachment{Name: key, Media: "text/plain", Bytes: nil}); err != nil {
			t.Error(err)
		}
		_, _, err := s.List(ctx, Listing{Limit: 10, Find: odd})
		if err != nil {
			t.Error(err)
		}
		if all := must[[]Done](t)(s.Since(ctx, "a", 0)); len(all) < 3 || !bytes.Contains([]byte(all[0].Sets[0].Value.(string)), []byte("\x00")) {
			t.Errorf("%+v", all)
		}
	})
}
