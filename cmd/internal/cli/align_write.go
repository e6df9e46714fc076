package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// writeOffsets writes the offsets that do not stay into session.yaml.
func (a *app) writeOffsets(session *trial.Session, found []aligned) error {
	path := session.Folder() + "/session.yaml"
	text, err := os.ReadFile(filepath.Join(a.Dataset, filepath.FromSlash(path)))
	if err != nil {
		return voice.Usage("", "cannot read %q: %v", path, err)
	}
	facts := append([]trial.RecordingFact(nil), session.Facts.Recordings...)
	for _, f := range found {
		if f.confirmed {
			continue
		}
		for i := range facts {
			if facts[i].File == f.fact.File {
				facts[i].OffsetS = f.offsetS
			}
		}
		changed, ok := withOffset(text, f.fact.File, f.offsetS)
		if !ok { // written in a way that cannot be changed in place
			if changed, err = yamltext.SetRecordings(text, facts); err != nil {
				return voice.Usage("", "cannot write the recordings: %v", err)
			}
		}
		text = changed
	}
	changed, err := a.write(map[string][]byte{path: text})
	switch {
	case err != nil:
		return err
	case len(changed) == 0:
		a.Remark("nothing changed")
	case !a.JSON:
		a.Printf("%s\n", path)
		a.Remark("run %s: the blocks now start and end elsewhere in these recordings", a.NextCommand("derive"))
	}
	return nil
}

var fileLine = regexp.MustCompile(`^( *(?:- +)?)file:`)

// withOffset returns a session.yaml with the offset of one recording changed in
// place, or added below its file, so that every comment stays. It is not ok where
// that does not give a text that says just so.
func withOffset(text []byte, file string, offset float64) (changed []byte, ok bool) {
	item := listed(text, file)
	if item == nil {
		return nil, false
	}
	lines := bytes.SplitAfter(text, []byte{'\n'})
	// In the place of the old offset, or in a line of its own below the file, indented as that.
	if old := item.Get("offset_s"); old != nil && old.Kind == plaintext.Scalar && old.Text != "" {
		line, column := lines[old.At.Line-1], old.At.Column-1
		if column > len(line) || !bytes.HasPrefix(line[column:], []byte(old.Text)) {
			return nil, false
		}
		rest := line[column+len(old.Text):]
		lines[old.At.Line-1] = slices.Concat(line[:column], []byte(units.FormatExact(offset)), rest)
	} else {
		at := item.Get("file").At.Line - 1
		start := fileLine.FindSubmatch(lines[at])
		if old != nil || start == nil {
			return nil, false
		}
		end := []byte("\n")
		if bytes.HasSuffix(lines[at], []byte("\r\n")) {
			end = []byte("\r\n")
		}
		added := append(bytes.Repeat([]byte{' '}, len(start[1])), "offset_s: "+units.FormatExact(offset)...)
		lines[at] = append(append(bytes.TrimRight(append([]byte(nil), lines[at]...), "\r\n"), end...),
			append(added, end...)...)
	}
	// Read back: YAML has more ways to write a list than are known here.
	changed = bytes.Join(lines, nil)
	after := listed(changed, file)
	return changed, after != nil && after.Get("offset_s") != nil &&
		after.Get("offset_s").Text == units.FormatExact(offset)
}

// listed returns the item of a recording in the list of a session.yaml, or nil.
func listed(text []byte, file string) *plaintext.Node {
	root, problems := yamltext.Parse(text, "session.yaml")
	if len(problems) > 0 || root.Get("recordings") == nil {
		return nil
	}
	for _, item := range root.Get("recordings").Items {
		if f := item.Get("file"); f != nil && f.Text == file {
			return item
		}
	}
	return nil
}
