package tree

import "testing"

func TestHTML(t *testing.T) {
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
	if got := n.HTML(); got != want {
		t.Errorf("HTML gives\n%swant\n%s", got, want)
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
