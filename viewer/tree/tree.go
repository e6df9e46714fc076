// Package tree describes a piece of a page as plain values, so that what the
// explorer shows can be made and tested without a browser.
//
// A node is an element, a text or a figure. Text is always text: whatever shows a tree
// must not parse it as markup. What a control does is an attribute too (see
// [Node.On]), so a whole page is data. Nodes are made by chained calls.
package tree

import (
	"strings"

	"soletrial/pipeline/figure"
)

// Node is an element with attributes and children; a text when Tag is ""; or an
// element around a figure when SVG is set. Key tells siblings apart when they
// come, go or move; siblings without one are matched by place.
type Node struct {
	Tag, Key string
	Attrs    []Attr
	Children []*Node
	Text     string
	SVG      string
	Paint    *figure.Panel // of a canvas; another pointer is another picture
}

// Attr is one attribute. A flag, such as checked, has an empty value.
type Attr struct{ Name, Value string }

// El returns an element. After its tag come attributes whose values never
// change and hold no space, as in "input type=number min=0".
func El(words string) *Node {
	tag, rest, _ := strings.Cut(words, " ")
	n := &Node{Tag: tag}
	for rest != "" {
		var word string
		word, rest, _ = strings.Cut(rest, " ")
		name, value, _ := strings.Cut(word, "=")
		n.Set(name, value)
	}
	return n
}

// Text returns a text with every character visible: it may come from a dataset or a file.
func Text(text string) *Node { return &Node{Text: figure.Visible(text)} }

// Set adds an attribute.
func (n *Node) Set(name, value string) *Node {
	n.Attrs = append(n.Attrs, Attr{name, value})
	return n
}

// SetIf adds an attribute that is there or not, such as checked.
func (n *Node) SetIf(name string, on bool) *Node {
	if on {
		n.Set(name, "")
	}
	return n
}

// Class adds the class attribute when it is not empty.
func (n *Node) Class(class string) *Node {
	if class != "" {
		n.Set("class", class)
	}
	return n
}

// Events lists the events that [Node.On] may name.
var Events = []string{"input", "change", "click"}

// TimeAxis makes an element an interval of a time axis that reacts to pointers: its
// left edge is from, its right edge to. The time under a pointer is passed to the
// program with the hover action, an interval dragged or pinched into view with the
// view action, as "from,to".
func (n *Node) TimeAxis(from, to, hover, view string) *Node {
	return n.Set("data-from", from).Set("data-to", to).Set("data-hover", hover).Set("data-view", view)
}

// Draggable makes an element one that is dragged along the time axis it is in: the time
// under the pointer is passed to the program with the action. An element with
// role=slider reacts to the keyboard too, by its aria-value attributes.
func (n *Node) Draggable(action string) *Node { return n.Set("data-drag", action) }

// On says what an element does: when the event reaches it, the action is passed
// to the program together with the element's value.
func (n *Node) On(event, action string) *Node { return n.Set("data-"+event, action) }

// Keyed sets the key that identifies an element among its siblings.
func (n *Node) Keyed(key string) *Node {
	n.Key = key
	return n
}

// Add appends children; nil adds nothing.
func (n *Node) Add(children ...*Node) *Node {
	for _, child := range children {
		if child != nil {
			n.Children = append(n.Children, child)
		}
	}
	return n
}

// AddText appends a text.
func (n *Node) AddText(text string) *Node { return n.Add(Text(text)) }

// SetFigure makes the element hold a figure: SVG text from pipeline/figure.
func (n *Node) SetFigure(svg []byte) *Node {
	n.SVG = string(svg)
	return n
}

// Attr returns the value of the named attribute and whether it is there.
func (n *Node) Attr(name string) (string, bool) {
	for i := range n.Attrs {
		if n.Attrs[i].Name == name {
			return n.Attrs[i].Value, true
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

// TextContent returns all text below n, as a reader would see it without figures.
func (n *Node) TextContent() string {
	words := ""
	n.Walk(func(n *Node) { words += n.Text })
	return words
}
