package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/site"
	"soletrial/pipeline/units"
)

// How often the dataset is looked at, and how long it must have been left alone
// before it is read: a person saves several files, and a program writes one in
// pieces.
const (
	lookEvery = 300 * time.Millisecond
	quietFor  = 200 * time.Millisecond
)

// rebuild makes the site anew whenever the dataset is no longer as it was read,
// until the context ends. It only looks at sizes and times of change, which every
// system has.
func (a *app) rebuild(ctx context.Context, out string, served *siteServer) {
	ticker := time.NewTicker(lookEvery)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
		if a.reading != nil && a.inPlace() && a.reading.unchanged() == nil {
			continue
		}
		time.Sleep(quietFor)
		a.again(out, served)
	}
}

// inPlace reports whether the dataset's folder is still the one that was read, and
// not another that took its place.
func (a *app) inPlace() bool {
	now, err := os.Stat(a.Dataset)
	if err != nil {
		return false
	}
	read, err := a.reading.root.Stat(".")
	return err == nil && os.SameFile(now, read)
}

// again reads the dataset anew. What is wrong with it is printed, once, and what
// is served stays; a dataset that changed again meanwhile is read once more.
func (a *app) again(out string, served *siteServer) {
	if a.reading != nil {
		a.reading.close()
		a.reading.root.Close()
		a.reading = nil
	}
	pages, stale, err := a.current()
	if err == nil && stale == nil {
		err = replaceFolder(a.Dataset, out, pages)
	}
	var f *voice.Failure
	switch {
	case a.reading != nil && a.reading.unchanged() != nil:
	case err == nil:
		served.put(pages)
		a.said = ""
		a.Remark("made the site anew%s", staleWords(stale))
	case errors.As(err, &f):
		a.complain(f)
	}
}

// staleWords says which tables publish would refuse; the site that is served has
// them as they should be.
func staleWords(stale []staleTable) string {
	if len(stale) == 0 {
		return ""
	}
	return fmt.Sprintf("; %s stale on disk, such as %s: derive before you publish", units.Plural(len(stale), "derived table is", "derived tables are"), stale[0].name)
}

// complain prints a failure unless it is the one printed last.
func (a *app) complain(f *voice.Failure) {
	text := f.Message + f.Hint
	for _, p := range f.Problems {
		text += p.Error()
	}
	if a.said == text {
		return
	}
	a.said = text
	a.PrintFailure(f)
	a.Remark("the last good site is still served")
}

// current makes the site of the dataset as it is now, and tells which derived
// tables on disk are stale.
func (a *app) current() (pages []site.File, stale []staleTable, err error) {
	folder, result, err := a.derived()
	if err != nil {
		return nil, nil, err
	}
	if stale, err = a.stale(result); err != nil {
		return nil, nil, err
	}
	if pages, err = a.pages(folder, result); err != nil {
		return nil, nil, err
	}
	return pages, stale, a.reading.unchanged()
}
