package cli

import (
	"errors"
	"io/fs"
	"os"
	"runtime"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// openDataset opens the dataset's folder, watched from here on: what a command
// writes later it writes only while what it read is still there.
func (a *app) openDataset() (fs.FS, error) {
	if a.reading != nil {
		return a.reading, nil
	}
	root, err := openFolder(a.Dataset)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, voice.Usage("start one with `soletrial init "+a.Dataset+"`, or point at yours with -d", "no dataset at %q", a.Dataset)
	}
	if err != nil {
		return nil, voice.Usage("-d takes a folder", "cannot open %q: %v", a.Dataset, voice.Reason(err))
	}
	a.reading = watch(root)
	return a.reading, nil
}

// openFolder opens a folder. Nothing else is opened: a pipe would wait for
// somebody to write into it.
func openFolder(dir string) (*os.Root, error) {
	info, err := os.Stat(dir)
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return nil, errNoFolder
	}
	return os.OpenRoot(dir)
}

// listFolder lists a folder, and opens nothing else.
func listFolder(dir string) ([]os.DirEntry, error) {
	root, err := openFolder(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return fs.ReadDir(root.FS(), ".")
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
	folder, result, err := a.deriveUnchecked()
	if err == nil {
		err = a.reading.unchanged()
	}
	if err != nil {
		return nil, nil, err
	}
	return folder, result, nil
}

// deriveUnchecked is [app.derived] for who asks later whether the dataset is still
// what was read.
func (a *app) deriveUnchecked() (*plaintext.Folder, *derive.Result, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, nil, err
	}
	workers := runtime.GOMAXPROCS(0)
	folder, problems := plaintext.Open(fsys, yamltext.Read, workers)
	sessions := len(folder.SessionIDs())
	spareMemory(sessions)
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
