package dataset

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
)

// Product is a folder that a command makes as a whole, all of it or nothing.
type Product struct {
	Out   string // where it goes
	What  string // what messages call it, such as "the site"
	Maker string // the command that makes it
	Mark  string // a file by which an earlier one is recognised, slash-separated
}

// Replace has fill write into a new folder beside the place of the product, and then swaps
// the folders. A folder that no such command made is left alone, and so is one that a
// dataset is in, or that holds files of a dataset. The error is a [voice.Failure], or that
// of fill, after which all is as it was.
func (p Product) Replace(datasets []string, fill func(fresh string) error) error {
	if err := p.checkReplaceable(datasets); err != nil {
		return err
	}
	// The new folder, under a name that tells what it is if this is interrupted.
	parent := filepath.Dir(filepath.Clean(p.Out))
	removeLeftovers(parent)
	fresh, err := makeStage(parent)
	if err != nil {
		return voice.Usage("-o takes a folder whose parent exists", "cannot write beside %q: %v", p.Out,
			voice.Reason(err))
	}
	defer os.RemoveAll(fresh)
	if err := os.Chmod(fresh, 0o755); err != nil {
		return voice.Usage("", "cannot write %q: %v", fresh, voice.Reason(err))
	}
	// Everything in it, and then its place.
	if err := fill(fresh); err != nil {
		return err
	}
	return p.swap(fresh)
}

// mayBeInside reports whether a folder at the top of a dataset has a name that means
// nothing there.
func mayBeInside(data, folder string) bool {
	name, err := filepath.Rel(data, folder)
	return err == nil && name == filepath.Base(name) && !strings.HasPrefix(name, ".") &&
		!slices.Contains([]string{"sessions", DerivedFolder, "schemas"}, name)
}

// checkReplaceable refuses to take the place of anything but an earlier product, and to go
// where a dataset is: around it, or among its files. A folder of its own at the top of the
// dataset is fine: reading passes over it.
func (p Product) checkReplaceable(datasets []string) error {
	for _, dataset := range datasets {
		switch data, out := resolve(dataset), resolve(p.Out); {
		case contains(out, data):
			return voice.Usage("give -o a folder of its own", "%q contains the dataset", p.Out)
		case contains(data, out) && !mayBeInside(data, out):
			return voice.Usage("give -o a folder of its own, such as public", "%q is in the dataset", p.Out)
		}
	}
	entries, err := List(p.Out)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return voice.Usage("-o takes a folder", "cannot use %q: %v", p.Out, voice.Reason(err))
	case len(entries) == 0:
		return nil
	}
	if _, err := os.Stat(filepath.Join(p.Out, filepath.FromSlash(p.Mark))); err != nil {
		return voice.Usage("give -o a new folder, or empty this one yourself",
			"%q contains files that %s did not write", p.Out, p.Maker)
	}
	return nil
}

// resolve returns a path from the root, links followed as far as the path exists, so
// that two ways to write one place compare equal.
func resolve(path string) string {
	absolute, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	if followed, err := filepath.EvalSymlinks(absolute); err == nil {
		return followed
	}
	if parent := filepath.Dir(absolute); parent != absolute {
		return filepath.Join(resolve(parent), filepath.Base(absolute))
	}
	return absolute
}

// contains reports whether inner is folder or lies below it.
func contains(folder, inner string) bool {
	path, err := filepath.Rel(folder, inner)
	return err == nil && filepath.IsLocal(path)
}

// old is where the old product waits while the new one takes its place.
func (p Product) old() string {
	return filepath.Join(filepath.Dir(filepath.Clean(p.Out)), StagePrefix+"old-"+filepath.Base(filepath.Clean(p.Out)))
}

// moveFolder renames a folder.
func moveFolder(from, to string) error {
	return retryBusy(func() error { return os.Rename(from, to) })
}

// swap puts fresh in its place; the old folder goes last.
func (p Product) swap(fresh string) error {
	err := moveFolder(p.Out, p.old())
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return voice.Usage(p.kept(), "cannot replace %q: %v", p.Out, voice.Reason(err))
	}
	if err := moveFolder(fresh, p.Out); err != nil {
		moveFolder(p.old(), p.Out)
		return voice.Usage(p.kept(), "cannot put %s into %q: %v", p.What, p.Out, voice.Reason(err))
	}
	return os.RemoveAll(p.old())
}

// kept ends a failure that changed nothing.
func (p Product) kept() string { return p.What + " is as it was" }

// Restore puts back the product that an interrupted [Product.Replace] had moved away, and
// removes it where the new one is in its place already. The error is a [voice.Failure].
func (p Product) Restore() error {
	_, newErr := os.Lstat(p.Out)
	_, oldErr := os.Lstat(p.old())
	var err error
	switch {
	case oldErr != nil:
	case errors.Is(newErr, fs.ErrNotExist):
		err = moveFolder(p.old(), p.Out)
	default:
		err = os.RemoveAll(p.old())
	}
	if err != nil {
		return voice.Usage("move it there yourself", "an interrupted %s put %s into %q: %v", p.Maker, p.What, p.old(),
			voice.Reason(err))
	}
	return nil
}
