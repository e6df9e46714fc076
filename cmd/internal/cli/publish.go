package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/site"
	"soletrial/viewer/bundle"
)

func (a *app) publishCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use: "publish", Args: cobra.NoArgs,
		Short: "write the site",
		Long:  "publish writes a static site: the answer, every shoe and session, the method,\nthe data, and the explorer. It needs no server; any static host will do.",
		RunE: func(*cobra.Command, []string) error {
			n, err := a.publish(out)
			switch {
			case err != nil:
				return err
			case a.json:
				return a.printJSON(map[string]any{"files": n, "folder": out})
			}
			a.printf("%d files in %s\n", n, out)
			return nil
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "public", "the `folder` to write; what an earlier publish left there is replaced")
	return c
}

// publish writes the site into a new folder and puts it in the place of the old
// one. It refuses while the derived tables on disk are stale, so that what is
// published is what is committed.
func (a *app) publish(out string) (int, error) {
	folder, result, err := a.derived()
	if err != nil {
		return 0, err
	}
	stale, err := a.stale(result)
	if err != nil {
		return 0, err
	}
	if len(stale) > 0 {
		return 0, stopped("run "+a.next("derive")+" first", "%s stale, such as %s", plural(len(stale), "derived table is", "derived tables are"), stale[0].name)
	}
	pages, err := a.pages(folder, result)
	if err != nil {
		return 0, err
	}
	return len(pages), replaceFolder(a.dir, out, pages)
}

// pages makes the site. An explorer that was not built into the program is left
// out, and said so.
func (a *app) pages(folder *plaintext.Folder, result *derive.Result) ([]site.File, error) {
	in := site.Input{Result: result, Version: Version, Recordings: folder.Recordings}
	var err error
	if in.Files, in.Twins, err = a.datasetFiles(folder); err != nil {
		return nil, err
	}
	viewer, err := bundle.Files()
	if err != nil {
		a.say("the site will have no explorer: %v", err)
	}
	for _, path := range sortedPaths(viewer) {
		in.Explorer = append(in.Explorer, site.File{Path: path, Text: viewer[path]})
	}
	files, err := site.Pages(in)
	if err != nil {
		return nil, usage("", "cannot make the site: %v", err)
	}
	return files, nil
}

// datasetFiles returns the dataset's inputs as they stand, and a JSON twin of
// each YAML file for readers that have no YAML.
func (a *app) datasetFiles(folder *plaintext.Folder) (files, twins []site.File, err error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, nil, err
	}
	inputs, err := folder.Inputs()
	if err != nil {
		return nil, nil, usage("", "cannot read the dataset: %v", err)
	}
	for _, input := range inputs {
		text, err := fs.ReadFile(fsys, input.Path)
		if err != nil {
			return nil, nil, usage("", "cannot read %q: %v", input.Path, err)
		}
		files = append(files, site.File{Path: input.Path, Text: text})
		if stem, isYAML := strings.CutSuffix(input.Path, ".yaml"); isYAML {
			node, problems := yamltext.Read(fsys, input.Path)
			if len(problems) > 0 {
				return nil, nil, unreadable(problems)
			}
			twins = append(twins, site.File{Path: stem + ".json", Text: node.JSON()})
		}
	}
	return files, twins, nil
}

// siteMark is the file by which an earlier publish is recognised.
const siteMark = "data/index.json"

// replaceFolder writes the files beside out and then swaps the folders. A folder
// that no publish made is left alone.
func replaceFolder(dataset, out string, files []site.File) error {
	if err := replaceable(dataset, out); err != nil {
		return err
	}
	fresh, err := os.MkdirTemp(filepath.Dir(filepath.Clean(out)), ".soletrial-publish-")
	if err != nil {
		return usage("-o takes a folder whose parent exists", "cannot write beside %q: %v", out, err)
	}
	defer os.RemoveAll(fresh)
	if err := os.Chmod(fresh, 0o755); err != nil {
		return usage("", "cannot write %q: %v", fresh, err)
	}
	for _, f := range files {
		path := filepath.Join(fresh, filepath.FromSlash(f.Path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return usage("", "cannot write %q: %v", path, err)
		}
		if err := os.WriteFile(path, f.Text, 0o644); err != nil {
			return usage("", "cannot write %q: %v", path, err)
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
		return usage("give -o a folder of its own", "%q holds the dataset", out)
	case holds(data, site):
		return usage("give -o a folder outside the dataset", "%q is in the dataset", out)
	}
	entries, err := os.ReadDir(out)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return usage("-o takes a folder", "cannot use %q: %v", out, err)
	case len(entries) == 0:
		return nil
	}
	if _, err := os.Stat(filepath.Join(out, filepath.FromSlash(siteMark))); err != nil {
		return usage("give -o a new folder, or empty this one yourself", "%q holds something that no publish made", out)
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

// swapFolders puts fresh in the place of out; the old folder goes last, so that
// an interruption leaves one of the two whole.
func swapFolders(fresh, out string) error {
	old := fresh + "-old"
	err := rename(out, old)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return usage("", "cannot replace %q: %v", out, err)
	}
	if err := rename(fresh, out); err != nil {
		rename(old, out)
		return usage("", "cannot put the site into %q: %v", out, err)
	}
	return os.RemoveAll(old)
}
