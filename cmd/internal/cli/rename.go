package cli

import (
	"bytes"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/english"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
)

func (a *app) renameCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "rename", Args: cobra.NoArgs,
		Short: "change an id everywhere in the dataset",
		Example: "  soletrial rename shoe tarrow tarrow-2025\n" +
			"  soletrial rename shoe --help",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(&cobra.Command{
		Use: "shoe OLD NEW", Args: cobra.ExactArgs(2),
		Short: "change the id of a shoe everywhere",
		Long: "rename shoe changes the id of a shoe in shoes.csv, in every blocks.csv and field\n" +
			"log, in dataset.yaml and in plans. Labels stay as they are. Run derive afterwards.",
		Example: "  soletrial rename shoe tarrow tarrow-2025\n" +
			"  soletrial rename shoe tarrow grey --json",
		RunE: func(_ *cobra.Command, args []string) error {
			return a.exclusively("rename", func() error { return a.renameShoe(args[0], args[1]) })
		},
	})
	return c
}

func (a *app) renameShoe(from, to string) error {
	fsys, err := a.openDataset()
	if err != nil {
		return err
	}
	folder, err := a.read()
	if err != nil {
		return err
	}
	// The register.
	ds := folder.Dataset
	shoes, ids := slices.Clone(ds.Shoes), []string{}
	at, begun := -1, -1
	for i, s := range shoes {
		ids = append(ids, s.ID)
		switch s.ID {
		case from:
			at = i
		case to:
			begun = i
		}
	}
	switch {
	case at < 0:
		return voice.Usage(english.Suggest(from, ids), "shoe %q is not in shoes.csv", from)
	case !intake.Nameable(to):
		return voice.Usage("use lower-case letters, digits, dots, dashes and underscores",
			"%q cannot be the id of a shoe", to)
	case begun >= 0 && !sameShoe(shoes[at], shoes[begun]):
		return voice.Usage("choose another id", "shoe %q is in shoes.csv already", to)
	}
	// The shoe is in the register under both ids until no file names the old one: whenever
	// this is interrupted, the dataset can be read, and the command called again.
	if begun < 0 {
		twin := shoes[at]
		twin.ID = to
		shoes = slices.Insert(shoes, at+1, twin)
	}
	both := map[string][]byte{"shoes.csv": plaintext.AppendShoes(nil, shoes)}
	renamed := map[string][]byte{"shoes.csv": plaintext.AppendShoes(nil, slices.Delete(slices.Clone(shoes), at, at+1))}
	files := map[string][]byte{}
	// Every blocks.csv that names it, and the text of every YAML file that does.
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		blocks, found := slices.Clone(s.Blocks), false
		for k := range blocks {
			if blocks[k].Shoe == from {
				blocks[k].Shoe, found = to, true
			}
		}
		if found {
			target, _ := trial.ParseTarget(s.Effort(), s.Facts.Target)
			files[s.Folder()+"/blocks.csv"] = plaintext.AppendBlocks(nil, s.Effort(), target, blocks)
		}
		for _, name := range []string{"/plan.yaml", "/fieldlog.yaml"} {
			if err := renameInYAML(fsys, s.Folder()+name, from, to, files); err != nil {
				return err
			}
		}
	}
	if err := renameInYAML(fsys, "dataset.yaml", from, to, files); err != nil {
		return err
	}
	before := map[string][]byte{"shoes.csv": plaintext.AppendShoes(nil, ds.Shoes)}
	return a.writeSteps(before, both, files, renamed)
}

// writeSteps writes files in steps, each on top of the one before. Where the second cannot
// be written the files of before take the place of the first.
func (a *app) writeSteps(before map[string][]byte, steps ...map[string][]byte) error {
	var changed []string
	for i, step := range steps {
		if _, err := a.read(); err != nil {
			return err
		}
		written, err := a.write(step)
		if i == 1 && err != nil {
			dataset.Write(a.Dataset, before, nil) // what failed first is what is said
		}
		if err != nil {
			return err
		}
		changed = append(changed, written...)
		a.folder.Close()
		a.folder = nil
	}
	slices.Sort(changed)
	return a.PrintWritten(slices.Compact(changed), "nothing changed")
}

// sameShoe reports whether two rows of the register are the same but for their ids.
func sameShoe(a, b trial.Shoe) bool {
	a.ID, a.At = b.ID, b.At
	return bytes.Equal(plaintext.AppendShoes(nil, []trial.Shoe{a}), plaintext.AppendShoes(nil, []trial.Shoe{b}))
}

// shoeKeys are the keys of YAML files whose values are ids of shoes.
var shoeKeys = regexp.MustCompile(`^\s*(- )?(reference|shoes|order|shoe|planned|worn|earlier)\s*:|^\s+- `)

// renameInYAML changes an id in the lines of a YAML file that hold ids of shoes; a file
// that is not there is left alone.
func renameInYAML(fsys fs.FS, path, from, to string, files map[string][]byte) error {
	text, err := fs.ReadFile(fsys, path)
	if err != nil {
		return nil // there is none
	}
	word := regexp.MustCompile(`(^|[\s\[,"'])` + regexp.QuoteMeta(from) + `($|[\s\],"'])`)
	lines := strings.SplitAfter(string(text), "\n")
	for i, line := range lines {
		if !shoeKeys.MatchString(line) {
			continue
		}
		key, value, found := strings.Cut(line, ":")
		if !found {
			key, value = "", line
		} else {
			key += ":"
		}
		for range 2 { // neighbours share the separator between them
			value = word.ReplaceAllString(value, "${1}"+to+"${2}")
		}
		lines[i] = key + value
	}
	if changed := strings.Join(lines, ""); changed != string(text) {
		files[path] = []byte(changed)
	}
	return nil
}
