package main

import (
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// tree is a folder: every file with its bytes, every link with its target.
type tree map[string]string

// tempPrefix is how the names of what is on its way begin.
const tempPrefix = ".soletrial-"

func readTree(dir string) (tree, error) {
	t := tree{}
	err := filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		// A link counts as where it leads, a device or pipe as its type.
		switch {
		case entry.IsDir():
			return nil
		case entry.Type()&fs.ModeSymlink != 0:
			to, err := os.Readlink(path)
			t[name] = "-> " + to
			return err
		case !entry.Type().IsRegular():
			t[name] = entry.Type().String()
			return nil
		}
		t[name], err = content(path, entry)
		return err
	})
	return t, err
}

// content is what a file holds. Of a long one its sum stands for it, and of one
// that claims to be endless its length.
func content(path string, entry fs.DirEntry) (string, error) {
	info, err := entry.Info()
	switch {
	case err != nil:
		return "", err
	case info.Size() > 100<<20:
		return fmt.Sprintf("%d bytes", info.Size()), nil
	case info.Size() < 8<<20:
		text, err := os.ReadFile(path)
		return string(text), err
	}
	file, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer file.Close()
	sum := sha256.New()
	_, err = io.Copy(sum, file)
	return fmt.Sprintf("%x", sum.Sum(nil)), err
}

func (t tree) write(dir string) error {
	for _, name := range t.names() {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			return err
		}
		if err := os.WriteFile(path, []byte(t[name]), 0o666); err != nil {
			return err
		}
	}
	return nil
}

func (t tree) names() []string { return slices.Sorted(maps.Keys(t)) }

// differences lists how a tree is not as it should be.
func (t tree) differences(want tree) []string {
	var wrong []string
	for _, name := range want.names() {
		if text, found := t[name]; !found {
			wrong = append(wrong, name+" is missing")
		} else if text != want[name] {
			wrong = append(wrong, name+" holds other bytes")
		}
	}
	for _, name := range t.names() {
		if _, wanted := want[name]; !wanted {
			wrong = append(wrong, name+" should not be there")
		}
	}
	return wrong
}

// finished is a tree without what is on its way.
func (t tree) finished() tree {
	part := tree{}
	for name, text := range t {
		if !strings.Contains("/"+name, "/"+tempPrefix) {
			part[name] = text
		}
	}
	return part
}

// under is the part of a tree in a folder, by names in it.
func (t tree) under(folder string) tree {
	part := tree{}
	for name, text := range t {
		if rest, found := strings.CutPrefix(name, folder+"/"); found {
			part[rest] = text
		}
	}
	return part
}

// writtenByDerive reports whether a file is one that derive writes into a dataset.
func writtenByDerive(name string) bool {
	return name == "data/datapackage.json" || strings.HasPrefix(name, "data/derived/") ||
		strings.HasPrefix(name, "data/schemas/tables/")
}

// byDerive is the part of a tree that derive writes.
func (t tree) byDerive() tree {
	part := maps.Clone(t)
	maps.DeleteFunc(part, func(name, _ string) bool { return !writtenByDerive(name) })
	return part
}

// newFolder makes a new folder that holds a tree.
func (c *campaign) newFolder(t tree) (string, error) {
	dir, err := os.MkdirTemp(c.scratch, "try")
	if err != nil {
		return "", err
	}
	return dir, t.write(dir)
}
