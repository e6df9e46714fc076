package plaintext

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
)

// ReadJSON is the [Documents] of a published dataset: it reads the JSON twin of
// a YAML file, which has the same path but ends in .json. See [Node.JSON].
func ReadJSON(fsys fs.FS, path string) (*Node, []trial.Problem) {
	var r report
	src, ok := readSource(fsys, strings.TrimSuffix(path, ".yaml")+".json", maxDocumentBytes, true, &r)
	if !ok {
		return nil, r.sorted()
	}
	node := parseJSON(src, &r)
	return node, r.sorted()
}

// parseJSON returns the tree of a JSON document, or nil with a problem.
func parseJSON(src source, r *report) *Node {
	src.starts = lineStarts(src.text)
	p := jsonParser{source: src, report: r, decoder: json.NewDecoder(bytes.NewReader(src.text))}
	p.decoder.UseNumber()
	node := p.value(0)
	if node == nil {
		return nil
	}
	after := p.here()
	if _, err := p.decoder.Token(); !errors.Is(err, io.EOF) {
		r.at(after.File, after.Line, after.Column, "keep one document in the file", "something follows the end of the document")
		return nil
	}
	return node
}

type jsonParser struct {
	source
	report  *report
	decoder *json.Decoder
}

// here is the place of the next token, or of the end of the text.
func (p *jsonParser) here() trial.Position {
	offset := int(p.decoder.InputOffset())
	for offset < len(p.text) && strings.IndexByte(" \t\r\n,:", p.text[offset]) >= 0 {
		offset++
	}
	return p.place(offset)
}

func (p *jsonParser) complain(hint, format string, args ...any) {
	at := p.here()
	p.report.at(at.File, at.Line, at.Column, hint, format, args...)
}

// value reads one value; nil means that a problem was reported.
func (p *jsonParser) value(depth int) *Node {
	node := &Node{At: p.here()}
	if depth > MaxDepth {
		p.complain("flatten the document", "nested deeper than %d levels", MaxDepth)
		return nil
	}
	token, err := p.decoder.Token()
	if err != nil {
		p.complain("publish the dataset again", "not readable as JSON")
		return nil
	}
	switch token := token.(type) {
	case json.Delim:
		if token == '{' {
			return p.mapping(node, depth)
		}
		return p.sequence(node, depth)
	case string:
		node.Text = token
	case json.Number:
		node.Text, node.Plain = token.String(), true
	case bool:
		node.Text, node.Plain = strconv.FormatBool(token), true
	case nil:
		node.Plain = true
	}
	return node
}

func (p *jsonParser) mapping(node *Node, depth int) *Node {
	node.Kind = Mapping
	for p.decoder.More() {
		key := Pair{At: p.here()}
		token, err := p.decoder.Token()
		name, isString := token.(string)
		if err != nil || !isString {
			p.complain("publish the dataset again", "not readable as JSON")
			return nil
		}
		key.Key, key.Value = name, p.value(depth+1)
		if key.Value == nil {
			return nil
		}
		node.Pairs = append(node.Pairs, key)
	}
	return p.closed(node)
}

func (p *jsonParser) sequence(node *Node, depth int) *Node {
	node.Kind = Sequence
	for p.decoder.More() {
		item := p.value(depth + 1)
		if item == nil {
			return nil
		}
		node.Items = append(node.Items, item)
	}
	return p.closed(node)
}

// closed takes the closing bracket.
func (p *jsonParser) closed(node *Node) *Node {
	if _, err := p.decoder.Token(); err != nil {
		p.complain("publish the dataset again", "not readable as JSON")
		return nil
	}
	return node
}
