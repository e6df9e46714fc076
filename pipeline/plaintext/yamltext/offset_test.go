package yamltext

import (
	"strings"
	"testing"
)

// An offset is changed where it stands, and every other byte, comments too, stays.
func TestSetOffsetChangesNothingElse(t *testing.T) {
	const head = "date: 2026-05-02 # a Saturday\nrecordings:\n"
	for name, c := range map[string]struct{ text, want string }{
		"the old number": {
			head + "  - file: watch.csv\n  - file: pod.csv\n    offset_s: -3.5 # by the first step\n",
			head + "  - file: watch.csv\n  - file: pod.csv\n    offset_s: 12.25 # by the first step\n",
		},
		"a line of its own": {
			head + "  - file: pod.csv # on the left shoe\n    device: foot_sensor\n",
			head + "  - file: pod.csv # on the left shoe\n    offset_s: 12.25\n    device: foot_sensor\n",
		},
		"lines that end as on Windows": {
			strings.ReplaceAll(head+"  - file: pod.csv\n", "\n", "\r\n"),
			strings.ReplaceAll(head+"  - file: pod.csv\n    offset_s: 12.25\n", "\n", "\r\n"),
		},
	} {
		got, ok := SetOffset([]byte(c.text), "pod.csv", 12.25)
		if !ok || string(got) != c.want {
			t.Errorf("%s: ok %v, got\n%s\nwant\n%s", name, ok, got, c.want)
		}
	}
}

// What cannot be changed in place is left to a writer of the whole list.
func TestSetOffsetRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"a file that is not listed": "recordings:\n  - file: watch.csv\n",
		"a list on one line":        "recordings: [{file: pod.csv, device: foot_sensor}]\n",
		"an anchor":                 "recordings:\n  - &first\n    file: pod.csv\n    offset_s: &o 3\n",
		"an alias":                  "other: &o 3\nrecordings:\n  - file: pod.csv\n    offset_s: *o\n",
		"no list":                   "date: 2026-05-02\n",
		"no YAML":                   "recordings: [\n",
	} {
		if got, ok := SetOffset([]byte(text), "pod.csv", 12.25); ok {
			t.Errorf("%s: was changed to\n%s", name, got)
		}
	}
}
