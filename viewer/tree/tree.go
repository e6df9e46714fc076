// Package tree describes a piece of a page as plain values, so that what the
// explorer shows can be made and tested without a browser.
//
// A node is an element, a text or a figure. Text is only ever text: whatever
// shows a tree must not read markup into it. What a control does is an attribute
// too (see [On]), so a whole page is data.
package tree

// Node is an element with attributes and children; a text when Tag is ""; or a
// figure of our own making when SVG is set. Key tells siblings apart when they
// come, go or move; siblings without one are told apart by place.
type Node struct {
	Tag, Key string
	Attrs    []Attr
	Children []*Node
	Text     string
	SVG      string
}

// Attr is one attribute. An attribute of [Flag] has an empty value.
type Attr struct{ Name, Value string }

// Part is something that an element is made of: an [Attr], a *Node, a [Key] or
// a list of them.
type Part interface {
	// AddTo puts the part into an element.
	AddTo(*Node)
}

// Key names an element among its siblings.
type Key string

// Parts is several parts in a row; nil adds nothing.
type Parts []Part

// AddTo implements [Part]; an attribute without a name adds nothing.
func (a Attr) AddTo(n *Node) {
	if a.Name != "" {
		n.Attrs = append(n.Attrs, a)
	}
}

// AddTo implements [Part]; nil adds nothing.
func (c *Node) AddTo(n *Node) {
	if c != nil {
		n.Children = append(n.Children, c)
	}
}

// AddTo implements [Part].
func (k Key) AddTo(n *Node) { n.Key = string(k) }

// AddTo implements [Part].
func (p Parts) AddTo(n *Node) {
	for _, part := range p {
		part.AddTo(n)
	}
}

// El returns an element.
func El(tag string, parts ...Part) *Node {
	n := &Node{Tag: tag}
	Parts(parts).AddTo(n)
	return n
}

// Text returns a text.
func Text(text string) *Node { return &Node{Text: text} }

// SVG returns an element that holds a figure: SVG text from pipeline/figure.
func SVG(tag string, text []byte, parts ...Part) *Node {
	n := El(tag, parts...)
	n.SVG = string(text)
	return n
}

// A returns an attribute.
func A(name, value string) Attr { return Attr{name, value} }

// Flag returns an attribute that is there or not, such as checked.
func Flag(name string, on bool) Attr {
	if !on {
		return Attr{}
	}
	return Attr{Name: name}
}

// Events lists the events that [On] may name.
var Events = []string{"input", "change", "click"}

// On says what an element does: when the event reaches it, the action is handed
// to the program together with the element's value.
func On(event, action string) Attr { return Attr{"data-" + event, action} }

// Attr returns the value of the named attribute and whether it is there.
func (n *Node) Attr(name string) (string, bool) {
	for _, a := range n.Attrs {
		if a.Name == name {
			return a.Value, true
		}
	}
	return "", false
}

// Walk calls visit for n and everything below it, parents first.
func (n *Node) Walk(visit func(*Node)) {
	visit(n)
	for _, child := range n.Children {
		child.Walk(visit)
	}
}

// Words returns all text below n, as a reader would see it without figures.
func (n *Node) Words() string {
	words := ""
	n.Walk(func(n *Node) { words += n.Text })
	return words
}
