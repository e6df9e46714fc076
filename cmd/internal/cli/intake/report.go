package intake

import (
	"strings"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
)

// Report says what was read of one device, where from, and what was left behind. Its
// JSON form is what import prints for programs.
type Report struct {
	Device string   `json:"device"`
	Files  []string `json:"-"` // as they were given, which may name a person
	Format string   `json:"format"`
	// Start is in local time where that is known, without an offset where the offset
	// is not known, else in UTC; "" where the file tells no time.
	Start     string            `json:"start,omitempty"`
	Samples   int               `json:"samples"`
	LengthS   float64           `json:"length_s"`
	Laps      int               `json:"laps"`
	Pauses    int               `json:"pauses"`
	PausedS   float64           `json:"paused_s"`
	Columns   []Column          `json:"columns"`
	Dropped   []string          `json:"left_behind"`
	Warnings  []string          `json:"warnings"`
	FirstRows []string          `json:"first_rows,omitempty"` // the heading and the first samples, on a dry run
	Recording *recording.Import `json:"-"`
}

// Column is one column of a recording as it will be written.
type Column struct {
	Column     string `json:"column"`
	From       string `json:"from"`
	Conversion string `json:"conversion,omitempty"`
	Values     int    `json:"values"`
}

// previewRows is how many samples a dry run shows.
const previewRows = 5

// report adds the report on a recording, and its warnings.
func (in *Import) report(p piece) {
	got := p.read
	r := reportOf(got, p.device)
	for _, f := range p.files {
		r.Files = append(r.Files, f.name)
	}
	if in.options.DryRun && got.Samples != nil {
		lines := strings.SplitAfterN(string(plaintext.AppendSamples(nil, got.Samples)), "\n", previewRows+2)
		for _, line := range lines[:min(len(lines), previewRows+1)] {
			if line != "" {
				r.FirstRows = append(r.FirstRows, strings.TrimSuffix(line, "\n"))
			}
		}
	}
	in.Reports = append(in.Reports, r)
	for _, w := range got.Warnings {
		in.remark("warning: %s", w)
	}
}

func reportOf(got *recording.Import, device string) Report {
	r := Report{
		Device: device, Format: got.Format,
		Laps: len(got.Laps), Pauses: len(got.Pauses), Columns: []Column{}, Dropped: append([]string{}, got.Dropped...),
		Warnings: append([]string{}, got.Warnings...), Recording: got,
	}
	if n := got.Samples; n != nil {
		r.Samples, r.LengthS = n.Len(), n.Elapsed[n.Len()-1]-n.Elapsed[0]
	} else if len(got.Laps) > 0 {
		r.LengthS = got.Laps[len(got.Laps)-1].EndS
	}
	for _, p := range got.Pauses {
		r.PausedS += p.EndS - p.StartS
	}
	for _, s := range got.Sources {
		r.Columns = append(r.Columns, Column{s.Column, s.From, s.Conversion, s.Values})
	}
	if !got.Start.IsZero() {
		r.Start = localStart(got).Format(DateLayout + "T" + startLayout)
	} else if !got.Local.IsZero() {
		r.Start = got.Local.Format(DateLayout + "T" + localLayout)
	}
	return r
}
