package plaintext

import (
	"io/fs"
	"slices"
	"strings"

	"soletrial/pipeline/parallel"
	"soletrial/pipeline/trial"
)

const sessionsFolder = "sessions"

// listing is what a dataset folder holds, apart from what is passed over.
type listing struct {
	top      []string            // files at the top
	sessions []string            // ids
	files    map[string][]string // names of the files in each session's folder
}

// topFiles are the inputs at the top of a dataset.
var topFiles = []string{datasetFile, runnersFile, shoesFile, venuesFile}

// topLevelNames are all names that mean something at the top.
var topLevelNames = append([]string{sessionsFolder, "derived", "schemas"}, topFiles...)

// list walks the dataset and reports what does not belong there.
func list(fsys fs.FS, workers int, r *report) listing {
	found := listing{files: map[string][]string{}}
	for _, entry := range entries(fsys, ".", r) {
		name := entry.Name()
		switch {
		case ignored(name) || name == jsonName(datasetFile):
		case !isRegular(entry, name, r):
		case name == sessionsFolder && entry.IsDir():
			found.listSessions(fsys, workers, r)
		case slices.Contains(topFiles, name) && !entry.IsDir():
			found.top = append(found.top, name)
		case slices.Contains(topFiles, name):
			r.file(name, "move the folder away and put the file there", "is a folder, not a file")
		default:
			r.file(name, suggestOr(name, topLevelNames, "move it out, or start its name with a dot"),
				"does not belong in a dataset")
		}
	}
	return found
}

func (found *listing) listSessions(fsys fs.FS, workers int, r *report) {
	for _, entry := range entries(fsys, sessionsFolder, r) {
		id := entry.Name()
		path := sessionsFolder + "/" + id
		switch {
		case hidden(id) || !isRegular(entry, path, r):
		case !entry.IsDir():
			r.file(path, "put it into the folder of its session", "does not belong beside the session folders")
		case !isID(id, slugLetters):
			r.file(path, "rename the folder: "+slugHint, "%q is not a session id", id)
		case !Portable(id):
			r.file(path, portableHint, "not every system can keep a folder of the name %q", id)
		default:
			found.sessions = append(found.sessions, id)
		}
	}
	type sessionListing struct {
		names    []string
		problems report
	}
	listings := parallel.Map(workers, len(found.sessions), func(i int) (l sessionListing) {
		l.names = sessionNames(fsys, sessionsFolder+"/"+found.sessions[i], &l.problems)
		return l
	})
	for i, id := range found.sessions {
		found.files[id] = listings[i].names
		for _, problem := range listings[i].problems.problems {
			r.add(problem)
		}
	}
}

// sessionNames lists the files in a session's folder.
func sessionNames(fsys fs.FS, folder string, r *report) []string {
	var names []string
	for _, entry := range entries(fsys, folder, r) {
		name := entry.Name()
		switch {
		case hidden(name) || !isRegular(entry, folder+"/"+name, r):
		case entry.IsDir():
			r.file(folder+"/"+name, "put its files into the session's own folder",
				"a session has no folders of its own")
		default:
			names = append(names, name)
		}
	}
	return names
}

// entries lists a folder by name.
func entries(fsys fs.FS, folder string, r *report) []fs.DirEntry {
	list, err := fs.ReadDir(fsys, folder)
	if err != nil {
		r.file(folder, "", "cannot be read: %v", err)
	}
	return list
}

// isRegular reports whether an entry is a file or a folder in its own right.
func isRegular(entry fs.DirEntry, path string, r *report) bool {
	if entry.IsDir() || entry.Type().IsRegular() {
		return true
	}
	r.notRegular(path)
	return false
}

func hidden(name string) bool { return strings.HasPrefix(name, ".") }

// ignored reports whether an entry at the top is nobody's input: generated, for
// readers only, or put there by publish.
func ignored(name string) bool {
	if hidden(name) || slices.Contains([]string{"derived", "schemas", "CITATION.cff", "datapackage.json", "dataset.zip",
		"all.sha256", "index.html", "index.json"}, name) {
		return true
	}
	return slices.ContainsFunc([]string{"README", "LICENSE", "LICENCE"},
		func(start string) bool { return strings.HasPrefix(name, start) })
}

// jsonName is the name of the JSON that stands beside a YAML file once published.
func jsonName(yamlName string) string { return strings.TrimSuffix(yamlName, ".yaml") + ".json" }

// NotMentioned is the problem with a file in a session's folder that session.yaml
// does not list.
const NotMentioned = "is not mentioned in session.yaml"

// checkSessionNames reports files in a session's folder that nothing mentions,
// and recordings that are mentioned but not there.
func checkSessionNames(session *trial.Session, n *Node, names []string, r *report) {
	known := []string{sessionFile, planFile, FieldLogFile, blocksFile,
		jsonName(sessionFile), jsonName(planFile), jsonName(FieldLogFile)}
	for i, fact := range session.Facts.Recordings {
		if fact.File != "" && !strings.ContainsAny(fact.File, `/\`) && !slices.Contains(names, fact.File) {
			binder{r}.complain(n.Get("recordings").Items[i].at("file"), "file", suggestOr(fact.File, names,
				"import it again, or take it off the list"), "%q is not in the session's folder", fact.File)
		}
		known = append(known, fact.File)
	}
	for _, name := range names {
		if !slices.Contains(known, name) {
			r.file(session.Folder()+"/"+name, "list it under recordings, or move it out of the dataset", NotMentioned)
		}
	}
}
