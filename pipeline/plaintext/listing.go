package plaintext

import (
	"io"
	"io/fs"
	"slices"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/trial"
)

const sessionsFolder = "sessions"

// listing is what a dataset folder holds, apart from what is passed over.
type listing struct {
	top      []string // files at the top
	sessions []string // ids
	files    map[string]*sessionFiles
	strays   []trial.Problem // what does not belong into a dataset and is left alone
}

// sessionFiles are the files in a session's folder.
type sessionFiles struct {
	names  []string        // that belong there; until the session is read, all that are there
	strays []trial.Problem // the others
}

// topFiles are the inputs at the top of a dataset.
var topFiles = []string{datasetFile, runnersFile, shoesFile, venuesFile}

// namesInSession are the names that mean something in a session's folder, beside those
// of its recordings.
var namesInSession = []string{sessionFile, planFile, FieldLogFile, blocksFile,
	jsonName(sessionFile), jsonName(planFile), jsonName(FieldLogFile)}

// topLevelNames are all names that mean something at the top.
var topLevelNames = append([]string{sessionsFolder, "derived", "schemas"}, topFiles...)

// list walks the dataset and reports what does not belong there.
func list(fsys fs.FS, workers int, r *report) listing {
	found := listing{files: map[string]*sessionFiles{}}
	for _, entry := range entries(fsys, ".", r) {
		name := entry.Name()
		switch {
		case ignored(name) || name == jsonName(datasetFile) || publishedSite(fsys, entry):
		case !isRegular(entry, name, r):
		case name == sessionsFolder && entry.IsDir():
			found.listSessions(fsys, workers, r)
		case slices.Contains(topFiles, name) && !entry.IsDir():
			found.top = append(found.top, name)
		case slices.Contains(topFiles, name):
			r.file(name, folderInPlace, "is a folder, not a file")
		default:
			if near := english.Suggest(name, topLevelNames); near != "" {
				r.file(name, near, "does not belong in a dataset")
				continue
			}
			found.strays = append(found.strays, stray(name))
		}
	}
	return found
}

// folderInPlace is the hint where a folder has the name of a file.
const folderInPlace = "move the folder away and put the file there"

// stray is the note on a file that is left alone.
func stray(path string) trial.Problem {
	return trial.Problem{At: trial.Position{File: path}, Message: "is no part of the dataset and is ignored",
		Hint: "move it out, or start its name with a dot"}
}

// publishedSite reports whether an entry is a site that publish wrote into the
// dataset's folder.
func publishedSite(fsys fs.FS, entry fs.DirEntry) bool {
	if !entry.IsDir() {
		return false
	}
	_, err := fs.Stat(fsys, entry.Name()+"/data/index.json")
	return err == nil
}

// Strays are files that do not belong into the dataset and are ignored; those of a
// session's folder are known once the session was read.
func (f *Folder) Strays() []trial.Problem {
	all := slices.Clone(f.found.strays)
	for _, id := range f.found.sessions {
		all = append(all, f.found.files[id].strays...)
	}
	return Sorted(all)
}

func (found *listing) listSessions(fsys fs.FS, workers int, r *report) {
	// Which folders are sessions.
	for _, entry := range entries(fsys, sessionsFolder, r) {
		id := entry.Name()
		path := sessionsFolder + "/" + id
		switch {
		case hidden(id) || !isRegular(entry, path, r):
		case !entry.IsDir():
			found.strays = append(found.strays, stray(path))
		case !isID(id, slugLetters):
			r.file(path, "rename the folder: "+slugHint, "%q is not a session id", id)
		case !Portable(id):
			r.file(path, portableHint, "not every system allows a folder named %q", id)
		default:
			found.sessions = append(found.sessions, id)
		}
	}
	// List each on its own, then gather in order.
	type sessionListing struct {
		files    sessionFiles
		problems report
	}
	listings := parallel.Map(workers, len(found.sessions), func(i int) (l sessionListing) {
		l.files = listSession(fsys, sessionsFolder+"/"+found.sessions[i], &l.problems)
		return l
	})
	for i, id := range found.sessions {
		found.files[id] = &listings[i].files
		for _, problem := range listings[i].problems.problems {
			r.add(problem)
		}
	}
}

// listSession lists the files in a session's folder; folders in it are strays, unless
// they have the name of a file that belongs there.
func listSession(fsys fs.FS, folder string, r *report) (files sessionFiles) {
	for _, entry := range entries(fsys, folder, r) {
		name := entry.Name()
		switch {
		case hidden(name) || !isRegular(entry, folder+"/"+name, r):
		case entry.IsDir() && slices.Contains(namesInSession, name):
			r.file(folder+"/"+name, folderInPlace, "is a folder, not a file")
		case entry.IsDir():
			files.strays = append(files.strays, stray(folder+"/"+name))
		default:
			files.names = append(files.names, name)
		}
	}
	return files
}

// entries lists a folder by name. The file system lists its folders itself, as every one that
// is read here does, so that the explorer need not hold what would do it for one that cannot.
func entries(fsys fs.FS, folder string, r *report) []fs.DirEntry {
	lister, able := fsys.(fs.ReadDirFS)
	if !able {
		r.file(folder, "", "cannot be listed: a dataset is read through a file system with ReadDir, such as os.DirFS")
		return nil
	}
	list, err := lister.ReadDir(folder)
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
	switch name {
	case "derived", "schemas", "hooks", "CITATION.cff", "datapackage.json", "dataset.zip", "all.sha256",
		"index.html", "index.json":
		return true
	}
	if hidden(name) {
		return true
	}
	return slices.ContainsFunc([]string{"README", "LICENSE", "LICENCE"},
		func(start string) bool { return strings.HasPrefix(name, start) })
}

// jsonName is the name of the JSON that stands beside a YAML file once published.
func jsonName(yamlName string) string { return strings.TrimSuffix(yamlName, ".yaml") + ".json" }

// NotMentioned is the problem with a recording in a session's folder that session.yaml
// does not list: an import was interrupted, or a line was lost.
const NotMentioned = "is not mentioned in session.yaml"

// checkSessionNames reports recordings in a session's folder that session.yaml does
// not mention, and those that it mentions and that are not there. Other files that
// nothing mentions are strays.
func (f *Folder) checkSessionNames(session *trial.Session, n *Node, r *report) {
	files := f.found.files[session.ID]
	known := slices.Clone(namesInSession)
	for i, fact := range session.Facts.Recordings {
		if fact.File != "" && !strings.ContainsAny(fact.File, `/\`) && !slices.Contains(files.names, fact.File) {
			binder{r}.complain(n.Get("recordings").Items[i].at("file"), "file",
				suggestOr(fact.File, files.names, "import it again, or remove it from the list"),
				"%q is not in the session's folder",
				fact.File)
		}
		known = append(known, fact.File)
	}
	var ours []string
	for _, name := range files.names {
		path := session.Folder() + "/" + name
		switch {
		case slices.Contains(known, name):
			ours = append(ours, name)
		case f.recorded(path):
			r.file(path, "list it under recordings, or move it out of the dataset", NotMentioned)
		default:
			files.strays = append(files.strays, stray(path))
		}
	}
	files.names = ours
}

// recorded reports whether a file is a recording in the form of a dataset.
func (f *Folder) recorded(path string) bool {
	file, err := f.fsys.Open(path)
	if err != nil {
		return false
	}
	defer file.Close()
	head := make([]byte, len(trial.ElapsedColumn)+1)
	n, _ := io.ReadFull(file, head)
	return string(head[:n]) == trial.ElapsedColumn+","
}
