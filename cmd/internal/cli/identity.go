package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"os"
	"runtime"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/site"
	"soletrial/pipeline/trial"
	"soletrial/viewer/bundle"
)

// identity names this program so that somebody else can get the same one.
type identity struct {
	Format     int    `json:"format"`
	Version    string `json:"version"`
	SHA256     string `json:"sha256"` // of the program's file, 64 hexadecimal digits; "" where it cannot be read
	Go         string `json:"go"`
	System     string `json:"system"` // as in linux/amd64
	DataFormat int    `json:"data_format"`
	Explorer   bool   `json:"explorer"` // whether the explorer is inside
}

// thisProgram reads the program's own file to tell its SHA-256.
func thisProgram() identity {
	return identity{Format: voice.JSONFormat, Version: Version, SHA256: ownSHA256(), Go: runtime.Version(),
		System: runtime.GOOS + "/" + runtime.GOARCH, DataFormat: trial.DataFormat, Explorer: bundle.Built()}
}

// ownSHA256 is the SHA-256 of the file that runs, "" where the system does not say which
// one it is or it cannot be read.
func ownSHA256() string {
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	file, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer file.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, file); err != nil {
		return ""
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// siteProgram is this program as a site names it.
func siteProgram() (site.Program, error) {
	program := thisProgram()
	text, err := json.MarshalIndent(program, "", "  ")
	if err != nil {
		return site.Program{}, err
	}
	return site.Program{Version: program.Version, SHA256: program.SHA256, Go: program.Go,
		Identity: append(text, '\n')}, nil
}
