package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// reports is the module that holds the Go vulnerability database: a file in the
// OSV format for every report, in data/osv.
const reports = "golang.org/x/vulndb"

// pinned is the version whose vulnerabilities fail. `make supply` tells when the newest knows
// of more: then see to that, and pin the newest.
const pinned = "v0.0.0-20261105234957-e22db6528018"

// minReports is the least number of reports that is taken for the whole database. It
// had 4,789 in November 2026, and reports are withdrawn, but not removed.
const minReports = 4000

// database is what is asked.
type database struct {
	address     string // as govulncheck wants it
	description string // which one it is, for people
	proxy       string // where it came from if not by the usual way, as a setting of the go command
}

// fetch brings a version of a module of reports, from the module cache where the
// usual way is closed, and refuses one with fewer reports than there must be.
func fetch(module, version string, minReports int) (database, error) {
	var proxy string
	got, err := download(module, version)
	if err != nil {
		why := err
		if proxy, err = cache(); err != nil {
			return database{}, err
		}
		if got, err = download(module, version, proxy); err != nil {
			return database{}, why
		}
	}
	folder := filepath.Join(got.Dir, "data", "osv")
	files, err := filepath.Glob(filepath.Join(folder, "*.json"))
	if err != nil {
		return database{}, err
	}
	if len(files) < minReports {
		return database{}, fmt.Errorf("%s %s has %d reports where at least %d are known to be", module, got.Version,
			len(files), minReports)
	}
	return database{located(folder), fmt.Sprintf("%s %s, %d reports", module, got.Version, len(files)), proxy}, nil
}

// release is what the go command tells of a downloaded module.
type release struct{ Version, Dir, Error string }

// download brings a version of a module into the module cache, its sum checked by
// the go command. It runs outside of this module, of which it must
// become no part.
func download(module, version string, settings ...string) (release, error) {
	ctx, cancel := context.WithTimeout(context.Background(), timeout)
	defer cancel()
	command := exec.CommandContext(ctx, "go", "mod", "download", "-json", module+"@"+version)
	command.Dir, command.WaitDelay = os.TempDir(), time.Second
	command.Env = append(append(os.Environ(), "GOWORK=off"), settings...)
	out, failure := command.Output()
	var got release
	if err := json.Unmarshal(out, &got); err != nil {
		return release{}, fmt.Errorf("go mod download: %w", cmp.Or(failure, err))
	}
	if got.Error != "" {
		return release{}, fmt.Errorf("go mod download: %s", got.Error)
	}
	return got, failure
}

// cache is the setting that makes the go command ask the module cache alone, which
// has the form of a proxy (https://go.dev/ref/mod#module-cache).
func cache() (string, error) {
	folder, err := exec.Command("go", "env", "GOMODCACHE").Output()
	if err != nil {
		return "", fmt.Errorf("asking for GOMODCACHE: %w", err)
	}
	return "GOPROXY=" + located(filepath.Join(strings.TrimSpace(string(folder)), "cache", "download")), nil
}

// located is the address of a folder.
func located(folder string) string {
	return (&url.URL{Scheme: "file", Path: "/" + strings.TrimPrefix(filepath.ToSlash(folder), "/")}).String()
}
