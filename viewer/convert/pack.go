package convert

import (
	"archive/zip"
	"bytes"
)

// Pack makes a ZIP file of files, in their order and without times, so that the same files
// give the same bytes.
func Pack(files []Chosen) ([]byte, error) {
	var packed bytes.Buffer
	archive := zip.NewWriter(&packed)
	for _, f := range files {
		entry, err := archive.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
		if err != nil {
			return nil, err
		}
		if _, err := entry.Write(f.Content); err != nil {
			return nil, err
		}
	}
	err := archive.Close()
	return packed.Bytes(), err
}
