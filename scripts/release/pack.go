package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// file is one file of an archive, by its path in there.
type file struct {
	path string
	text []byte
	mode fs.FileMode
}

// files are the files beside a program: texts of the repository, and its part of the manual.
func (p product) files(manual []file) ([]file, error) {
	var files []file
	for path, from := range p.carried {
		text, err := os.ReadFile(from)
		if err != nil {
			return nil, err
		}
		files = append(files, file{path, text, 0o644})
	}
	for _, f := range manual {
		if p.manual(f.path) {
			files = append(files, f)
		}
	}
	return files, nil
}

// manualFiles are the manual pages and completion scripts of all programs.
func manualFiles(date time.Time) ([]file, error) {
	folder, err := os.MkdirTemp("", "manual")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	manual := exec.Command("go", "run", "./cmd/internal/manual", "-o", folder)
	manual.Env = append(os.Environ(), fmt.Sprintf("SOURCE_DATE_EPOCH=%d", date.Unix()))
	manual.Stderr = os.Stderr
	if err := manual.Run(); err != nil {
		return nil, fmt.Errorf("writing the manual: %w", err)
	}
	var files []file
	err = filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		within, _ := filepath.Rel(folder, path) // it was found there
		files = append(files, file{filepath.ToSlash(within), text, 0o644})
		return err
	})
	return files, err
}

// pack puts files into one folder of an archive as the system is used to: zip for Windows,
// a compressed tape archive elsewhere.
func (r *release) pack(name, system string, files []file) (file, error) {
	files = slices.Clone(files)
	slices.SortFunc(files, func(a, b file) int { return strings.Compare(a.path, b.path) })
	var b bytes.Buffer
	if strings.HasPrefix(system, "windows/") {
		err := writeZip(&b, name, files, r.date)
		return file{path: name + ".zip", text: b.Bytes()}, err
	}
	zipped, err := gzip.NewWriterLevel(&b, gzip.BestCompression) // its header has no name and no time
	if err != nil {
		return file{}, err
	}
	if err := writeTar(tar.NewWriter(zipped), name, files, r.date); err != nil {
		return file{}, err
	}
	err = zipped.Close()
	return file{path: name + ".tar.gz", text: b.Bytes()}, err
}

// writeTar writes files owned by nobody in particular, with one time for all.
func writeTar(w *tar.Writer, folder string, files []file, date time.Time) error {
	for _, f := range files {
		header := tar.Header{Typeflag: tar.TypeReg, Name: folder + "/" + f.path, Size: int64(len(f.text)),
			Mode: int64(f.mode), ModTime: date, Format: tar.FormatUSTAR}
		if err := w.WriteHeader(&header); err != nil {
			return err
		}
		if _, err := w.Write(f.text); err != nil {
			return err
		}
	}
	return w.Close()
}

// writeZip writes files with one time for all.
func writeZip(b *bytes.Buffer, folder string, files []file, date time.Time) error {
	w := zip.NewWriter(b)
	for _, f := range files {
		header := zip.FileHeader{Name: folder + "/" + f.path, Method: zip.Deflate, Modified: date}
		header.SetMode(f.mode)
		part, err := w.CreateHeader(&header)
		if err != nil {
			return err
		}
		if _, err := part.Write(f.text); err != nil {
			return err
		}
	}
	return w.Close()
}
