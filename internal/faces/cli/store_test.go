package cli

import (
	"bytes"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"slabwright/internal/rim/store/storetest"
)

// ran runs the program as a process and gives its exit code and all it wrote.
func ran(t *testing.T, args ...string) (int, string) {
	t.Helper()
	out, err := program(t, args...).CombinedOutput()
	if strings.Contains(string(out), storetest.Password) || strings.Contains(string(out), url.QueryEscape(storetest.Password)) || strings.Contains(string(out), "ss%2Fw") {
		t.Errorf("%v shows the password: %s", args, out)
	}
	return codeOf(err), string(out)
}

// A shop's jobs go from the file to a server and back by the commands, and stay the same to the byte; the page works on either.
func TestJobsMoveBetweenTheDatabasesByCommand(t *testing.T) {
	const job = `{"length":"40 ft","thickness":"6.50 in","width":"14 ft"}`
	dir := t.TempDir()
	file, server := filepath.Join(dir, "jobs.db"), storetest.Postgres(t)
	address, interrupt := served(t, file)
	if status, text := fetched(t, "PUT", address+"api/v1/jobs/pad", job); status != http.StatusCreated {
		t.Fatalf("%d %s", status, text)
	}
	if status, text := fetched(t, "PUT", address+"api/v1/jobs/pad/changes/c1", `{"device":"d","by":"Ann","sets":[{"pointer":"/name","value":"Pad"}]}`); status != http.StatusOK {
		t.Fatalf("%d %s", status, text)
	}
	backups := []string{filepath.Join(dir, "1"), filepath.Join(dir, "2"), filepath.Join(dir, "3")}
	for _, c := range []struct {
		code int
		says string
		args []string
	}{
		{Done, "Written and read back", []string{"store", "backup", backups[0], "--file", file}}, // while it is being served
		{Failed, "is there already", []string{"store", "backup", backups[0], "--file", file}},
		{Done, "Whole", []string{"store", "verify", backups[0]}},
		{Done, "Whole", []string{"store", "verify", "--file", file}},
		{Done, "Moved and read back", []string{"store", "move", "--from", file, "--to", server}},
		{Failed, "holds something already", []string{"store", "move", "--from", file, "--to", server}},
		{Done, "Written", []string{"store", "backup", backups[1], "--store", server}},
		{Done, "Whole", []string{"store", "verify", "--store", server}},
		{Done, "Restored", []string{"store", "restore", backups[1], "--file", filepath.Join(dir, "new.db")}},
		{Done, "Written", []string{"store", "backup", backups[2], "--file", filepath.Join(dir, "new.db")}},
		{NotFound, "no such file", []string{"store", "verify", "--file", filepath.Join(dir, "none.db")}},
		{Failed, "password authentication failed", []string{"store", "verify", "--store", strings.Replace(server, "shop:", "shop:x", 1)}},
		{WrongUsage, "unexpected argument", []string{"store", server}},
		{WrongUsage, "unexpected argument", []string{"serve", server}},
		{WrongUsage, "both say", []string{"serve", "--file", "a.db", "--store", server}},
	} {
		if code, says := ran(t, c.args...); code != c.code || !strings.Contains(says, c.says) {
			t.Errorf("%v: exit code %d, %s", c.args, code, says)
		}
	}
	interrupt()
	var texts [][]byte
	for _, path := range backups {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, text)
	}
	if !bytes.Equal(texts[0], texts[1]) || !bytes.Equal(texts[0], texts[2]) {
		t.Error("the backups are not the same")
	}
	texts[0][len(texts[0])/2] ^= 4
	if err := os.WriteFile(backups[0], texts[0], 0o600); err != nil {
		t.Fatal(err)
	}
	if code, says := ran(t, "store", "verify", backups[0]); code != AnsweredNo || !strings.Contains(says, "damaged") {
		t.Errorf("a damaged backup: %d %s", code, says)
	}
	if code, says := ran(t, "store", "restore", backups[0], "--file", filepath.Join(dir, "x.db")); code != Failed || !strings.Contains(says, "damaged") {
		t.Errorf("a damaged backup: %d %s", code, says)
	}
	address, interrupt = servedFrom(t, "--store", server)
	if _, text := fetched(t, "GET", address+"api/v1/jobs/pad", ""); text != `{"length":"40 ft","name":"Pad","thickness":"6.50 in","width":"14 ft"}` {
		t.Errorf("the server serves %s", text)
	}
	if code := interrupt(); code != Interrupted {
		t.Errorf("exit code %d", code)
	}
}
