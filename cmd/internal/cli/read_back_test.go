package cli

import (
	"errors"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
)

// What the strict reader would not take of a recording names the file that the person gave,
// and what to do with it; of another file it stays as it was.
func TestReadBackNamesTheSource(t *testing.T) {
	files := map[string][]byte{
		"dataset.yaml":               []byte("title: A hall\n"),
		"shoes.csv":                  []byte("id,label\na,A\n"),
		"sessions/monday/blocks.csv": []byte("block,shoe,start_s,end_s\n1,a,0.0,300.0,7\n"),
		"sessions/monday/foot.csv":   []byte("elapsed_s,power_w\n0.0,250\n1.0,0x1A\n"),
		"sessions/monday/session.yaml": []byte("date: 2026-05-04\neffort: power\ntarget: 250\n" +
			"recordings: [{file: foot.csv}]\n"),
	}
	err := readBack(nil, files)
	in := &intake.Import{Session: trial.Session{ID: "monday"},
		Reports: []intake.Report{{Device: "foot", Files: []string{"morning.csv"}}}}
	var failure *voice.Failure
	if err = nameSources(err, in); !errors.As(err, &failure) || failure.Code != voice.ExitUsage {
		t.Fatalf("%v", err)
	}
	named := 0
	for _, p := range plaintext.Sorted(failure.Problems) {
		source := strings.HasSuffix(p.Message, `, read from "morning.csv"`)
		if source != (p.At.File == "sessions/monday/foot.csv") {
			t.Errorf("%v", p)
		}
		if source {
			named++
		}
	}
	if named == 0 || len(failure.Problems) == named ||
		!strings.HasPrefix(failure.Hint, `correct these rows in "morning.csv", or leave the column out`) {
		t.Errorf("%v, hint %q", failure.Problems, failure.Hint)
	}
	if err := nameSources(errors.New("disk full"), in); err.Error() != "disk full" {
		t.Errorf("another error: %v", err)
	}
}
