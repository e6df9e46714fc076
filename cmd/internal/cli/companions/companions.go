// Package companions has the files that go with a new dataset and are no part of it: what it
// is, how to cite it, a hook for git, and the workflow of a host that checks and publishes it.
package companions

import (
	"embed"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
)

//go:embed templates
var templates embed.FS

// Options is where a dataset is checked and published without anybody at a terminal.
type Options struct {
	Host    string // one of [Hosts]
	Archive string // address of a released program's archive; "" to be written in later
	SHA256  string // of the archive
}

// Hosts are those that a workflow can be written for, and none.
var Hosts = []string{"github", "none"}

// HookPath and WorkflowPath are where the hook and the workflow stand in a dataset.
const (
	HookPath     = "hooks/pre-commit"
	WorkflowPath = ".github/workflows/dataset.yml"
)

var (
	archiveAddress = regexp.MustCompile(`^https:/{2}[-A-Za-z0-9._~:/%+]+\.tar\.gz$`)
	fullSum        = regexp.MustCompile(`^[0-9a-f]{64}$`)
)

// Check refuses what cannot be written into a workflow, by the flags of init.
func (o *Options) Check() error {
	switch {
	case !slices.Contains(Hosts, o.Host):
		hint := "the hosts are " + english.List(Hosts, "and")
		if near := english.Suggest(o.Host, Hosts); near != "" {
			hint = near
		}
		return voice.Usage(hint, "--ci: no workflow is known for %q", o.Host)
	case o.Host == "none" && o.Archive+o.SHA256 != "":
		return voice.Usage("add --ci github", "--release and --release-sha256 are for a workflow")
	case (o.Archive == "") != (o.SHA256 == ""):
		return voice.Usage("give both; SHA256SUMS, beside the archive, has the sum",
			"--release and --release-sha256 belong together")
	case o.Archive != "" && !archiveAddress.MatchString(o.Archive):
		return voice.Usage("write the https address of the archive for linux_amd64, which ends in .tar.gz",
			"--release: %q is no address of an archive", o.Archive)
	case o.SHA256 != "" && !fullSum.MatchString(o.SHA256):
		return voice.Usage("SHA256SUMS beside the archive has it: 64 digits and letters from a to f",
			"--release-sha256: %q is no SHA-256", o.SHA256)
	}
	return nil
}

// Files are those files by path, with the workflow of a host where one is wanted.
func Files(o Options) (map[string][]byte, error) {
	files := map[string][]byte{
		"CITATION.cff": datapackage.Citation(&trial.DatasetFacts{Title: trial.DefaultTitle}, "", ""),
	}
	from := map[string]string{"README.md": "README.md", HookPath: "pre-commit"}
	if o.Host == "github" {
		from[WorkflowPath] = "github.yml"
	}
	for path, name := range from {
		text, err := templates.ReadFile("templates/" + name)
		if err != nil {
			return nil, voice.Usage("", "cannot make %q: %v", path, err)
		}
		filled := strings.NewReplacer("@ARCHIVE@", o.Archive, "@SHA256@", o.SHA256).Replace(string(text))
		files[path] = []byte(filled)
	}
	return files, nil
}

// AllowHook lets everybody run the hook who may read it, as git asks on systems with such
// rights.
func AllowHook(dir string) error {
	path := filepath.Join(dir, filepath.FromSlash(HookPath))
	info, err := os.Stat(path)
	if err == nil {
		rights := info.Mode().Perm()
		err = os.Chmod(path, rights|rights&0o444>>2)
	}
	if err != nil {
		return voice.Usage("run chmod +x on it", "cannot let git run %q: %v", path, voice.Reason(err))
	}
	return nil
}
