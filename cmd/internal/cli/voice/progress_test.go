package voice

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

func TestProgressLine(t *testing.T) {
	for done, want := range map[int]string{
		0:  "soletrial: [..............................] 0 of 40 sessions",
		1:  "soletrial: [..............................] 1 of 40 sessions",
		20: "soletrial: [###############...............] 20 of 40 sessions",
		40: "soletrial: [##############################] 40 of 40 sessions",
	} {
		if got := (&Progress{all: 40}).line(done); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := (&Progress{}).line(0); !strings.HasSuffix(got, "0 of 0 sessions") {
		t.Errorf("of nothing: %q", got)
	}
}

// A run shows nothing while it is short, then a line now and then, and takes away
// what it showed.
func TestProgressComesLateAndGoes(t *testing.T) {
	var screen bytes.Buffer
	p := &Progress{to: &screen, all: 3, started: time.Now()}
	p.Step()
	p.Clear()
	if screen.Len() > 0 {
		t.Errorf("a short run shows %q", &screen)
	}
	p.started = p.started.Add(-time.Hour)
	p.Step()
	p.Step() // at once: the picture of before stands
	line := "\rsoletrial: [####################..........] 2 of 3 sessions"
	if got := screen.String(); got != line {
		t.Errorf("%q, want %q", got, line)
	}
	p.Clear()
	if got, want := screen.String(), line+"\r"+strings.Repeat(" ", len(line)-1)+"\r"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// However many workers tell, each session counts once.
func TestProgressCounts(t *testing.T) {
	p := (&Console{Err: &bytes.Buffer{}}).NewProgress(900)
	var all sync.WaitGroup
	for range 3 {
		all.Go(func() {
			for range 300 {
				p.Step()
			}
		})
	}
	all.Wait()
	if p.done.Load() != 900 || p.to != nil {
		t.Errorf("%d of 900, shown to %v", p.done.Load(), p.to)
	}
}

// Only a terminal is shown anything.
func TestProgressIsForTerminals(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "log"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	null, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	reader, pipe, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	defer pipe.Close()
	for name, to := range map[string]*os.File{"a file": file, "nowhere": null, "a pipe": pipe} {
		if terminal(to) {
			t.Errorf("%s counts as a terminal", name)
		}
	}
	screen, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("no terminal to be had here: ", err)
	}
	defer screen.Close()
	t.Setenv("TERM", "xterm")
	if !terminal(screen) {
		t.Error("a terminal does not count as one")
	}
	t.Setenv("TERM", "dumb")
	if terminal(screen) {
		t.Error("a terminal that cannot go back counts as one that can")
	}
}
