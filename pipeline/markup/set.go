package markup

import (
	"fmt"
	"io/fs"
	"path"
	"reflect"
	"strings"
	"text/template/parse"
)

// Set is a set of templates that can call each other. It never changes, so many may use it at
// once.
type Set struct {
	templates map[string]step
}

// Parse reads templates: each file is one by the last part of its path, and so is everything
// that it defines. It fails when a file cannot be read, is not in the language of templates,
// or fills in anything where it could not be escaped.
func Parse(files fs.FS, paths ...string) (*Set, error) {
	trees := map[string]*parse.Tree{}
	names := map[string]any{}
	for name := range functions {
		names[name] = name
	}
	for _, p := range paths {
		text, err := fs.ReadFile(files, p)
		if err != nil {
			return nil, err
		}
		found, err := parse.Parse(path.Base(p), string(text), "", "", names)
		if err != nil {
			return nil, err
		}
		for name, tree := range found {
			trees[name] = tree
		}
	}
	s := &Set{templates: map[string]step{}}
	for name, tree := range trees {
		c := compiler{set: s, trees: trees}
		body, end, err := c.list(tree.Root, context{})
		if err == nil && end != (context{}) {
			err = fmt.Errorf("it ends within a tag or a script")
		}
		if err != nil {
			return nil, fmt.Errorf("template %s: %w", name, err)
		}
		s.templates[name] = body
	}
	return s, nil
}

// Must returns the set, and panics where it could not be read: for sets that are built in.
func Must(s *Set, err error) *Set {
	if err != nil {
		panic("markup: " + err.Error())
	}
	return s
}

// Write writes a template filled in with data. It fails where the data have no such field, and
// where a value is none that can be written; what it wrote until then stays written.
func (s *Set) Write(b *strings.Builder, name string, data any) error {
	body, found := s.templates[name]
	if !found {
		return fmt.Errorf("there is no template %s", name)
	}
	v := reflect.ValueOf(data)
	return body(&page{b: b, root: v}, v)
}

// page is one call of a template.
type page struct {
	b         *strings.Builder
	root      reflect.Value // what it was called with
	variables []variable    // the inner ones last
}

type variable struct {
	name  string
	value reflect.Value
}

// step writes a piece of a template; dot is the value at the cursor.
type step func(p *page, dot reflect.Value) error

// compiler turns the nodes of a template into steps.
type compiler struct {
	set   *Set
	trees map[string]*parse.Tree
}

// list compiles nodes that follow each other, from one context to the next.
func (c compiler) list(nodes *parse.ListNode, at context) (step, context, error) {
	var steps []step
	if nodes == nil {
		nodes = &parse.ListNode{}
	}
	for _, n := range nodes.Nodes {
		s, next, err := c.node(n, at)
		if err != nil {
			return nil, at, err
		}
		steps, at = append(steps, s), next
	}
	return func(p *page, dot reflect.Value) error {
		for _, s := range steps {
			if err := s(p, dot); err != nil {
				return err
			}
		}
		return nil
	}, at, nil
}

// node compiles one node.
func (c compiler) node(n parse.Node, at context) (step, context, error) {
	switch n := n.(type) {
	case *parse.TextNode:
		text := string(n.Text)
		next, err := at.after(text)
		return func(p *page, _ reflect.Value) error { p.b.WriteString(text); return nil }, next, err
	case *parse.ActionNode:
		s, err := c.action(n, at)
		return s, at, err
	case *parse.IfNode:
		return c.branch(n, &n.BranchNode, at, chosen)
	case *parse.WithNode:
		return c.branch(n, &n.BranchNode, at, entered)
	case *parse.RangeNode:
		return c.branch(n, &n.BranchNode, at, repeated)
	case *parse.TemplateNode:
		s, err := c.call(n, at)
		return s, at, err
	}
	return nil, at, fmt.Errorf("%s is not known here", n)
}

// action compiles what writes a value.
func (c compiler) action(n *parse.ActionNode, at context) (step, error) {
	write, err := at.printer()
	if err == nil && len(n.Pipe.Decl) > 0 {
		err = fmt.Errorf("a variable can be set by range only")
	}
	var value expression
	if err == nil {
		value, err = pipeline(n.Pipe)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", n, err)
	}
	return func(p *page, dot reflect.Value) error {
		v, err := value(p, dot)
		if err == nil {
			err = write(p.b, v)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", n, err)
		}
		return nil
	}, nil
}

// branch compiles if, with and range: run takes the body or the other one by the value.
func (c compiler) branch(n parse.Node, branch *parse.BranchNode, at context,
	run func(p *page, dot, v reflect.Value, names []string, body, other step) error) (step, context, error) {
	// The value, and the variables it is given to.
	value, err := pipeline(branch.Pipe)
	if err != nil {
		return nil, at, fmt.Errorf("%s: %w", branch.Pipe, err)
	}
	var names []string
	for _, v := range branch.Pipe.Decl {
		names = append(names, v.Ident[0])
	}
	if _, ranges := n.(*parse.RangeNode); len(names) > 0 && (!ranges || len(names) != 2) {
		return nil, at, fmt.Errorf("%s: variables can be set by range only, for place and element", branch.Pipe)
	}
	// Both ways must lead to the same context.
	body, end, err := c.list(branch.List, at)
	if err != nil {
		return nil, at, err
	}
	other, otherEnd, err := c.list(branch.ElseList, at)
	if err != nil {
		return nil, at, err
	}
	if _, again := n.(*parse.RangeNode); end != otherEnd || again && end != at {
		return nil, at, fmt.Errorf("{{%s}}: what follows would stand now in one place of a tag, now in another",
			branch.Pipe)
	}
	return func(p *page, dot reflect.Value) error {
		v, err := value(p, dot)
		if err != nil {
			return fmt.Errorf("%s: %w", branch.Pipe, err)
		}
		return run(p, dot, v, names, body, other)
	}, end, nil
}

// chosen runs the body of an if, or the other one.
func chosen(p *page, dot, v reflect.Value, _ []string, body, other step) error {
	if truth(v) {
		return body(p, dot)
	}
	return other(p, dot)
}

// entered runs the body of a with, with its value at the cursor.
func entered(p *page, dot, v reflect.Value, _ []string, body, other step) error {
	if truth(v) {
		return body(p, v)
	}
	return other(p, dot)
}

// repeated runs the body of a range with every element at the cursor.
func repeated(p *page, dot, v reflect.Value, names []string, body, other step) error {
	if v = direct(v); !v.IsValid() || v.Kind() == reflect.Slice && v.Len() == 0 {
		return other(p, dot)
	}
	if v.Kind() != reflect.Slice {
		return fmt.Errorf("range over a %s: it must be a slice", v.Type())
	}
	outer := len(p.variables)
	defer func() { p.variables = p.variables[:outer] }()
	for i := range v.Len() {
		p.variables = p.variables[:outer]
		if len(names) == 2 {
			p.variables = append(p.variables, variable{names[0], reflect.ValueOf(i)}, variable{names[1], v.Index(i)})
		}
		if err := body(p, v.Index(i)); err != nil {
			return err
		}
	}
	return nil
}

// call compiles the call of another template, which may stand between tags only.
func (c compiler) call(n *parse.TemplateNode, at context) (step, error) {
	if at.place != inText {
		return nil, fmt.Errorf("%s: a template can be called between tags only", n)
	}
	if c.trees[n.Name] == nil {
		return nil, fmt.Errorf("%s: there is no such template", n)
	}
	value := func(*page, reflect.Value) (reflect.Value, error) { return reflect.Value{}, nil }
	if n.Pipe != nil {
		var err error
		if value, err = pipeline(n.Pipe); err != nil {
			return nil, fmt.Errorf("%s: %w", n, err)
		}
	}
	return func(p *page, dot reflect.Value) error {
		v, err := value(p, dot)
		if err != nil {
			return fmt.Errorf("%s: %w", n, err)
		}
		return c.set.templates[n.Name](&page{b: p.b, root: v}, v)
	}, nil
}
