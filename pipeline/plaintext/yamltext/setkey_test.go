package yamltext_test

import (
	"testing"

	"soletrial/pipeline/plaintext/yamltext"
)

func TestSetKey(t *testing.T) {
	const block = "recordings:\n  - file: a.csv\n    device: foot_sensor\n"
	for name, c := range map[string]struct{ src, want string }{
		"empty file":            {"", block},
		"appended":              {"date: 2026-05-02 # a Saturday\n", "date: 2026-05-02 # a Saturday\n" + block},
		"last line without end": {"date: 2026-05-02", "date: 2026-05-02\n" + block},
		"replaced": {"date: x\nrecordings:\n  - file: old.csv\nnotes: y\n", "date: x\n" + block +
			"notes: y\n"},
		"replaced at the end":  {"date: x\nrecordings:\n  - file: old.csv\n", "date: x\n" + block},
		"blank value":          {"recordings:\ndate: x\n", block + "date: x\n"},
		"flow list":            {"recordings: [{file: a.csv},\n  {file: b.csv}]\ndate: x\n", block + "date: x\n"},
		"dashes in column one": {"recordings:\n- file: a.csv\n- file: b.csv\ndate: x\n", block + "date: x\n"},
		"comments of the next key stay": {
			"# the file\nrecordings: # of the day\n  - file: a.csv # old\n  # inside\n\n# about the date\n\ndate: x\n",
			"# the file\n" + block + "\n# about the date\n\ndate: x\n"},
		"trailing comment stays": {"recordings: []\n\n# the end\n", block + "\n# the end\n"},
		"key inside text": {"notes: |\n  recordings: none\n  date: y\ndate: x\n",
			"notes: |\n  recordings: none\n  date: y\ndate: x\n" + block},
		"key further in":   {"protocol:\n  recordings: z\n", "protocol:\n  recordings: z\n" + block},
		"key in a comment": {"# recordings: old\ndate: x\n", "# recordings: old\ndate: x\n" + block},
		"quoted key":       {"\"recordings\": []\ndate: x\n", block + "date: x\n"},
		"text after the key": {"recordings:\n  - file: a.csv\nnotes: |\n  one\n\n  two\ndate: x\n",
			block + "notes: |\n  one\n\n  two\ndate: x\n"},
		"Windows line ends": {"date: x\r\nnotes: y\r\n",
			"date: x\r\nnotes: y\r\nrecordings:\r\n  - file: a.csv\r\n    device: foot_sensor\r\n"},
	} {
		if got := string(yamltext.SetKey([]byte(c.src), "recordings", []byte(block))); got != c.want {
			t.Errorf("%s: got\n%q\nwant\n%q", name, got, c.want)
		}
	}
}

func TestSetKeyLeavesItsArgumentsAlone(t *testing.T) {
	src := make([]byte, 0, 100)
	src = append(src, "date: x\nnotes: y"...)
	yamltext.SetKey(src, "date", []byte("date: z\n"))
	if string(src) != "date: x\nnotes: y" || string(src[:cap(src)][16:20]) != "\x00\x00\x00\x00" {
		t.Errorf("the source became %q", src[:20])
	}
}
