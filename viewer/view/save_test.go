package view

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"soletrial/viewer/internal/example"
)

func TestSave(t *testing.T) {
	m := opened(t)
	use(t, m, "choose-session", example.First)
	if _, asked := Save(m, "trim head_s"); asked {
		t.Error("moving the trim saves a file")
	}
	file, asked := Save(m, "save csv comparisons")
	if !asked || file.Name != "comparisons.published.csv" ||
		!strings.HasPrefix(string(file.Content), "outcome,unit,effort,target,") {
		t.Errorf("the table is %q, %.60q", file.Name, file.Content)
	}
	use(t, m, "trim-head_s", "90")
	yours, _ := Save(m, "save csv comparisons")
	if yours.Name != "comparisons.yours.csv" || string(yours.Content) == string(file.Content) {
		t.Errorf("the reader's table is %q and the same as the published one", yours.Name)
	}
	for _, id := range []string{"ranking-0", "order", "trace-power_w"} {
		file, _ := Save(m, "save png "+id)
		if !file.Picture || file.Name != id+".yours.png" ||
			!strings.Contains(string(file.Content[:400]), ` width="720" height="`) {
			t.Errorf("%s is %q: %.400s", id, file.Name, file.Content)
		}
		// The standard library's XML parser is the oracle; a figure alone has no
		// style sheet to lean on, so whatever is drawn must say its own colour.
		decoder := xml.NewDecoder(strings.NewReader(string(file.Content)))
		for {
			token, err := decoder.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", id, err)
			}
			if e, ok := token.(xml.StartElement); ok && (e.Name.Local == "style" || e.Name.Local == "script") {
				t.Errorf("%s holds a %s element", id, e.Name.Local)
			}
		}
		buttons := find(page(m), withAttr("data-click", "save svg "+id))
		if len(buttons) != 1 {
			t.Errorf("%d buttons save %s", len(buttons), id)
		}
	}
}
