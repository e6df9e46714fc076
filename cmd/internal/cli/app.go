package cli

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// app is one run of the program: its console, and the dataset while it is read.
type app struct {
	voice.Console
	folder  *dataset.Folder // of the dataset, since it was opened; nil before
	in      io.Reader       // what the person types
	answers *bufio.Reader   // over in, once a question was asked
}

// openDataset opens the dataset's folder: what a command writes later it writes only
// while what it read is still there.
func (a *app) openDataset() (fs.FS, error) {
	if a.folder != nil {
		return a.folder, nil
	}
	a.findDataset()
	folder, err := dataset.Open(a.Dataset)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, voice.Usage("start one with `soletrial init "+a.Dataset+"`, or point at yours with -d",
			"no dataset at %q", a.Dataset)
	}
	if err != nil {
		return nil, voice.Usage("-d takes a folder", "cannot open %q: %v", a.Dataset, voice.Reason(err))
	}
	a.folder = folder
	return a.folder, nil
}

// exclusively lets a command read and write the dataset while no other one writes there.
// What was read before is read again.
func (a *app) exclusively(command string, do func() error) error {
	if _, err := a.openDataset(); err != nil {
		return err
	}
	a.folder.Close()
	a.folder = nil
	release, err := dataset.Lock(a.Dataset, command, a.sayWaiting(a.Dataset))
	if err != nil {
		return err
	}
	defer release()
	return do()
}

// sayWaiting says which process is waited for.
func (a *app) sayWaiting(folder string) func(dataset.Writer) {
	return func(w dataset.Writer) { a.Remark("waiting: %v writes to %q", w, folder) }
}

// findDataset takes the dataset that the current folder is in, where none is named:
// the nearest folder upwards with a dataset.yaml, else the usual one below.
func (a *app) findDataset() {
	if a.Dataset != "" {
		return
	}
	a.Implicit = true
	a.Dataset = voice.DefaultDataset
	if dataset.Exists(filepath.Join(a.Dataset, "dataset.yaml")) {
		return
	}
	here, err := os.Getwd()
	if err != nil {
		return
	}
	for up, dir := ".", here; ; up, dir = filepath.Join("..", up), filepath.Dir(dir) {
		if dataset.Exists(filepath.Join(dir, "dataset.yaml")) {
			a.Dataset = up
			return
		}
		if dir == filepath.Dir(dir) {
			return
		}
	}
}

// read reads the dataset's text, all but the samples.
func (a *app) read() (*plaintext.Folder, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, err
	}
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		return nil, voice.Unreadable(problems)
	}
	return folder, nil
}

// derived derives everything of the dataset. All problems of the text, those in the
// recordings too, are reported in one run; and so is a dataset that changed while it
// was read, of which there is no result.
func (a *app) derived() (*plaintext.Folder, *derive.Result, error) {
	text, result, err := a.deriveUnchecked()
	if err == nil {
		err = a.folder.Unchanged()
	}
	if err != nil {
		return nil, nil, err
	}
	return text, result, nil
}

// deriveUnchecked is [app.derived] without the check that the dataset is still what was
// read, which the caller makes later.
func (a *app) deriveUnchecked() (*plaintext.Folder, *derive.Result, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, nil, err
	}
	workers := runtime.GOMAXPROCS(0)
	folder, problems := plaintext.Open(fsys, yamltext.Read, workers)
	sessions := len(folder.SessionIDs())
	collectLess(sessions)
	bar := a.NewProgress(sessions)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{Workers: workers, Progress: bar.Step})
	bar.Clear()
	if err != nil {
		return nil, nil, voice.Usage("", "cannot read the dataset: %v", err)
	}
	if len(problems) > 0 {
		return nil, nil, voice.Unreadable(problems)
	}
	return folder, result, nil
}

// write writes files of the dataset, unless the dataset is no longer what this command
// read. It returns the paths it changed.
func (a *app) write(files map[string][]byte) (changed []string, err error) {
	if err := readBack(a.folder, files); err != nil {
		return nil, err
	}
	return dataset.Write(a.Dataset, files, a.folder.Unchanged)
}

// collectLess lets garbage lie while there is little of it, which saves a tenth of
// the time, and has it taken away at once beyond a bound, which rises with the
// sessions: their results take room to the end.
func collectLess(sessions int) {
	const bound, each = 260 << 20, 25_000
	boundMemory(max(bound, int64(sessions)*each))
}

// boundMemory sets the bound of [collectLess]. The usual variables of the runtime overrule it.
func boundMemory(bytes int64) {
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(400)
		debug.SetMemoryLimit(bytes)
	}
}

// checkOutside refuses a file inside the dataset, where it does not belong.
func (a *app) checkOutside(flag, path string) error {
	if path == "" {
		return nil
	}
	dir, errDir := filepath.Abs(a.Dataset)
	file, errFile := filepath.Abs(path)
	if errDir != nil || errFile != nil {
		return voice.Usage("", "cannot tell where %q is", path)
	}
	if info, err := os.Stat(filepath.Dir(file)); err != nil || !info.IsDir() {
		return voice.Usage("make the folder first", "%s: no folder %q", flag, filepath.Dir(path))
	}
	if inside, err := filepath.Rel(dir, file); err == nil && filepath.IsLocal(inside) {
		return voice.Usage("choose a place outside the dataset",
			"%s: %q is inside the dataset", flag, path)
	}
	return nil
}
