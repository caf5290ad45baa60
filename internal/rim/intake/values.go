package intake

import (
	"encoding/json"
	"regexp"

	"github.com/goccy/go-yaml/ast"
)

// aNumber is a number as JSON writes one.
var aNumber = regexp.MustCompile(`^-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?$`)

// Values reads a job file as plain values, as typed and without meaning: sections as map[string]any, lists as []any, texts as
// string, numbers as json.Number, nothing as nil.
func Values(file string, src []byte) (any, error) {
	d := &decoder{file: file}
	root, err := d.parse(src)
	if err != nil {
		return nil, err
	}
	v := d.plainValue(root, "")
	return v, d.found()
}

func (d *decoder) plainValue(n ast.Node, path string) any {
	switch n := n.(type) {
	case *ast.NullNode:
		return nil
	case *ast.SequenceNode:
		out := make([]any, len(n.Values))
		for i, item := range n.Values {
			out[i] = d.plainValue(item, path)
		}
		return out
	case *ast.StringNode, *ast.LiteralNode:
		return scalarText(n)
	case *ast.AliasNode, *ast.AnchorNode, *ast.MergeKeyNode, *ast.TagNode:
		d.fault(n, path, "", "points to another place in the file or carries a tag.", "Write the plain value out.")
		return nil
	}
	m, ok := asMapping(n)
	if !ok {
		text := scalarText(n)
		if aNumber.MatchString(text) {
			return json.Number(text)
		}
		return text
	}
	out := map[string]any{}
	for _, pair := range m.Values {
		key := keyOf(pair)
		if _, twice := out[key]; twice {
			d.fault(pair.Key, join(path, key), "", "stands twice.", "Keep one of the two lines.")
		}
		if v := d.plainValue(pair.Value, join(path, key)); v != nil {
			out[key] = v
		}
	}
	return out
}
