package dataset

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/site"
)

// siteMark is the file by which an earlier publish is recognised.
const siteMark = "data/index.json"

// siteKept ends a failure that changed nothing.
const siteKept = "the site is as it was"

// ReplaceSite writes the files beside out and then swaps the folders. A folder that no
// publish made is left alone, and so is one that the dataset is in, or that holds files
// of the dataset. The error is a [voice.Failure].
func ReplaceSite(dataset, out string, files []site.File) error {
	if err := checkReplaceable(dataset, out); err != nil {
		return err
	}
	// The new folder, under a name that tells what it is if this is interrupted.
	parent := filepath.Dir(filepath.Clean(out))
	removeLeftovers(parent)
	fresh, err := makeStage(parent)
	if err != nil {
		return voice.Usage("-o takes a folder whose parent exists", "cannot write beside %q: %v", out,
			voice.Reason(err))
	}
	defer os.RemoveAll(fresh)
	if err := os.Chmod(fresh, 0o755); err != nil {
		return voice.Usage("", "cannot write %q: %v", fresh, voice.Reason(err))
	}
	// Everything in it, and then its place.
	for _, f := range files {
		if err := writeSiteFile(filepath.Join(fresh, filepath.FromSlash(f.Path)), f.Text); err != nil {
			return voice.Usage(siteKept, "cannot write %q of the site: %v", f.Path, voice.Reason(err))
		}
	}
	return swapFolders(fresh, out)
}

func writeSiteFile(path string, text []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, text, 0o644)
}

// mayHoldSite reports whether a folder at the top of a dataset has a name that means
// nothing there.
func mayHoldSite(data, site string) bool {
	name, err := filepath.Rel(data, site)
	return err == nil && name == filepath.Base(name) && !strings.HasPrefix(name, ".") &&
		!slices.Contains([]string{"sessions", DerivedFolder, "schemas"}, name)
}

// checkReplaceable refuses to put the site in the place of anything but a site, and
// to put it where the dataset is: around it, or among its files. A folder of its own at
// the top of the dataset is fine: reading passes over it.
func checkReplaceable(dataset, out string) error {
	data, site := resolve(dataset), resolve(out)
	switch {
	case contains(site, data):
		return voice.Usage("give -o a folder of its own", "%q holds the dataset", out)
	case contains(data, site) && !mayHoldSite(data, site):
		return voice.Usage("give -o a folder of its own, such as public", "%q is in the dataset", out)
	}
	entries, err := List(out)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return voice.Usage("-o takes a folder", "cannot use %q: %v", out, voice.Reason(err))
	case len(entries) == 0:
		return nil
	}
	if _, err := os.Stat(filepath.Join(out, filepath.FromSlash(siteMark))); err != nil {
		return voice.Usage("give -o a new folder, or empty this one yourself",
			"%q contains files that publish did not write", out)
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

// oldSite is where the old site waits while the new one takes its place.
func oldSite(out string) string {
	return filepath.Join(filepath.Dir(filepath.Clean(out)), StagePrefix+"old-"+filepath.Base(filepath.Clean(out)))
}

// moveFolder renames a folder.
func moveFolder(from, to string) error {
	return retryBusy(func() error { return os.Rename(from, to) })
}

// swapFolders puts fresh in the place of out; the old folder goes last.
func swapFolders(fresh, out string) error {
	old := oldSite(out)
	err := moveFolder(out, old)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return voice.Usage(siteKept, "cannot replace %q: %v", out, voice.Reason(err))
	}
	if err := moveFolder(fresh, out); err != nil {
		moveFolder(old, out)
		return voice.Usage(siteKept, "cannot put the site into %q: %v", out, voice.Reason(err))
	}
	return os.RemoveAll(old)
}

// RestoreSite puts back the site that an interrupted [ReplaceSite] had moved away, and
// removes it where the new one is in its place already. The error is a [voice.Failure].
func RestoreSite(out string) error {
	old := oldSite(out)
	_, newErr := os.Lstat(out)
	_, oldErr := os.Lstat(old)
	var err error
	switch {
	case oldErr != nil:
	case errors.Is(newErr, fs.ErrNotExist):
		err = moveFolder(old, out)
	default:
		err = os.RemoveAll(old)
	}
	if err != nil {
		return voice.Usage("move it there yourself", "an interrupted publish put the site into %q: %v", old,
			voice.Reason(err))
	}
	return nil
}
