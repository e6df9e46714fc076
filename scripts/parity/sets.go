package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
)

// set is a dataset to derive.
type set struct {
	name   string
	folder string
	tables tables // as committed; nil where there are none to hold against
}

// availableSets lists the datasets: the demonstration, and with all the real
// recordings and a large invented dataset, made in temp.
func availableSets(temp string, all bool) ([]set, error) {
	committed, err := tablesOf("data")
	if err != nil {
		return nil, err
	}
	sets := []set{{"demonstration", "data", committed}}
	if !all {
		return sets, nil
	}

	// The real recordings, where they are there.
	if _, err := os.Stat(recordings); err != nil {
		skip("real recordings", "no folder "+recordings)
	} else {
		folder := filepath.Join(temp, "recordings")
		if err := imported(folder, recordings); err != nil {
			return nil, err
		}
		sets = append(sets, set{name: "real recordings", folder: folder})
	}

	// The large invented dataset.
	invented := filepath.Join(temp, "invented")
	command := exec.Command("go", "run", "./scripts/bulk", "-o", invented, "-sessions", "200", "-minutes", "30",
		"-seed", "7")
	if out, err := command.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("scripts/bulk: %w: %s", err, out)
	}
	return append(sets, set{name: "200 invented", folder: invented}), nil
}

// inputs calls do for every file of the dataset but the derived tables.
func (s set) inputs(do func(path string, text []byte) error) error {
	fsys := os.DirFS(s.folder)
	return fs.WalkDir(fsys, ".", func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case path == "derived":
			return fs.SkipDir
		case entry.IsDir():
			return nil
		}
		text, err := fs.ReadFile(fsys, path)
		if err != nil {
			return err
		}
		return do(path, text)
	})
}

// copyTo copies the inputs.
func (s set) copyTo(folder string) error {
	return s.inputs(func(path string, text []byte) error {
		to := filepath.Join(folder, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		return os.WriteFile(to, text, 0o644)
	})
}

// archive packs the inputs, for a program that has no disk.
func (s set) archive() ([]byte, error) {
	var out bytes.Buffer
	archive := zip.NewWriter(&out)
	err := s.inputs(func(path string, text []byte) error {
		w, err := archive.CreateHeader(&zip.FileHeader{Name: path, Method: zip.Store})
		if err != nil {
			return err
		}
		_, err = w.Write(text)
		return err
	})
	if err != nil {
		return nil, err
	}
	err = archive.Close()
	return out.Bytes(), err
}
