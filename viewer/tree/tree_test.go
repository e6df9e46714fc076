package tree

import (
	"strings"
	"testing"
)

// html writes the tree as markup with one element per line. Figures are written as "(figure)".
func (n *Node) html() string {
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

func TestTreeHoldsWhatIsAdded(t *testing.T) {
	n := El("p tabindex=0 hidden").Set("title", `a"b`).Class("").SetIf("inert", false).Keyed("k").
		AddText("1 < 2 & 3").Add(El("input type=checkbox").SetIf("checked", true).On("change", "block s/1"), nil,
		El("div").Class("f").SetFigure([]byte("<svg/>"))).AddText("end")
	want := `<p tabindex="0" hidden title="a&#34;b">
  1 &lt; 2 &amp; 3
  <input type="checkbox" checked data-change="block s/1">
  <div class="f">
    (figure)
  end
`
	if got := n.html(); got != want {
		t.Errorf("the markup is\n%swant\n%s", got, want)
	}
	if n.Key != "k" || n.TextContent() != "1 < 2 & 3end" {
		t.Errorf("key %q, words %q", n.Key, n.TextContent())
	}
	if value, there := n.Children[1].Attr("data-change"); !there || value != "block s/1" {
		t.Errorf("data-change is %q, %v", value, there)
	}
	if _, there := n.Attr("inert"); there {
		t.Error("a flag that is off is there")
	}
}
