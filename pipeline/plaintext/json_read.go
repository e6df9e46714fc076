package plaintext

import (
	"fmt"
	"io/fs"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// ReadJSON is the [Documents] of a published dataset: it reads the JSON twin of
// a YAML file, which has the same path but ends in .json. See [Node.JSON].
func ReadJSON(fsys fs.FS, path string) (*Node, []trial.Problem) {
	var r report
	src, ok := readSource(fsys, jsonName(path), maxJSONBytes, true, &r)
	if !ok {
		return nil, r.sorted()
	}
	node := parseJSON(src, &r)
	return node, r.sorted()
}

// parseJSON returns the tree of a JSON document (RFC 8259), or nil with a
// problem. It is written out here because the tree needs positions, and because
// encoding/json would be a seventh of what the browser has to load.
func parseJSON(src source, r *report) *Node {
	src.starts = lineStarts(src.text)
	p := jsonParser{source: src}
	node := p.value(0)
	if p.space(); node != nil && p.offset < len(p.text) {
		p.fail("keep one document in the file", "something follows the end of the document")
	}
	if p.problem != nil {
		r.add(*p.problem)
		return nil
	}
	return node
}

// jsonParser reads until the first problem; from there on everything is nil.
type jsonParser struct {
	source
	offset  int
	problem *trial.Problem
}

func (p *jsonParser) fail(hint, message string) *Node {
	if p.problem == nil {
		p.problem = &trial.Problem{At: p.place(p.offset), Message: message, Hint: hint}
	}
	return nil
}

func (p *jsonParser) unreadable() *Node {
	return p.fail("publish the dataset again", "not readable as JSON")
}

func (p *jsonParser) space() {
	for p.offset < len(p.text) && strings.IndexByte(" \t\r\n", p.text[p.offset]) >= 0 {
		p.offset++
	}
}

// peek skips white space and returns the byte there, 0 at the end.
func (p *jsonParser) peek() byte {
	if p.space(); p.offset < len(p.text) {
		return p.text[p.offset]
	}
	return 0
}

// takes moves past a byte if it comes next.
func (p *jsonParser) takes(c byte) bool {
	found := p.peek() == c
	if found {
		p.offset++
	}
	return found
}

func (p *jsonParser) value(depth int) *Node {
	first := p.peek()
	node := &Node{At: p.place(p.offset)}
	switch {
	case depth > MaxDepth:
		return p.fail("flatten the document", fmt.Sprintf("nested deeper than %d levels", MaxDepth))
	case first == '{':
		return p.mapping(node, depth)
	case first == '[':
		return p.sequence(node, depth)
	case first == '"':
		text, ok := p.quoted()
		if node.Text = text; !ok {
			return p.unreadable()
		}
		return node
	}
	node.Plain = true
	return p.unquoted(node)
}

// unquoted reads a number, true, false or null.
func (p *jsonParser) unquoted(node *Node) *Node {
	end := p.offset
	for end < len(p.text) && strings.IndexByte(" \t\r\n,:]}", p.text[end]) < 0 {
		end++
	}
	node.Text = string(p.text[p.offset:end])
	switch {
	case node.Text == "null":
		node.Text = ""
	case node.Text != "true" && node.Text != "false" && !isJSONNumber(node.Text):
		return p.unreadable()
	}
	p.offset = end
	return node
}

// isJSONNumber reports whether text is a number of RFC 8259, section 6.
func isJSONNumber(text string) bool {
	mantissa, exponent, scientific := strings.Cut(strings.ToLower(text), "e")
	digits := strings.TrimPrefix(mantissa, "-")
	whole, fraction, pointed := strings.Cut(digits, ".")
	leadingZero := len(whole) > 1 && whole[0] == '0'
	signless := strings.TrimPrefix(exponent, "-")
	if len(signless) == len(exponent) {
		signless = strings.TrimPrefix(exponent, "+")
	}
	return units.AllDigits(whole) && !leadingZero && (!pointed || units.AllDigits(fraction)) &&
		(!scientific || units.AllDigits(signless))
}

func (p *jsonParser) mapping(node *Node, depth int) *Node {
	node.Kind = Mapping
	for p.offset++; ; {
		if len(node.Pairs) == 0 && p.takes('}') {
			return node
		}
		p.space()
		pair := Pair{At: p.place(p.offset)}
		name, ok := p.quoted()
		if !ok || !p.takes(':') {
			return p.unreadable()
		}
		if pair.Key, pair.Value = name, p.value(depth+1); pair.Value == nil {
			return nil
		}
		node.Pairs = append(node.Pairs, pair)
		switch {
		case p.takes('}'):
			return node
		case !p.takes(','):
			return p.unreadable()
		}
	}
}

func (p *jsonParser) sequence(node *Node, depth int) *Node {
	node.Kind = Sequence
	for p.offset++; ; {
		if len(node.Items) == 0 && p.takes(']') {
			return node
		}
		item := p.value(depth + 1)
		if item == nil {
			return nil
		}
		node.Items = append(node.Items, item)
		switch {
		case p.takes(']'):
			return node
		case !p.takes(','):
			return p.unreadable()
		}
	}
}
