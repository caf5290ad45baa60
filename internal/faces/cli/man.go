package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/alecthomas/kong"
)

// manCommand prints the manual page, made from the same text as the help.
type manCommand struct{}

// Run prints it in the form man reads.
func (manCommand) Run(s *session) error {
	app := s.grammar
	fmt.Fprintf(s.Out, ".TH SLABWRIGHT 1 \"\" \"slabwright %s\" \"User Commands\"\n", Version)
	fmt.Fprintf(s.Out, ".SH NAME\nslabwright \\- plans an outdoor concrete slab\n.SH SYNOPSIS\n.B slabwright\n<command> [flags]\n.SH DESCRIPTION\n")
	roff(s.Out, about)
	fmt.Fprintln(s.Out, ".SH COMMANDS")
	for _, c := range app.Children {
		if !c.Hidden {
			command(s.Out, c)
		}
	}
	fmt.Fprintln(s.Out, ".SH OPTIONS OF EVERY COMMAND")
	options(s.Out, app.Flags)
	return nil
}

func command(w io.Writer, c *kong.Node) {
	fmt.Fprintf(w, ".SS %s\n", escaped(strings.TrimSuffix(c.Summary(), " [flags]")))
	roff(w, c.Help)
	for _, p := range c.Positional {
		fmt.Fprintf(w, ".TP\n%s\n%s\n", escaped(p.Summary()), escaped(p.Help))
	}
	options(w, c.Flags)
	if c.Detail != "" {
		fmt.Fprintln(w, ".PP")
		roff(w, c.Detail)
	}
	for _, inner := range c.Children {
		command(w, inner)
	}
}

func options(w io.Writer, flags []*kong.Flag) {
	for _, f := range flags {
		name := "--" + f.Name
		if f.Short != 0 {
			name = "-" + string(f.Short) + ", " + name
		}
		if !f.IsBool() {
			name += "=" + f.FormatPlaceHolder()
		}
		fmt.Fprintf(w, ".TP\n.B %s\n%s\n", escaped(name), escaped(f.Help))
	}
}

// roff writes text, indented lines as they stand.
func roff(w io.Writer, text string) {
	as := false
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		indented := strings.HasPrefix(line, "  ")
		if indented != as {
			fmt.Fprintln(w, map[bool]string{true: ".nf", false: ".fi"}[indented])
			as = indented
		}
		if line == "" {
			fmt.Fprintln(w, ".PP")
			continue
		}
		fmt.Fprintln(w, escaped(line))
	}
	if as {
		fmt.Fprintln(w, ".fi")
	}
}

// escaped keeps a line from being read as an instruction.
func escaped(line string) string {
	line = strings.NewReplacer("\\", "\\e", "-", "\\-").Replace(line)
	if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
		return "\\&" + line
	}
	return line
}
