package export

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/flat"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// source is a dataset's folder and what it is called in the tables.
type source struct{ name, folder string }

// namedSources reads arguments of the form FOLDER or NAME=FOLDER. Two datasets may not have
// one name: their rows would be mixed up.
func namedSources(args []string) ([]source, error) {
	var sources []source
	folders := map[string]string{}
	for _, arg := range args {
		s := source{folder: arg}
		if name, folder, named := strings.Cut(arg, "="); named && !dataset.Exists(arg) {
			s = source{name, folder}
		} else if whole, err := filepath.Abs(arg); err == nil {
			s.name = filepath.Base(whole)
		}
		if s.name == "" || strings.ContainsAny(s.name, `/\`) || !plaintext.Portable(s.name) {
			return nil, voice.Usage("give it a plain one, such as ann=data", "%q has no usable name for a dataset", arg)
		}
		if other, taken := folders[s.name]; taken {
			return nil, voice.Usage("give each a name of its own, such as ann="+s.folder,
				"%q and %q would both be called %q", other, s.folder, s.name)
		}
		folders[s.name] = s.folder
		sources = append(sources, s)
	}
	return sources, nil
}

func folders(sources []source) []string {
	var list []string
	for _, s := range sources {
		list = append(list, s.folder)
	}
	return list
}

// summary counts what was written.
type summary struct {
	Path     string
	Files    []string // relative to Path; none for a flat table
	Rows     int
	Sessions int // with a recording
	Datasets int
	Without  int // sessions without a recording
}

func (s *summary) add(t summary) {
	s.Files = append(s.Files, t.Files...)
	s.Rows += t.Rows
	s.Sessions += t.Sessions
	s.Datasets += t.Datasets
	s.Without += t.Without
}

// eachRecording gives the recordings of a dataset to a function one after the other, and
// counts. All problems of the text come together, with the folder before their names; the
// other errors are a [voice.Failure] or that of the function.
func (s source) eachRecording(workers int, visit func(*flat.Recording) error) (
	done summary, problems []trial.Problem, err error,
) {
	// Read and checked as soletrial does.
	fsys, err := dataset.Open(s.folder)
	if err != nil {
		return summary{}, nil, voice.Usage("name the folder of a dataset", "cannot open %q: %v", s.folder,
			voice.Reason(err))
	}
	defer fsys.Close()
	folder, problems := plaintext.Open(fsys, yamltext.Read, workers)
	sessions, problems, err := derive.Blocks(folder, problems, derive.Options{Workers: workers})
	if err != nil {
		return summary{}, nil, voice.Usage("", "cannot read %q: %v", s.folder, err)
	}
	if len(problems) > 0 {
		return summary{}, s.placed(problems), nil
	}
	// Session by session.
	done.Datasets = 1
	for i := range sessions {
		session := &folder.Dataset.Sessions[i]
		recordings, problems := folder.Recordings(session)
		if len(problems) > 0 { // it was sound a moment ago
			return summary{}, s.placed(problems), nil
		}
		if len(recordings) == 0 {
			done.Without++
			continue
		}
		done.Sessions++
		parts := flat.Recordings(s.name, &folder.Dataset, session, &sessions[i], recordings)
		for j := range parts {
			if err := visit(&parts[j]); err != nil {
				return summary{}, nil, err
			}
		}
	}
	return done, nil, fsys.Unchanged()
}

// placed names the files of problems from where the program runs.
func (s source) placed(problems []trial.Problem) []trial.Problem {
	for i := range problems {
		problems[i].At.File = filepath.ToSlash(filepath.Join(s.folder, problems[i].At.File))
	}
	return problems
}

// print says what was written.
func (s *summary) print(console *voice.Console) error {
	if s.Without > 0 {
		console.Remark("%s without a recording %s not in it: block means written by hand are in blocks.csv",
			counted(s.Without, "session"), are(s.Without))
	}
	if console.JSON {
		return console.PrintJSON(map[string]any{"path": s.Path, "files": append([]string{}, s.Files...),
			"rows": s.Rows, "sessions": s.Sessions, "datasets": s.Datasets, "sessions_without_recording": s.Without})
	}
	files := ""
	if len(s.Files) > 0 {
		files = counted(len(s.Files), "file") + ", "
	}
	console.Printf("%s: %s%s of %s in %s\n", s.Path, files, counted(s.Rows, "row"), counted(s.Sessions, "session"),
		counted(s.Datasets, "dataset"))
	return nil
}

// nothing is the failure where no dataset has a recording.
func (s *summary) nothing() error {
	if s.Rows > 0 {
		return nil
	}
	return voice.Usage("block means written by hand are in derived/blocks.csv, which other programs read as it is",
		"no session has a recording")
}

// counted writes a number with its noun.
func counted(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return strconv.Itoa(n) + " " + noun
}

func are(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

func makeFolder(path string) error { return os.MkdirAll(path, 0o755) }
