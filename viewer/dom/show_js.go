//go:build js && wasm

package dom

import (
	"strconv"
	"syscall/js"

	"soletrial/viewer/tree"
)

// Root is an element of the page whose whole content is shown from trees.
type Root struct {
	host     js.Value
	document js.Value
	shown    []*mounted
	act      func(action, value string)
	// unpainted canvases wait until they are on the page and have a size.
	unpainted []*mounted
	drag      drag
	active    js.Value // the element that has the focus, while nodes are shown
}

// mounted is a node that has an element or a text on the page, see [mounted.live].
type mounted struct {
	node     *tree.Node
	from     *made
	place    int // in what was made
	element  js.Value
	children []*mounted
	elements js.Value // of a figure, in document order; read at its first change
}

// NewRoot takes over the element with the given id and empties it. Whatever a reader
// does to a control is passed to act, see [tree.Node.On].
func NewRoot(id string, act func(action, value string)) *Root {
	document := js.Global().Get("document")
	r := &Root{host: document.Call("getElementById", id), document: document, act: act}
	r.host.Call("replaceChildren")
	r.listenToPointers()
	for _, event := range tree.Events {
		r.listen(event, act)
	}
	return r
}

// Show makes the page show the given nodes.
func (r *Root) Show(nodes ...*tree.Node) {
	r.active = r.document.Get("activeElement")
	if !r.updateInPlace(r.shown, nodes) {
		r.shown = r.arrange(r.host, r.shown, nodes)
	}
	for _, m := range r.unpainted {
		paint(m.live(), m.node.Paint)
	}
	r.unpainted = nil
}

// arrange makes a parent hold the wanted nodes, reusing what is there.
func (r *Root) arrange(parent js.Value, old []*mounted, wanted []*tree.Node) []*mounted {
	pool := newPool(old)
	next := make([]*mounted, len(wanted))
	var missing []*tree.Node
	for i, node := range wanted {
		if m := pool.take(node); m != nil {
			r.update(m, node)
			next[i] = m
			continue
		}
		missing = append(missing, node)
	}
	created := r.create(missing)
	for i := range next {
		if next[i] == nil {
			next[i], created = created[0], created[1:]
		}
	}
	for _, left := range pool.remaining() {
		left.live().Call("remove")
	}
	// What is in its place already is not touched: moving an element takes the
	// focus away.
	at := parent.Get("firstChild")
	for _, m := range next {
		if m.live().Equal(at) {
			at = at.Get("nextSibling")
			continue
		}
		parent.Call("insertBefore", m.live(), at)
	}
	return next
}

// updateInPlace updates the children where each wanted node matches the one that is in
// its place already, as most often: then nothing needs to be found or moved.
func (r *Root) updateInPlace(old []*mounted, wanted []*tree.Node) bool {
	if len(old) != len(wanted) {
		return false
	}
	for i, m := range old {
		if m.node.Tag != wanted[i].Tag || m.node.Key != wanted[i].Key {
			return false
		}
	}
	for i, m := range old {
		r.update(m, wanted[i])
	}
	return true
}

// update changes the page from m.node to next.
func (r *Root) update(m *mounted, next *tree.Node) {
	if next.Tag == "" {
		if m.node.Text != next.Text {
			m.live().Set("data", next.Text)
		}
		m.node = next
		return
	}
	m.attributes(next)
	if next.Paint != m.node.Paint {
		r.unpainted = append(r.unpainted, m)
	}
	if next.SVG != m.node.SVG {
		r.figure(m, next.SVG)
	}
	if next.SVG == "" && !r.updateInPlace(m.children, next.Children) {
		m.children = r.arrange(m.live(), m.children, next.Children)
	}
	r.control(m, next)
	m.node = next
}

// attributes sets what differs and removes what is gone.
func (m *mounted) attributes(next *tree.Node) {
	for _, a := range next.Attrs {
		if was, there := m.node.Attr(a.Name); there && was == a.Value {
			continue
		}
		if a.Name == "style" {
			m.live().Get("style").Set("cssText", a.Value) // the page's policy forbids the attribute itself
			continue
		}
		m.live().Call("setAttribute", a.Name, a.Value)
	}
	for _, a := range m.node.Attrs {
		if _, there := next.Attr(a.Name); !there {
			m.live().Call("removeAttribute", a.Name)
		}
	}
}

// figure shows SVG text: what differs from the figure that is there is changed in
// it; another figure is parsed as XML, in which nothing runs and nothing is guessed.
func (r *Root) figure(m *mounted, text string) {
	if changes, ok := tree.Diff(m.node.SVG, text); ok {
		m.patch(changes)
		return
	}
	m.live().Call("replaceChildren")
	m.elements = js.Undefined()
	if text != "" {
		r.setFigure(m, text)
	}
}

// setFigure shows SVG text in an empty element.
func (r *Root) setFigure(m *mounted, text string) {
	parsed := js.Global().Get("DOMParser").New().Call("parseFromString", text, "image/svg+xml").Get("documentElement")
	if parsed.Get("localName").String() == "svg" {
		m.live().Call("append", r.document.Call("importNode", parsed, true))
	}
}

// patch changes what is there in one call into the browser: changeNodes (viewer/web/nodes.js).
func (m *mounted) patch(changes []tree.Change) {
	if m.elements.IsUndefined() {
		m.elements = m.live().Call("querySelectorAll", "*")
	}
	var d maker
	for _, c := range changes {
		d.item(strconv.Itoa(c.Element)+"\x00"+c.Name+"\x00", c.Value)
	}
	js.Global().Call("changeNodes", m.elements, d.text.String())
}

// control makes a control's state what the tree says: an attribute is only its
// state at first. A field being typed into is left alone until it is left.
func (r *Root) control(m *mounted, next *tree.Node) {
	switch next.Tag {
	case "input":
		live := m.live()
		kind, _ := next.Attr("type")
		if kind == "checkbox" {
			if _, checked := next.Attr("checked"); live.Get("checked").Bool() != checked {
				live.Set("checked", checked)
			}
			return
		}
		value, has := next.Attr("value")
		if has && (kind == "range" || !r.active.Equal(live)) && live.Get("value").String() != value {
			live.Set("value", value)
		}
	case "option":
		if _, selected := next.Attr("selected"); selected && !m.live().Get("selected").Bool() {
			m.live().Set("selected", true)
		}
	}
}
