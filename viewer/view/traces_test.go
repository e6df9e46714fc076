package view

import (
	"strings"
	"testing"

	"soletrial/viewer/internal/example"
	"soletrial/viewer/tree"
)

// ARIA 1.2, role slider: a name, a value and its range, and a text where the
// number alone says too little.
func TestEdgesAreSliders(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	use(t, m, "trim-head_s", "70")
	root := page(m)
	sliders := find(root, withAttr("role", "slider"))
	if len(sliders) != 2 {
		t.Fatalf("%d sliders for two channels with one window", len(sliders))
	}
	for i, want := range []string{
		"role=slider tabindex=0 id=edge-power_w-head_s aria-label=Steady window begins aria-valuemin=0 " +
			"aria-valuemax=300 aria-valuenow=70 aria-valuetext=70 seconds after block start",
		"role=slider tabindex=0 id=edge-power_w-tail_s aria-label=Steady window ends aria-valuemin=0 " +
			"aria-valuemax=300 aria-valuenow=285 aria-valuetext=15 seconds before block end",
	} {
		var got []string
		for _, a := range sliders[i].Attrs {
			if !strings.HasPrefix(a.Name, "data-") && a.Name != "class" && a.Name != "style" {
				got = append(got, a.Name+"="+a.Value)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("slider %d: %s", i, strings.Join(got, " "))
		}
	}
	if edges := find(root, withAttr("data-drag", "*")); len(edges) != 4 {
		t.Errorf("%d edges can be dragged on two panels", len(edges))
	}
}

func TestTracePlotShowsWhatIsInView(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	if words := one(t, page(m), "in-view").TextContent(); words != "0:00 to 5:00 from block start" {
		t.Errorf("in view: %q", words)
	}
	use(t, m, "zoom-in", "in")
	use(t, m, "zoom-right", "right")
	root := page(m)
	if words := one(t, root, "in-view").TextContent(); words != "1:53 to 4:23 from block start" {
		t.Errorf("in view: %q", words)
	}
	if edges := find(root, withAttr("data-drag", "*")); len(edges) != 0 {
		t.Errorf("%d edges are shown outside of what is in view", len(edges))
	}
	for _, plot := range find(root, withAttr("data-from", "*")) {
		if from, _ := plot.Attr("data-from"); from != "112.5" {
			t.Errorf("the lens begins at %s s", from)
		}
	}
	if canvases := find(root, func(n *tree.Node) bool {
		return n.Tag == "canvas" &&
			n.Paint != nil
	}); len(canvases) != 2 {
		t.Errorf("%d canvases", len(canvases))
	}
}

func TestValuesAtTheCursor(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	use(t, m, "beside-2", "true")
	use(t, m, "cursor-at", "60")
	root := page(m)
	table := one(t, root, "readings-table")
	if rows := find(table, withAttr("scope", "row")); len(rows) != 2*example.Blocks {
		t.Errorf("%d blocks are read", len(rows))
	}
	if words := table.TextContent(); !strings.Contains(words, "1:00 after its start") ||
		!strings.Contains(words, "Power, W") || !strings.Contains(words, example.Second) {
		t.Errorf("the table reads %q", words)
	}
	if lines := find(root, withAttr("class", "cursor")); len(lines) != 2 {
		t.Errorf("the cursor stands on %d channels", len(lines))
	}
}

func TestReasonIsTyped(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	if fields := find(page(m), withAttr("id", "reason-2")); len(fields) != 0 {
		t.Error("a published block asks for a reason")
	}
	use(t, m, "block-2", "false")
	use(t, m, "reason-2", "a dog")
	if f := m.Choice().BlockChoice(example.First, "2"); f == nil || f.Reason != "a dog" ||
		!strings.Contains(Status(m), "excluded: a dog") {
		t.Errorf("flip %+v, status %q", f, Status(m))
	}
}

func TestMethodControls(t *testing.T) {
	m := opened(t)
	use(t, m, "drift", "false")
	use(t, m, "exponent", "0.5")
	use(t, m, "choose-effort", "power")
	if got := m.Choice().Fragment(); got != "effort=power&drift=none&power_exponent=0.5" {
		t.Errorf("the controls lead to %q", got)
	}
	use(t, m, "do-reset", "")
	if m.Choice().Changed() || m.Choice().Effort == "" {
		t.Errorf("back to published leads to %q", m.Choice().Fragment())
	}
	if _, ticked := one(t, page(m), "drift").Attr("checked"); !ticked {
		t.Error("the published drift is not ticked")
	}
}
