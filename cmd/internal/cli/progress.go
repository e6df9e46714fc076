package cli

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync/atomic"
	"time"
)

// progress shows on a terminal how far a long run has come. It is one line without
// colour that is written over and then taken away; where the messages go to a file
// or a pipe there is none.
type progress struct {
	to      io.Writer // nil where nothing is shown
	all     int
	done    atomic.Int64
	started time.Time
	shown   atomic.Int64 // milliseconds after the start; 0 before the first time
}

// patience is how long a run may take before it shows anything, and pause how long
// a picture stands.
const (
	patience = 500 * time.Millisecond
	pause    = 100 * time.Millisecond
)

// newProgress shows the progress of so many sessions.
func (a *app) newProgress(sessions int) *progress {
	p := &progress{all: sessions, started: time.Now()}
	if terminal(a.err) {
		p.to = a.err
	}
	return p
}

// terminal reports whether what is written is seen at once by somebody.
func terminal(w io.Writer) bool {
	file, is := w.(*os.File)
	if !is || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := file.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

// step tells that one more session is done. Several goroutines may tell.
func (p *progress) step() {
	done := p.done.Add(1)
	if p.to == nil {
		return
	}
	now, last := time.Since(p.started).Milliseconds(), p.shown.Load()
	if now < patience.Milliseconds() || now-last < pause.Milliseconds() || !p.shown.CompareAndSwap(last, now) {
		return
	}
	io.WriteString(p.to, "\r"+p.line(int(done)))
}

// barWidth is how many characters the bar takes, so that the line fits any
// terminal.
const barWidth = 30

func (p *progress) line(done int) string {
	full := barWidth * min(done, p.all) / max(p.all, 1)
	return fmt.Sprintf("soletrial: [%s%s] %d of %d sessions", strings.Repeat("#", full), strings.Repeat(".", barWidth-full), done, p.all)
}

// clear takes the line away.
func (p *progress) clear() {
	if p.to != nil && p.shown.Load() > 0 {
		io.WriteString(p.to, "\r"+strings.Repeat(" ", len(p.line(p.all)))+"\r")
	}
}
