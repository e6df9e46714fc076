package cli

import (
	"errors"
	"io/fs"
	"os"

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
	root, err := os.OpenRoot(a.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, usage("start one with `soletrial init "+a.dir+"`, or point at yours with -d", "no dataset at %q", a.dir)
	}
	if err != nil {
		return nil, usage("-d takes a folder", "cannot open %q: %v", a.dir, err)
	}
	a.reading = watch(root)
	return a.reading, nil
}

// read reads the dataset's text, all but the samples.
func (a *app) read() (*plaintext.Folder, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, err
	}
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		return nil, unreadable(problems)
	}
	return folder, nil
}

// derived reads the dataset and derives everything. All problems of the text,
// those in the recordings too, are reported in one run.
func (a *app) derived() (*plaintext.Folder, *derive.Result, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, nil, err
	}
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		for i := range folder.Dataset.Sessions {
			_, more := folder.Recordings(&folder.Dataset.Sessions[i])
			problems = append(problems, more...)
		}
		return nil, nil, unreadable(problems)
	}
	result, problems, err := derive.Run(folder)
	if err != nil {
		return nil, nil, usage("", "cannot read the dataset: %v", err)
	}
	if len(problems) > 0 {
		return nil, nil, unreadable(problems)
	}
	return folder, result, a.reading.unchanged()
}
