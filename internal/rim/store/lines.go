package store

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
)

// ErrDamaged is what a backup file is that does not read as it was written.
var ErrDamaged = errors.New("the backup is damaged")

func damaged(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrDamaged, fmt.Sprintf(format, args...))
}

// taker gets what lines hold, in their order.
type taker interface {
	begin(head) error
	row(t *table, values []any) error // text as string, numbers as int64, bytes as []byte, nothing as nil
}

// longestLine bounds one row: an attached file in base64 and some.
const longestLine = 512 << 20

// readLines reads what dump wrote, and holds it to its own counts and hashes.
func readLines(r io.Reader, to taker) (m Manifest, err error) {
	in, all, ofTable := bufio.NewReaderSize(r, 1<<16), sha256.New(), sha256.New()
	var h head
	var t *table
	var counts []Count
	done := false
	for n := 1; ; n++ {
		line, err := readLine(in)
		if errors.Is(err, io.EOF) && done {
			m.SHA256, m.Form, m.Tables = sum(all), h.Form, counts
			return m, nil
		}
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = damaged("it ends too early, at line %d", n)
			}
			return m, err
		}
		all.Write(line)
		switch {
		case done:
			return m, damaged("something follows its end")
		case n == 1:
			if h, err = readHead(line); err == nil {
				err = to.begin(h)
			}
		case line[0] == '[':
			if t == nil {
				return m, damaged("line %d is a row of no table", n)
			}
			ofTable.Write(line)
			counts[len(counts)-1].Rows++
			var values []any
			if values, err = readRow(line, t); err == nil {
				err = to.row(t, values)
			}
		default:
			if t != nil {
				counts[len(counts)-1].SHA256 = sum(ofTable)
				ofTable.Reset()
			}
			t, done, err = h.next(line, counts)
			if t != nil {
				counts = append(counts, Count{Table: t.Name})
			}
		}
		if err != nil {
			return m, err
		}
	}
}

func readLine(in *bufio.Reader) ([]byte, error) {
	var line []byte
	for {
		part, err := in.ReadSlice('\n')
		if err == nil && line == nil {
			return part, nil
		}
		line = append(line, part...)
		if !errors.Is(err, bufio.ErrBufferFull) {
			if errors.Is(err, io.EOF) && len(line) > 0 {
				return nil, damaged("its last line is cut short")
			}
			return line, err
		}
		if len(line) > longestLine {
			return nil, damaged("a line is longer than any row")
		}
	}
}

func readHead(line []byte) (h head, err error) {
	if err := strictly(line, &h); err != nil || h.Format == 0 {
		return h, damaged("it does not begin as a backup does")
	}
	if h.Format != lineFormat {
		return h, fmt.Errorf("the backup has form %d of its lines, this slabwright reads %d; use the one that wrote it", h.Format, lineFormat)
	}
	return h, nil
}

// next reads a line between tables: the beginning of the next one, or the foot, which must agree with what was counted.
func (h head) next(line []byte, counts []Count) (*table, bool, error) {
	if len(counts) < len(h.Tables) {
		var begins tableLine
		if err := strictly(line, &begins); err != nil || begins.Table != h.Tables[len(counts)].Name {
			return nil, false, damaged("the table %s is not where it belongs", h.Tables[len(counts)].Name)
		}
		return &h.Tables[len(counts)], false, nil
	}
	var f foot
	if err := strictly(line, &f); err != nil {
		return nil, false, damaged("its end is not readable")
	}
	if !slices.Equal(f.Manifest, counts) {
		return nil, false, damaged("its rows are not those that it says it holds")
	}
	return nil, true, nil
}

func strictly(line []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	return d.Decode(into)
}

func readRow(line []byte, t *table) ([]any, error) {
	d := json.NewDecoder(bytes.NewReader(line))
	d.UseNumber()
	var values []any
	if err := d.Decode(&values); err != nil || len(values) != len(t.Columns) {
		return nil, damaged("a row of the table %s is not readable", t.Name)
	}
	for i, c := range t.Columns {
		v, ok := c.Kind.read(values[i])
		if !ok {
			return nil, damaged("a row of the table %s has no %s in %s", t.Name, c.Kind, c.Name)
		}
		values[i] = v
	}
	return values, nil
}

// read takes a value as JSON gave it.
func (k kind) read(v any) (any, bool) {
	switch v := v.(type) {
	case nil:
		return nil, true
	case string:
		if k == octets {
			raw, err := base64.StdEncoding.DecodeString(v)
			return nonNil(raw), err == nil
		}
		return v, k == text
	case json.Number:
		n, err := v.Int64()
		return n, err == nil && k == number
	}
	return nil, false
}
