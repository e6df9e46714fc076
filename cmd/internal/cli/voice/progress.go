package voice

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync/atomic"
	"time"
)

// Progress shows on a terminal how far a long run has come. It is one line without
// colour that is written over and then taken away; where the messages go to a file
// or a pipe there is none.
type Progress struct {
	to      io.Writer // nil where nothing is shown
	all     int
	done    atomic.Int64
	started time.Time
	shown   atomic.Int64 // milliseconds after the start; 0 before the first time
}

// showAfter is how long a run may take before it shows anything, and showEvery how long
// a picture stands.
const (
	showAfter = 500 * time.Millisecond
	showEvery = 100 * time.Millisecond
)

// NewProgress shows the progress of so many sessions.
func (c *Console) NewProgress(sessions int) *Progress {
	p := &Progress{all: sessions, started: time.Now()}
	if terminal(c.Err) {
		p.to = c.Err
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

// Step says that one more session is done. Several goroutines may tell.
func (p *Progress) Step() {
	done := p.done.Add(1)
	if p.to == nil {
		return
	}
	now, last := time.Since(p.started).Milliseconds(), p.shown.Load()
	if now < showAfter.Milliseconds() || now-last < showEvery.Milliseconds() || !p.shown.CompareAndSwap(last, now) {
		return
	}
	io.WriteString(p.to, "\r"+p.line(int(done)))
}

// barWidth is how many characters the bar takes, so that the line fits any
// terminal.
const barWidth = 30

func (p *Progress) line(done int) string {
	full := barWidth * min(done, p.all) / max(p.all, 1)
	return fmt.Sprintf("soletrial: [%s%s] %d of %d sessions", strings.Repeat("#", full),
		strings.Repeat(".", barWidth-full), done, p.all)
}

// Clear takes the line away.
func (p *Progress) Clear() {
	if p.to != nil && p.shown.Load() > 0 {
		io.WriteString(p.to, "\r"+strings.Repeat(" ", len(p.line(p.all)))+"\r")
	}
}
