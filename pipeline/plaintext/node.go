package plaintext

import (
	"bytes"
	"io/fs"
	"strings"

	"soletrial/pipeline/trial"
)

// Documents reads one YAML file, or what stands for it, into a tree with
// positions. A file without content gives a blank scalar. When the file cannot
// be read the node is nil and the problems say why.
type Documents func(fsys fs.FS, path string) (*Node, []trial.Problem)

// Kind is the shape of a [Node].
type Kind int

// The shapes of a node.
const (
	Scalar Kind = iota
	Mapping
	Sequence
)

// String names the kind as a person would.
func (k Kind) String() string { return [...]string{"one value", "keys", "a list"}[k] }

// Node is one value of a YAML or JSON document and where it stands.
type Node struct {
	At    trial.Position
	Kind  Kind
	Text  string  // of a Scalar: its text as written, without quotes
	Plain bool    // of a Scalar: written without quotes; plain and empty is blank
	Pairs []Pair  // of a Mapping, in file order; a key may repeat, which the reader reports
	Items []*Node // of a Sequence
}

// Pair is one key of a mapping with its value.
type Pair struct {
	Key   string
	At    trial.Position
	Value *Node
}

// Blank reports whether nothing was written: "key:" in YAML, null in JSON.
func (n *Node) Blank() bool { return n.Kind == Scalar && n.Plain && n.Text == "" }

// saysNothing reports whether the node is a scalar that says nothing, quoted or not.
func (n *Node) saysNothing() bool { return n.Kind == Scalar && strings.TrimSpace(n.Text) == "" }

// Get returns the value of a key, or nil.
func (n *Node) Get(key string) *Node {
	for _, pair := range n.Pairs {
		if pair.Key == key {
			return pair.Value
		}
	}
	return nil
}

// at returns the place of the value under the given keys, or of the innermost
// value on the way there.
func (n *Node) at(keys ...string) trial.Position {
	for _, key := range keys {
		inner := n.Get(key)
		if inner == nil {
			break
		}
		n = inner
	}
	return n.At
}

// MaxDepth is how deep the mappings and lists of a document may be nested; the
// deepest documented key is four levels down.
const MaxDepth = 16

// DocumentText loads a YAML file for a [Documents] function: UTF-8 of bounded
// size without tabs or control characters. A byte order mark, which YAML allows,
// is left out, and Windows line ends come out as LF.
func DocumentText(fsys fs.FS, path string) ([]byte, []trial.Problem) {
	var r report
	src, ok := readSource(fsys, path, maxDocumentBytes, true, &r)
	if !ok {
		return nil, r.sorted()
	}
	src.text = bytes.ReplaceAll(src.text, []byte("\r\n"), []byte{'\n'})
	src.starts = lineStarts(src.text)
	for offset, c := range src.text {
		if c >= ' ' && c != 0x7f || c == '\n' {
			continue
		}
		at, what, hint := src.place(offset), "a control character", "remove it"
		if c == '\t' {
			what, hint = "a tab", "use spaces"
		}
		r.at(at.File, at.Line, at.Column, hint, "%s is not allowed in a dataset", what)
	}
	return src.text, r.sorted()
}
