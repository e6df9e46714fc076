//go:build js && wasm

package dom

import (
	"strings"
	"syscall/js"

	"soletrial/viewer/tree"
)

// made holds what one call of makeNodes (viewer/web/nodes.js) returned.
type made struct{ nodes js.Value }

// live returns a node's element or text on the page. It is asked for when it is needed: most
// nodes are never touched again.
func (m *mounted) live() js.Value {
	if m.element.IsUndefined() {
		m.element = m.from.nodes.Index(m.place)
	}
	return m.element
}

// maker describes nodes for makeNodes, and changes of them for changeNodes.
type maker struct {
	text strings.Builder
	made []*mounted // all of them, in the order in which they are described
	from *made
}

// create makes the elements of nodes that are on no page yet, in one call into the browser.
func (r *Root) create(nodes []*tree.Node) []*mounted {
	if len(nodes) == 0 {
		return nil
	}
	m := maker{from: &made{}}
	list := make([]*mounted, len(nodes))
	for i, node := range nodes {
		list[i] = m.describe(node)
	}
	m.from.nodes = js.Global().Call("makeNodes", m.text.String())
	for _, one := range m.made {
		if one.node.SVG != "" {
			r.setFigure(one, one.node.SVG)
		}
		if one.node.Paint != nil {
			r.unpainted = append(r.unpainted, one)
		}
	}
	return list
}

// describe appends a node and everything below it.
func (m *maker) describe(node *tree.Node) *mounted {
	one := &mounted{node: node, from: m.from, place: len(m.made)}
	m.made = append(m.made, one)
	if node.Tag == "" {
		m.item("'", node.Text)
		return one
	}
	m.item("<", node.Tag)
	for _, a := range node.Attrs {
		m.item("=", a.Name)
		m.item("", a.Value)
	}
	if node.SVG == "" && len(node.Children) > 0 {
		one.children = make([]*mounted, len(node.Children))
		for i, child := range node.Children {
			one.children[i] = m.describe(child)
		}
	}
	m.item(">", "")
	return one
}

func (m *maker) item(sign, word string) {
	m.text.WriteString(sign)
	m.text.WriteString(strings.ReplaceAll(word, "\x00", "\uFFFD"))
	m.text.WriteByte(0)
}
