package view

import (
	"strings"
	"testing"

	"soletrial/viewer/app"
	"soletrial/viewer/internal/example"
	"soletrial/viewer/tree"
)

// While another file is being read there is nothing to type into that would be lost, whatever
// else the reader does; where it cannot be read, the blocks are as they were.
func TestNothingIsTypedIntoARecordingThatIsReplaced(t *testing.T) {
	m := opened(t)
	recording := m.Bundle.Files["sessions/"+example.First+"/foot_sensor.csv"]
	if !m.OpenOwn("first.csv", recording, app.Proposal{Blocks: "0,300,a lap"}, "") {
		t.Fatal(m.OwnNotice())
	}
	m.Recompute()
	use(t, m, "own-shoe-1", "Ash")
	fields := func() int {
		return len(find(page(m), func(n *tree.Node) bool {
			action, _ := n.Attr("data-input")
			return strings.HasPrefix(action, "own-")
		}))
	}
	before := fields()
	m.ReadOwn("Reading second.fit…")
	m.Do(app.DoUndo, "")
	if _, there := one(t, page(m), "own-notice").Attr("hidden"); there || m.OwnNotice() != "Reading second.fit…" {
		t.Errorf("it is not said that a file is being read: %q", m.OwnNotice())
	}
	if n := fields(); n != 0 || before == 0 {
		t.Errorf("%d of %d fields of the first recording can be typed into", n, before)
	}
	m.SetOwnNotice("The recording cannot be read: it is empty.", false)
	if shoe, _ := one(t, page(m), "own-shoe-1").Attr("value"); shoe != "Ash" || fields() != before {
		t.Errorf("after a file that cannot be read the shoe is %q", shoe)
	}
}
