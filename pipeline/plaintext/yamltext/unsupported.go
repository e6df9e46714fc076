package yamltext

import (
	"github.com/goccy/go-yaml/token"

	"soletrial/pipeline/plaintext"
)

// unsupported are the features of YAML that a dataset does without.
var unsupported = map[token.Type]struct{ what, hint string }{
	token.AnchorType:      {"an anchor (&)", "write the value out where it is needed, or quote the text"},
	token.AliasType:       {"an alias (*)", "write the value out where it is needed, or quote the text"},
	token.MergeKeyType:    {"a merge key (<<)", "write the keys out"},
	token.TagType:         {"a tag (!)", "remove it, or quote the text"},
	token.DirectiveType:   {"a directive (%)", "remove the line, or quote the text"},
	token.MappingKeyType:  {"a complex key (?)", "write key: value, or quote the text"},
	token.DocumentEndType: {"a document end (...)", "remove the line"},
}

// maxKeys is how many keys a document may hold, far above what people write: the
// parser takes time that grows with the square of their number.
const maxKeys = 10_000

// checkTokens reports the tokens that have no place in a dataset, and stops at the
// one that nests too deep. It works on tokens so that the recursive parser
// never sees such a file.
func (p *page) checkTokens(tokens token.Tokens) {
	var depth nesting
	started, keys := false, 0
	for _, t := range tokens {
		// Sizes the parser could not stand.
		if t.Type == token.MappingValueType {
			if keys++; keys > maxKeys {
				p.complain(t, "is it the right file?", "the document has more than %d keys", maxKeys)
				return
			}
		}
		// What has no place in a dataset.
		if r, found := unsupported[t.Type]; found {
			p.complain(t, r.hint, "%s is not allowed in a dataset", r.what)
		}
		if t.Type == token.InvalidType && t.Error != "" {
			p.complain(t, "check the quotes and the indentation here and on the line above", "not readable as YAML: %s",
				t.Error)
		}
		if t.Type == token.DocumentHeaderType && started {
			p.complain(t, "keep one document in the file", "a second document starts here")
		}
		started = started || t.Type != token.CommentType && t.Type != token.DirectiveType
		if depth.follow(t) > plaintext.MaxDepth {
			p.complain(t, "flatten the document", "nested deeper than %d levels", plaintext.MaxDepth)
			return
		}
	}
}

// nesting follows how deep the tokens of a document are nested: the brackets
// that are open, and outside of them the columns of the open keys and dashes.
type nesting struct {
	brackets int
	columns  []int
}

func (n *nesting) follow(t *token.Token) int {
	switch t.Type {
	case token.MappingStartType, token.SequenceStartType:
		n.brackets++
	case token.MappingEndType, token.SequenceEndType:
		n.brackets = max(n.brackets-1, 0)
	case token.SequenceEntryType:
		n.open(t.Position.Column)
	case token.MappingValueType:
		if t.Prev != nil {
			n.open(t.Prev.Position.Column)
		}
	}
	return n.brackets + len(n.columns)
}

func (n *nesting) open(column int) {
	if n.brackets > 0 {
		return
	}
	for len(n.columns) > 0 && n.columns[len(n.columns)-1] >= column {
		n.columns = n.columns[:len(n.columns)-1]
	}
	n.columns = append(n.columns, column)
}
