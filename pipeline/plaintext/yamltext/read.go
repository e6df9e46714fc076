package yamltext

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
)

// Read is the [plaintext.Documents] of a dataset written by people.
func Read(fsys fs.FS, path string) (*plaintext.Node, []trial.Problem) {
	text, problems := plaintext.DocumentText(fsys, path)
	if len(problems) > 0 {
		return nil, problems
	}
	return Parse(text, path)
}

// Parse reads YAML text into a tree; path is used for positions only. The node
// is nil when there are problems.
func Parse(text []byte, path string) (node *plaintext.Node, problems []trial.Problem) {
	p := page{file: path}
	defer func() {
		if recover() != nil { // the parser's own bug; its message helps nobody
			node, problems = nil, append(p.problems, p.problem(nil, "write it in a simpler way",
				"not readable as YAML"))
		}
	}()
	// The lexer loses a tag at the very end, and counts the end of a comment as on Windows twice.
	whole := strings.TrimSuffix(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n") + "\n"
	tokens := lexer.Tokenize(whole)
	if p.checkTokens(tokens); len(p.problems) > 0 {
		return nil, p.problems
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, []trial.Problem{p.syntax(err)}
	}
	node = p.node(body(file))
	if len(p.problems) > 0 {
		return nil, p.problems
	}
	return node, nil
}

// body returns the content of the only document, nil when there is none.
func body(file *ast.File) ast.Node {
	for _, document := range file.Docs {
		if document.Body != nil {
			return document.Body
		}
	}
	return nil
}

// page is one file on its way into a tree.
type page struct {
	file     string
	problems []trial.Problem
}

func (p *page) at(t *token.Token) trial.Position {
	if t == nil || t.Position == nil {
		return trial.Position{File: p.file}
	}
	return trial.Position{File: p.file, Line: t.Position.Line, Column: t.Position.Column}
}

func (p *page) problem(t *token.Token, hint, format string, args ...any) trial.Problem {
	return trial.Problem{At: p.at(t), Message: fmt.Sprintf(format, args...), Hint: hint}
}

func (p *page) complain(t *token.Token, hint, format string, args ...any) {
	p.problems = append(p.problems, p.problem(t, hint, format, args...))
}

func (p *page) syntax(err error) trial.Problem {
	var e yaml.Error
	if errors.As(err, &e) {
		return p.problem(e.GetToken(), "check the indentation, the colon and the quotes here and on the line above",
			"not readable as YAML: %s", e.GetMessage())
	}
	return p.problem(nil, "", "not readable as YAML: %v", err)
}

// node turns a syntax tree into a document tree.
func (p *page) node(n ast.Node) *plaintext.Node {
	switch n := n.(type) {
	case nil:
		return &plaintext.Node{At: trial.Position{File: p.file, Line: 1, Column: 1}, Plain: true}
	case *ast.MappingNode:
		return p.mapping(n)
	case *ast.MappingValueNode:
		return p.mapping(ast.Mapping(n.Start, n.IsFlowStyle, n))
	case *ast.SequenceNode:
		return p.sequence(n)
	case *ast.LiteralNode:
		return &plaintext.Node{At: p.at(n.Start), Text: n.Value.Value}
	case *ast.StringNode:
		quoted := n.Token.Type == token.SingleQuoteType || n.Token.Type == token.DoubleQuoteType
		return &plaintext.Node{At: p.at(n.Token), Text: n.Value, Plain: !quoted}
	}
	return p.plain(n)
}

// plain keeps the text of an unquoted scalar as it was written, whatever type
// YAML gives it.
func (p *page) plain(n ast.Node) *plaintext.Node {
	t := n.GetToken()
	node := &plaintext.Node{At: p.at(t), Plain: true}
	switch n.(type) {
	case *ast.NullNode, *ast.BoolNode, *ast.IntegerNode, *ast.FloatNode, *ast.InfinityNode, *ast.NanNode:
		if t.Type != token.ImplicitNullType {
			node.Text = t.Value
		}
	default:
		p.complain(t, "write plain keys, lists and values", "%s is not allowed in a dataset", n.Type())
	}
	return node
}

func (p *page) mapping(n *ast.MappingNode) *plaintext.Node {
	node := &plaintext.Node{At: p.at(n.GetToken()), Kind: plaintext.Mapping}
	for i, value := range n.Values {
		key := value.Key.GetToken()
		if i == 0 && !n.IsFlowStyle {
			node.At = p.at(key)
		}
		name := p.node(value.Key)
		if name.Kind != plaintext.Scalar {
			p.complain(key, "write one word before the colon", "a key is %s", name.Kind)
			continue
		}
		pair := plaintext.Pair{Key: name.Text, At: p.at(key), Value: p.node(value.Value)}
		if pair.Value.Kind != plaintext.Sequence && !n.IsFlowStyle {
			p.checkIndentation(pair.At, pair.Value, value.Value)
		}
		if pair.Value.Blank() { // which stands nowhere
			pair.Value.At = pair.At
		}
		node.Pairs = append(node.Pairs, pair)
	}
	return node
}

func (p *page) sequence(n *ast.SequenceNode) *plaintext.Node {
	node := &plaintext.Node{At: p.at(n.GetToken()), Kind: plaintext.Sequence}
	for _, value := range n.Values {
		item := p.node(value)
		if !n.IsFlowStyle {
			p.checkIndentation(node.At, item, value)
		}
		if item.Blank() {
			p.complain(value.GetToken(), "fill it in or remove it", "an item is blank")
		}
		node.Items = append(node.Items, item)
	}
	return node
}
