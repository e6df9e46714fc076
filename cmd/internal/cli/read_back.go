package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/english"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/units"
)

// readBack reads the dataset as it would be with files written, the sessions that
// they belong to with their samples, and refuses what could not be read: a command
// writes nothing that the next one would not take.
func readBack(fsys fs.FS, files map[string][]byte) error {
	if onlyTables(files) {
		return nil // they are made of what was read, and are never read
	}
	folder, problems := plaintext.Read(dataset.Overlay(fsys, files), yamltext.Read)
	for i := range folder.Dataset.Sessions {
		session := &folder.Dataset.Sessions[i]
		for _, fact := range session.Facts.Recordings {
			if _, ours := files[session.Folder()+"/"+fact.File]; ours {
				_, found := folder.Samples(session, fact)
				problems = append(problems, found...)
			}
		}
	}
	ours := problems[:0]
	for _, p := range problems {
		if _, written := files[p.At.File]; written {
			ours = append(ours, p)
		}
	}
	if len(ours) == 0 {
		return nil
	}
	return &voice.Failure{
		Code:     voice.ExitUsage,
		Problems: plaintext.Sorted(ours),
		Message: fmt.Sprintf("nothing was written: the result could not be read back (%s)",
			units.Count(len(ours), "problem")),
	}
}

// onlyTables reports whether all files are what derive writes.
func onlyTables(files map[string][]byte) bool {
	for path := range files {
		if !strings.HasPrefix(path, "derived/") && path != datapackage.FileName &&
			!strings.HasPrefix(path, datapackage.SchemaFolder) {
			return false
		}
	}
	return true
}

// nameSources says, of what could not be read back, which file that the person gave it came
// from, and what to do: the recording in the session was never written.
func nameSources(err error, in *intake.Import) error {
	var failure *voice.Failure
	if !errors.As(err, &failure) {
		return err
	}
	var files []string
	for _, r := range in.Reports {
		made := in.Session.Folder() + "/" + r.Device + ".csv"
		for i := range failure.Problems {
			p := &failure.Problems[i]
			if p.At.File != made {
				continue
			}
			source := english.List(quotedAll(r.Files), "and")
			p.Message += ", read from " + source
			if !slices.Contains(files, source) {
				files = append(files, source)
			}
		}
	}
	if len(files) > 0 {
		failure.Hint = "correct these rows in " + english.List(files, "and") +
			", or leave the column out (--map says which column is read), and import again"
	}
	return failure
}

// quotedAll quotes every text.
func quotedAll(texts []string) []string {
	quoted := make([]string, len(texts))
	for i, text := range texts {
		quoted[i] = strconv.Quote(text)
	}
	return quoted
}
