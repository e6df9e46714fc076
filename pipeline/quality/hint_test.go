package quality

import (
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// A block that no recording covers has no dropouts of a sensor: what to do is to bring the
// recording. Where both are found, each is said of its own.
func TestHintOfABlockThatNobodyRecorded(t *testing.T) {
	w := sound()
	w.blank(trial.PowerW, 180, 436) // the whole window of the first block
	bare := of("coverage-low", w.findings())
	w = sound()
	w.blank(trial.SpeedMps, 200, 228)
	holed := of("coverage-low", w.findings())
	if len(bare) != 1 || len(holed) != 1 || bare[0].Message != "power: no recording covers the block" {
		t.Fatalf("found %+v and %+v", bare, holed)
	}
	if hint := Hint(&w.ds, bare...); strings.Contains(hint, "dropouts") || !strings.Contains(hint, "import") {
		t.Errorf("nothing recorded: %q", hint)
	}
	if hint := Hint(&w.ds, holed...); hint != "look for dropouts of the sensor" {
		t.Errorf("samples are missing: %q", hint)
	}
	want := "import the recording that covers the block where none does; elsewhere look for dropouts of the sensor"
	if hint := Hint(&w.ds, bare[0], holed[0]); hint != want {
		t.Errorf("both: %q", hint)
	}
}
