package cli

import (
	"bufio"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// served starts the server as a process and gives its address and a way to interrupt it, which gives the exit code.
func served(t *testing.T, file string) (url string, interrupt func() int) {
	t.Helper()
	return servedFrom(t, "--file", file)
}

// servedFrom does so with the jobs kept as the flags say.
func servedFrom(t *testing.T, where ...string) (url string, interrupt func() int) {
	t.Helper()
	c := program(t, append([]string{"serve", "--listen", "127.0.0.1:0", "--no-open", "-q"}, where...)...)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil || !strings.HasPrefix(line, "http://127.0.0.1:") {
		_ = c.Process.Kill()
		t.Fatalf("it says %q: %v", line, err)
	}
	return strings.TrimSpace(line), func() int {
		if err := c.Process.Signal(os.Interrupt); err != nil {
			t.Fatal(err)
		}
		return codeOf(c.Wait())
	}
}

func fetched(t *testing.T, method, url, body string) (int, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.DefaultTransport.RoundTrip(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}

// TestWhatIsTypedOutlivesAnInterrupt puts a job down, ends the server by Ctrl-C and opens it again.
func TestWhatIsTypedOutlivesAnInterrupt(t *testing.T) {
	const job = `{"length":"40 ft","thickness":"6 in","width":"14 ft"}`
	file := filepath.Join(t.TempDir(), "shop.db")
	url, interrupt := served(t, file)
	if status, text := fetched(t, "PUT", url+"api/v1/jobs/pad", job); status != http.StatusCreated {
		t.Fatalf("%d %s", status, text)
	}
	if status, text := fetched(t, "POST", url+"api/v1/jobs/pad/answers", `{"questions":["order"],"coarse":true}`); !strings.Contains(text, "11 1/4 yd3 to order") {
		t.Errorf("%d %.300s", status, text)
	}
	if code := interrupt(); code != Interrupted {
		t.Errorf("exit code %d", code)
	}
	url, interrupt = served(t, file)
	if _, text := fetched(t, "GET", url+"api/v1/jobs/pad", ""); text != job {
		t.Errorf("after the interrupt there is %q", text)
	}
	interrupt()
}

func TestServeRefusesWhatItCannotDo(t *testing.T) {
	for wrong, says := range map[string][]string{
		"can be reached from other machines": {"serve", "--listen", "0.0.0.0:0", "--file", filepath.Join(t.TempDir(), "a.db")},
		"is a folder":                        {"serve", "--no-open", "--listen", "127.0.0.1:0", "--file", t.TempDir()},
	} {
		out, err := program(t, says...).CombinedOutput()
		if codeOf(err) != Failed || !strings.Contains(string(out), wrong) {
			t.Errorf("%v: %v, %s", says, err, out)
		}
	}
}
