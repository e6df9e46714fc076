package tree

import "testing"

func TestHTML(t *testing.T) {
	n := El("p", A("class", `a"b`), Flag("hidden", false), Key("k"),
		Text("1 < 2 & 3"), El("input", Flag("checked", true), On("change", "block s/1")), (*Node)(nil), Parts{Text("end")}, SVG("div", []byte("<svg/>")))
	want := `<p class="a&#34;b">
  1 &lt; 2 &amp; 3
  <input checked data-change="block s/1">
  end
  <div>
    (figure)
`
	if got := n.HTML(); got != want {
		t.Errorf("HTML gives\n%swant\n%s", got, want)
	}
	if n.Key != "k" || n.Words() != "1 < 2 & 3end" {
		t.Errorf("key %q, words %q", n.Key, n.Words())
	}
	if value, there := n.Children[1].Attr("data-change"); !there || value != "block s/1" {
		t.Errorf("data-change is %q, %v", value, there)
	}
	if _, there := n.Attr("hidden"); there {
		t.Error("a flag that is off is there")
	}
}
