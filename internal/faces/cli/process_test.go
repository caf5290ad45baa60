package cli

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// asProgram makes this test binary the program itself, so that what only a process can show is shown by one.
const asProgram = "SLABWRIGHT_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		os.Exit(Main(os.Args[1:], System()))
	}
	os.Exit(m.Run())
}

func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self, args...)
	c.Env = append(os.Environ(), asProgram+"=yes")
	return c
}

func codeOf(err error) int {
	if ended := (*exec.ExitError)(nil); errors.As(err, &ended) {
		return ended.ExitCode()
	}
	return Done
}

func TestAPipeSeesNoEscapes(t *testing.T) {
	out, err := program(t, "size", "14x40x6in").Output()
	if err != nil || string(out) != "11 1/4 yd3 to order (10.37 neat + 7 % assumed)\n" {
		t.Errorf("%q, %v", out, err)
	}
	out, err = program(t, "order", "../../../examples/three-numbers.yaml").Output()
	if err != nil || bytes.ContainsRune(out, '\x1b') {
		t.Errorf("%q, %v", out, err)
	}
}

// TestAnInterruptEndsWith130 interrupts a stage that waits for its input.
func TestAnInterruptEndsWith130(t *testing.T) {
	c := program(t, "stage", "site")
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	for {
		if err := c.Process.Signal(os.Interrupt); err != nil {
			t.Fatal(err)
		}
		select {
		case err := <-ended:
			if code := codeOf(err); code != Interrupted && code != -1 { // -1: the signal came before anybody listened
				t.Errorf("exit code %d", code)
			}
			return
		case <-time.After(200 * time.Millisecond):
		}
	}
}

// TestAFullDiskIsNoSuccess writes the answer where nothing can be written.
func TestAFullDiskIsNoSuccess(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("this machine has no full disk")
	}
	defer full.Close()
	c := program(t, "size", "14x40x6in")
	var errs strings.Builder
	c.Stdout, c.Stderr = full, &errs
	if code := codeOf(c.Run()); code != Failed || !strings.Contains(errs.String(), "could not be written") {
		t.Errorf("exit code %d, %q", code, errs.String())
	}
}

// TestNobodyIsAskedInAScript holds that a job is never waited for where nobody sits.
func TestNobodyIsAskedInAScript(t *testing.T) {
	for name, in := range map[string]io.Reader{"nothing": nil, "a pipe": strings.NewReader("")} {
		c := program(t, "new", t.TempDir()+"/pad.yaml")
		c.Stdin = in
		out, err := c.CombinedOutput()
		if codeOf(err) != Missing || bytes.Contains(out, []byte("?")) {
			t.Errorf("%s: %v, %q", name, err, out)
		}
	}
}
