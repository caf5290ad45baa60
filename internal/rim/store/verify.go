package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/rim/fields"
)

// Unsound is what does not hang together in a store or a backup, in plain sentences.
type Unsound struct {
	Says []string // the first of them
	More int      // beyond those
}

// Error tells them, one a line.
func (u *Unsound) Error() string {
	text := strings.Join(u.Says, "\n")
	if u.More > 0 {
		text += fmt.Sprintf("\nand %d more", u.More)
	}
	return text
}

// mostUnsound is how many sentences are told; the rest are counted.
const mostUnsound = 20

// checker looks, row by row, whether what a store holds hangs together.
type checker struct {
	ctx     context.Context
	jobs    map[string]*chain
	order   []string
	lists   int64 // the revision of the shop's lists
	unsound Unsound
}

// chain is the revisions of one job: it begins at 1, and each change made the next.
type chain struct {
	last int64
	seen []uint64 // one bit a revision
}

// longestChain bounds what a damaged revision can ask for.
const longestChain = 1 << 26

func newChecker(ctx context.Context) *checker { return &checker{ctx: ctx, jobs: map[string]*chain{}} }

func (c *checker) found() error {
	for _, id := range c.order {
		j := c.jobs[id]
		for r := int64(2); r <= j.last; r++ {
			if !j.has(r) {
				c.says("job %q stands at revision %d, and the change that made revision %d is missing", id, j.last, r)
				break
			}
		}
	}
	if len(c.unsound.Says) == 0 {
		return nil
	}
	return &c.unsound
}

func (j *chain) has(r int64) bool { return r == 1 || j.seen[r/64]&(1<<(r%64)) != 0 }

func (c *checker) says(format string, args ...any) {
	if len(c.unsound.Says) == mostUnsound {
		c.unsound.More++
		return
	}
	c.unsound.Says = append(c.unsound.Says, fmt.Sprintf(format, args...))
}

func (c *checker) begin(head) error { return nil }

// rowOf is one row by its columns' names.
type rowOf struct {
	t      *table
	values []any
}

func (r rowOf) at(name string) any {
	if i := slices.IndexFunc(r.t.Columns, func(c column) bool { return c.Name == name }); i >= 0 {
		return r.values[i]
	}
	return nil
}

func (r rowOf) text(name string) string { s, _ := r.at(name).(string); return s }

func (r rowOf) number(name string) int64 { n, _ := r.at(name).(int64); return n }

func (c *checker) row(t *table, values []any) error {
	if err := c.ctx.Err(); err != nil {
		return err
	}
	r := rowOf{t, values}
	switch t.Name {
	case "jobs":
		c.job(r)
	case "changes":
		c.change(r)
	case "heads":
		c.head(r)
	case "attachments":
		raw, _ := r.at("bytes").([]byte)
		if versionOf(raw) != r.text("version") {
			c.says("the file %q beside job %q is not the one that was put there", r.text("name"), r.text("job"))
		}
	case "photos":
		raw, _ := r.at("bytes").([]byte)
		if versionOf(raw) != r.text("version") {
			c.says("the photo %q of job %q is not the one that was taken in", r.text("name"), r.text("job"))
		}
	case "shop":
		if _, err := fields.Parse([]byte(r.text("document"))); err != nil {
			c.says("the shop's lists %v", err)
		}
		c.lists = max(c.lists, r.number("revision"))
	case "shop_history":
		if at := r.number("revision"); at < 1 || at > c.lists {
			c.says("the shop's lists were changed to revision %d, and stand at %d", at, c.lists)
		}
	case "prints":
		if j := c.of(r, "a print"); j != nil && (r.number("revision") < 1 || r.number("revision") > j.last) {
			c.says("print R%d of job %q is of revision %d, which the job never had", r.number("number"), r.text("job"), r.number("revision"))
		}
	}
	return nil
}

func (c *checker) job(r rowOf) {
	id, last := r.text("id"), r.number("revision")
	if _, err := fields.Parse([]byte(r.text("document"))); err != nil {
		c.says("the document of job %q %v", id, err)
	}
	if last < 1 || last > longestChain {
		c.says("job %q stands at revision %d, which cannot be", id, last)
		last = 1
	}
	if b := r.number("base"); b < 1 || b > last {
		c.says("job %q was put down whole at revision %d, which it never had", id, b)
	}
	c.jobs[id] = &chain{last: last, seen: make([]uint64, last/64+1)}
	c.order = append(c.order, id)
}

// of is the job that a row belongs to.
func (c *checker) of(r rowOf, what string) *chain {
	j := c.jobs[r.text("job")]
	if j == nil {
		c.says("%s belongs to job %q, which is not there", what, r.text("job"))
	}
	return j
}

func (c *checker) change(r rowOf) {
	j, at := c.of(r, fmt.Sprintf("the change %q", r.text("id"))), r.number("revision")
	if j == nil {
		return
	}
	switch {
	case at < 2 || at > j.last:
		c.says("change %q of job %q made revision %d, which the job never had", r.text("id"), r.text("job"), at)
		return
	case j.has(at):
		c.says("two changes of job %q made revision %d", r.text("job"), at)
	}
	j.seen[at/64] |= 1 << (at % 64)
	var sets []fields.Set
	var answer Answer
	if err := errors.Join(decode(r.text("sets"), &sets), decode(r.text("answer"), &answer)); err != nil {
		c.says("change %q of job %q cannot be read: %v", r.text("id"), r.text("job"), err)
	} else if answer.Revision != at {
		c.says("change %q of job %q was answered with revision %d and made %d", r.text("id"), r.text("job"), answer.Revision, at)
	}
}

// head looks at one side of what two people said differently; changes come before it.
func (c *checker) head(r rowOf) {
	j, at := c.of(r, "what somebody said"), r.number("revision")
	if j == nil {
		return
	}
	if at < 1 || at > j.last || !j.has(at) {
		c.says("what was said of %s in job %q points at revision %d, which is not there", r.text("pointer"), r.text("job"), at)
	}
	if !json.Valid([]byte(r.text("value"))) || !json.Valid([]byte(r.text("origin"))) {
		c.says("what was said of %s in job %q cannot be read", r.text("pointer"), r.text("job"))
	}
}
