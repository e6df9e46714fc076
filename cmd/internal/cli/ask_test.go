package cli

import (
	"os"
	"strings"
	"testing"
)

// Nobody answers a question at the null device, a pipe or a text: a script must not stand
// still. That questions are asked on a terminal is tested by the scripts.
func TestQuestionsNeedATerminal(t *testing.T) {
	null, err := os.Open(os.DevNull)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	reading, writing, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer reading.Close()
	defer writing.Close()
	for name, a := range map[string]*app{
		"the null device": {in: null}, "a pipe": {in: reading}, "a text": {in: strings.NewReader("x\n")},
	} {
		if a.interactive() {
			t.Errorf("%s counts as a terminal", name)
		}
	}
}
