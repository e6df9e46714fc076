package recording

import (
	"reflect"
	"testing"

	"soletrial/pipeline/trial"
)

// A channel that the row has no column for would silently stay blank.
func TestRowHasEveryChannel(t *testing.T) {
	tags := map[string]bool{}
	for f := range reflect.TypeFor[row]().Fields() {
		tags[f.Tag.Get("csv")] = true
	}
	var r row
	seen := map[*cell]bool{}
	for c := range trial.ChannelCount {
		if !tags[c.Info().Column] || r.channel(c) == nil || seen[r.channel(c)] {
			t.Errorf("the row has no cell of its own for %s", c.Info().Column)
		}
		seen[r.channel(c)] = true
		if len(unitTable[c]) == 0 || unitTable[c][0].convert(1.5) != 1.5 || channelFields[c].unit == "" || unitNamed(c, channelFields[c].unit) == nil {
			t.Errorf("%s: the first unit must be the channel's own, and the FIT field must have a unit", c.Info().Column)
		}
		if got, ok := channelCalled(channelWords[c][0]); !ok || got != c {
			t.Errorf("%q is not found as %s", channelWords[c][0], c.Info().Column)
		}
	}
	if len(tags) != int(trial.ChannelCount)+3 { // line, elapsed and clock
		t.Errorf("%d tags", len(tags))
	}
}

func TestDidYouMean(t *testing.T) {
	for word, want := range map[string]string{"pod_powr": `, did you mean "pod_power"?`, "POD_POWER": `, did you mean "pod_power"?`, "zzz": ""} {
		if got := didYouMean(word, []string{"pod_power", "hrm_heart_rate"}); got != want {
			t.Errorf("%s: %q, want %q", word, got, want)
		}
	}
	// The textbook example of the measure: kitten to sitting takes three changes.
	if d := editDistance("kitten", "sitting"); d != 3 {
		t.Errorf("kitten to sitting: %d, want 3", d)
	}
}
