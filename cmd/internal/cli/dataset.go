package cli

import (
	"errors"
	"io/fs"
	"os"
	"runtime"

	"soletrial/cmd/internal/cache"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/crew"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
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

// derived derives what is wanted of the dataset. All problems of the text, those
// in the recordings too, are reported in one run.
func (a *app) derived(want derive.Want) (*plaintext.Folder, *derive.Result, error) {
	d, err := a.beginDeriving()
	if err != nil {
		return nil, nil, err
	}
	defer d.close()
	result, err := d.result(want)
	if err == nil {
		err = d.keepIfStill(result)
	}
	if err != nil {
		return nil, nil, err
	}
	return d.folder, result, nil
}

// deriving is a derivation that has looked at every file, if it remembers
// anything, and not yet made anything of it.
type deriving struct {
	app      *app
	folder   *plaintext.Folder
	problems []trial.Problem // of the registers and the names
	workers  int
	bar      *voice.Progress
	recall   *recall // nil where nothing is remembered
	same     bool    // every file is as it was at the last run
}

func (a *app) beginDeriving() (*deriving, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, err
	}
	d := &deriving{app: a, workers: runtime.GOMAXPROCS(0)}
	crew.Do(d.workers, 2, func(i int) { // neither needs all processors all the time
		if i == 0 {
			d.folder, d.problems = plaintext.Open(fsys, yamltext.Read, d.workers)
		} else {
			d.recall = a.newRecall()
		}
	})
	spareMemory(len(d.folder.SessionIDs()))
	d.bar = a.NewProgress(len(d.folder.SessionIDs()))
	if len(d.problems) > 0 {
		d.recall = nil
	}
	if d.recall != nil {
		d.recall.of(d.folder)
		d.same, err = d.recall.look(d.workers, d.bar.Step)
	}
	if err != nil {
		return nil, voice.Usage("", "cannot read the dataset: %v", err)
	}
	return d, nil
}

// settled reports whether the tables on disk are those of a run on the very same
// files.
func (d *deriving) settled() bool { return d.same && d.recall.tablesAsBefore(d.workers) }

// result derives what is wanted. Pieces of its tables are made as long as the
// derivation is not closed.
func (d *deriving) result(want derive.Want) (*derive.Result, error) {
	by := derive.Means{Workers: d.workers, Want: want, Step: d.bar.Step}
	if d.recall != nil {
		by.Read, by.Rows, by.Fits, by.Step = d.recall.again, d.recall.rows, d.recall.fit, nil
	}
	result, problems, err := derive.Run(d.folder, d.problems, by)
	d.bar.Clear()
	if err != nil {
		return nil, voice.Usage("", "cannot read the dataset: %v", err)
	}
	if len(problems) > 0 {
		return nil, voice.Unreadable(problems)
	}
	if d.recall != nil {
		d.recall.sumUp(result.Tables)
	}
	return result, nil
}

// keepIfStill remembers a result, if the dataset is still what was read; else nobody
// may use it.
func (d *deriving) keepIfStill(result *derive.Result) error {
	if err := d.app.reading.unchanged(); err != nil {
		return err
	}
	d.keep(result)
	return nil
}

// keep remembers a result that holds.
func (d *deriving) keep(result *derive.Result) {
	if d.recall != nil {
		d.recall.keep(result, d.same)
	}
}

// close ends the derivation and writes down what is to be remembered.
func (d *deriving) close() {
	if d.recall != nil {
		d.recall.kept.Close(cache.Bound)
	}
}
