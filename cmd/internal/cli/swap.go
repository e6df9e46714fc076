package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/site"
)

// siteMark is the file by which an earlier publish is recognised.
const siteMark = "data/index.json"

// replaceFolder writes the files beside out and then swaps the folders. A folder
// that no publish made is left alone.
func replaceFolder(dataset, out string, files []site.File) error {
	if err := replaceable(dataset, out); err != nil {
		return err
	}
	parent := filepath.Dir(filepath.Clean(out))
	sweep(parent)
	fresh, err := mkStage(parent)
	if err != nil {
		return voice.Usage("-o takes a folder whose parent exists", "cannot write beside %q: %v", out, voice.Reason(err))
	}
	defer os.RemoveAll(fresh)
	if err := os.Chmod(fresh, 0o755); err != nil {
		return voice.Usage("", "cannot write %q: %v", fresh, voice.Reason(err))
	}
	for _, f := range files {
		path := filepath.Join(fresh, filepath.FromSlash(f.Path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return voice.Usage("the site is as it was", "cannot write %q of the site: %v", f.Path, voice.Reason(err))
		}
		if err := os.WriteFile(path, f.Text, 0o644); err != nil {
			return voice.Usage("the site is as it was", "cannot write %q of the site: %v", f.Path, voice.Reason(err))
		}
	}
	return swapFolders(fresh, out)
}

// replaceable refuses to put the site in the place of anything but a site, and to
// put it where the dataset is: around it, in it, or under it.
func replaceable(dataset, out string) error {
	data, site := real(dataset), real(out)
	switch {
	case holds(site, data):
		return voice.Usage("give -o a folder of its own", "%q holds the dataset", out)
	case holds(data, site):
		return voice.Usage("give -o a folder outside the dataset", "%q is in the dataset", out)
	}
	entries, err := listFolder(out)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return voice.Usage("-o takes a folder", "cannot use %q: %v", out, voice.Reason(err))
	case len(entries) == 0:
		return nil
	}
	if _, err := os.Stat(filepath.Join(out, filepath.FromSlash(siteMark))); err != nil {
		return voice.Usage("give -o a new folder, or empty this one yourself", "%q holds something that no publish made", out)
	}
	return nil
}

// real returns a path from the root, links followed as far as the path exists, so
// that two ways to write one place compare equal.
func real(path string) string {
	whole, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	if followed, err := filepath.EvalSymlinks(whole); err == nil {
		return followed
	}
	if parent := filepath.Dir(whole); parent != whole {
		return filepath.Join(real(parent), filepath.Base(whole))
	}
	return whole
}

// holds reports whether inner is folder or lies below it.
func holds(folder, inner string) bool {
	path, err := filepath.Rel(folder, inner)
	return err == nil && filepath.IsLocal(path)
}

// aside is where the old site waits while the new one takes its place.
func aside(out string) string {
	return filepath.Join(filepath.Dir(filepath.Clean(out)), stagePrefix+"old-"+filepath.Base(filepath.Clean(out)))
}

// rename moves a folder.
func rename(from, to string) error {
	return patiently(func() error { return os.Rename(from, to) })
}

// swapFolders puts fresh in the place of out; the old folder goes last.
func swapFolders(fresh, out string) error {
	old := aside(out)
	err := rename(out, old)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return voice.Usage("the site is as it was", "cannot replace %q: %v", out, voice.Reason(err))
	}
	if err := rename(fresh, out); err != nil {
		rename(old, out)
		return voice.Usage("the site is as it was", "cannot put the site into %q: %v", out, voice.Reason(err))
	}
	return os.RemoveAll(old)
}

// restore puts back the site that an interrupted publish had set aside, and
// removes it where the new one is in its place already.
func restore(out string) error {
	_, here := os.Lstat(out)
	_, there := os.Lstat(aside(out))
	switch {
	case there != nil:
		return nil
	case errors.Is(here, fs.ErrNotExist):
		return rename(aside(out), out)
	}
	return os.RemoveAll(aside(out))
}
