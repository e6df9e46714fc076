package plaintext

import (
	"strings"

	"soletrial/pipeline/units"
)

// JSON returns the node as indented JSON that ends in a line feed. Keys keep
// their order. A plain scalar that is a JSON number, true or false is written
// bare and a blank one as null, so that [ReadJSON] gives the binder the same
// texts as the YAML did; everything else is a string. The bytes depend on the
// node alone.
func (n *Node) JSON() []byte { return append(n.appendJSON(nil, "\n"), '\n') }

func (n *Node) appendJSON(dst []byte, newline string) []byte {
	inner := newline + "  "
	switch {
	case n.Kind == Mapping && len(n.Pairs) > 0:
		separator := "{"
		for _, pair := range n.Pairs {
			dst = append(dst, separator+inner...)
			dst = append(appendString(dst, pair.Key), ": "...)
			dst = pair.Value.appendJSON(dst, inner)
			separator = ","
		}
		return append(dst, newline+"}"...)
	case n.Kind == Sequence && len(n.Items) > 0:
		separator := "["
		for _, item := range n.Items {
			dst = append(dst, separator+inner...)
			dst = item.appendJSON(dst, inner)
			separator = ","
		}
		return append(dst, newline+"]"...)
	}
	return n.appendLeaf(dst)
}

func (n *Node) appendLeaf(dst []byte) []byte {
	switch {
	case n.Kind == Mapping:
		return append(dst, "{}"...)
	case n.Kind == Sequence:
		return append(dst, "[]"...)
	case n.Blank():
		return append(dst, "null"...)
	case n.Plain && unquoted(n.Text):
		return append(dst, n.Text...)
	}
	return appendString(dst, n.Text)
}

// unquoted reports whether the text of a plain scalar is the same thing in JSON.
func unquoted(text string) bool {
	if text == "true" || text == "false" {
		return true
	}
	digits := strings.TrimPrefix(text, "-")
	if len(digits) > 1 && digits[0] == '0' && digits[1] != '.' {
		return false // JSON has no leading zeros
	}
	_, err := units.ParseDecimal(text)
	return err == nil
}
