package cli

import (
	"fmt"
	"io/fs"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
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
		Message: fmt.Sprintf("nothing was written: what came of this could not be read back (%s)",
			units.Count(len(ours), "problem")),
	}
}

// onlyTables reports whether all files are derived tables.
func onlyTables(files map[string][]byte) bool {
	for path := range files {
		if !strings.HasPrefix(path, "derived/") {
			return false
		}
	}
	return true
}
