package recording

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
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
		if len(unitTable[c]) == 0 || unitTable[c][0].convert(1.5) != 1.5 || channelFields[c].unit == "" ||
			unitNamed(c, channelFields[c].unit) == nil {
			t.Errorf("%s: the first unit must be the channel's own, and the FIT field must have a unit",
				c.Info().Column)
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
	for word, want := range map[string]string{
		"pod_powr": `, did you mean "pod_power"?`, "POD_POWER": `, did you mean "pod_power"?`, "zzz": "",
	} {
		if got := didYouMean(word, []string{"pod_power", "hrm_heart_rate"}); got != want {
			t.Errorf("%s: %q, want %q", word, got, want)
		}
	}
}

// A file that is too long is refused at the row that is too many, and one that is
// just short enough is read.
func TestTooManyRows(t *testing.T) {
	var text []byte
	text = append(text, "t,power\n"...)
	for i := range trial.MaxSamples {
		text = append(strconv.AppendInt(text, int64(i/8), 10), ",280\n"...) // within four days
	}
	imp, err := Read("run.csv", text, Options{})
	if err != nil || imp.Samples.Len() != trial.MaxSamples {
		t.Fatalf("%d rows: %v", trial.MaxSamples, err)
	}
	text = append(append(text, "60001,280\n"...), "no number,so it is not looked at\n"...)
	_, err = Read("run.csv", text, Options{})
	want := fmt.Sprintf("run.csv:%d: the file has more than the %d rows", trial.MaxSamples+2, trial.MaxSamples)
	if err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("got %v, want %s...", err, want)
	}
}
