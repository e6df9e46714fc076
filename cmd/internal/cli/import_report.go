package cli

import (
	"bytes"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/units"
)

// importJSON is what import says about one file to programs.
type importJSON struct {
	Device   string       `json:"device"`
	Format   string       `json:"format"`
	Start    string       `json:"start,omitempty"` // local time where it is known, without an offset where that is not known, else UTC
	Samples  int          `json:"samples"`
	LengthS  float64      `json:"length_s"`
	Laps     int          `json:"laps"`
	Pauses   int          `json:"pauses"`
	PausedS  float64      `json:"paused_s"`
	Columns  []columnJSON `json:"columns"`
	Dropped  []string     `json:"left_behind"`
	Warnings []string     `json:"warnings"`
	FirstRow []string     `json:"first_rows,omitempty"` // the heading and the first samples, with --dry-run
}

type columnJSON struct {
	Column     string `json:"column"`
	From       string `json:"from"`
	Conversion string `json:"conversion,omitempty"`
	Values     int    `json:"values"`
}

// firstRows is how many samples a preview shows.
const firstRows = 5

// report says what was read, where from, and what was left behind.
func (a *app) report(in *intake, got *recording.Import, device string) {
	r := reportOf(got, device)
	if in.look {
		lines := strings.SplitAfterN(string(plaintext.AppendSamples(nil, got.Samples)), "\n", firstRows+2)
		for _, line := range lines[:min(len(lines), firstRows+1)] {
			if line != "" {
				r.FirstRow = append(r.FirstRow, strings.TrimSuffix(line, "\n"))
			}
		}
	}
	in.reports = append(in.reports, r)
	if !a.JSON {
		a.printReport(r, got)
	}
	for _, w := range got.Warnings {
		a.Remark("warning: %s", w)
	}
}

func reportOf(got *recording.Import, device string) importJSON {
	n := got.Samples.Len()
	r := importJSON{Device: device, Format: got.Format, Samples: n, LengthS: got.Samples.Elapsed[n-1] - got.Samples.Elapsed[0], Laps: len(got.Laps), Pauses: len(got.Pauses),
		Columns: []columnJSON{}, Dropped: append([]string{}, got.Dropped...), Warnings: append([]string{}, got.Warnings...)}
	for _, p := range got.Pauses {
		r.PausedS += p.EndS - p.StartS
	}
	for _, s := range got.Sources {
		r.Columns = append(r.Columns, columnJSON{s.Column, s.From, s.Conversion, s.Values})
	}
	if !got.Start.IsZero() {
		r.Start = localStart(got).Format(dateLayout + "T" + startLayout)
	} else if !got.Local.IsZero() {
		r.Start = got.Local.Format(dateLayout + "T" + localLayout)
	}
	return r
}

func (a *app) printReport(r importJSON, got *recording.Import) {
	start := "no start time"
	if !got.Local.IsZero() {
		start = "from " + got.Local.Format("2006-01-02 15:04:05") + " local time"
	}
	if !got.Start.IsZero() {
		start = "from " + got.Start.Format("2006-01-02 15:04:05 MST")
	}
	a.Printf("%s: %s, %d samples, %s, %s long, %s\n", r.Device, r.Format, r.Samples, start, units.FormatClock(r.LengthS), units.Count(r.Laps, "lap"))
	if got.Zone != nil && !got.Start.IsZero() {
		a.Printf("  local start     %s\n", localStart(got).Format(startLayout))
	}
	if r.Pauses > 0 {
		a.Printf("  timer stopped   %s, %.0f s together\n", units.Count(r.Pauses, "time"), r.PausedS)
	}
	for _, s := range r.Columns {
		conversion := ""
		if s.Conversion != "" {
			conversion = ", " + s.Conversion
		}
		a.Printf("  %-15s %d values from %s%s\n", s.Column, s.Values, s.From, conversion)
	}
	for _, d := range r.Dropped {
		a.Printf("  left behind: %s\n", strings.TrimSuffix(d, "."))
	}
	for _, row := range r.FirstRow {
		a.Printf("  | %s\n", row)
	}
}

// preview ends a dry run: it lists the files that would be written.
func (a *app) preview(in *intake) error {
	type fileJSON struct {
		Path   string `json:"path"`
		Change string `json:"change"`
	}
	files := []fileJSON{}
	for _, path := range slices.Sorted(maps.Keys(in.files)) {
		change, err := a.change(path, in.files[path])
		if err != nil {
			return err
		}
		files = append(files, fileJSON{path, change})
	}
	if a.JSON {
		return a.PrintJSON(map[string]any{"recordings": in.reports, "would_write": files})
	}
	for _, f := range files {
		a.Printf("would write %s: %s\n", f.Path, f.Change)
	}
	a.Remark("nothing was written: this was a dry run")
	return nil
}

// change says what writing a file would do.
func (a *app) change(path string, text []byte) (string, error) {
	old, err := os.ReadFile(filepath.Join(a.Dataset, filepath.FromSlash(path)))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "new", nil
	case err != nil:
		return "", voice.Usage("", "cannot read %q: %v", path, err)
	case bytes.Equal(old, text):
		return "no change", nil
	case strings.HasSuffix(path, ".csv") && !strings.HasSuffix(path, "/blocks.csv"):
		return "holds something else; it would take --force", nil
	}
	return "changed", nil
}
