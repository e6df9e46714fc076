package tree

import "strings"

// HTML writes the tree as markup with one element per line, for tests that
// compare and for people who read them. Figures are written as "(figure)".
func (n *Node) HTML() string {
	var b strings.Builder
	n.write(&b, "")
	return b.String()
}

var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;")

func (n *Node) write(b *strings.Builder, indent string) {
	if n.Tag == "" {
		b.WriteString(indent + escape.Replace(n.Text) + "\n")
		return
	}
	b.WriteString(indent + "<" + n.Tag)
	for _, a := range n.Attrs {
		b.WriteString(" " + a.Name)
		if a.Value != "" {
			b.WriteString(`="` + escape.Replace(a.Value) + `"`)
		}
	}
	b.WriteString(">\n")
	if n.SVG != "" {
		b.WriteString(indent + "  (figure)\n")
	}
	for _, child := range n.Children {
		child.write(b, indent+"  ")
	}
}
