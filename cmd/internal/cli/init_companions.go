package cli

import (
	"embed"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
)

// companions are files that go with a dataset and are no part of it.
//
//go:embed companions
var companions embed.FS

// automation is where a dataset is checked and published without anybody at a terminal.
type automation struct {
	host    string // one of ciHosts
	archive string // address of a released program's archive; "" to be written in later
	sha256  string // of the archive
}

// ciHosts are the hosts that init can write a workflow for.
var ciHosts = []string{"github", "none"}

const (
	hookPath     = "hooks/pre-commit"
	workflowPath = ".github/workflows/dataset.yml"
)

var (
	archiveAddress = regexp.MustCompile(`^https:/{2}[-A-Za-z0-9._~:/%+]+\.tar\.gz$`)
	fullSum        = regexp.MustCompile(`^[0-9a-f]{64}$`)
)

// check refuses what cannot be written into a workflow.
func (o *automation) check() error {
	switch {
	case !slices.Contains(ciHosts, o.host):
		hint := "the hosts are " + english.List(ciHosts, "and")
		if near := english.Suggest(o.host, ciHosts); near != "" {
			hint = near
		}
		return voice.Usage(hint, "--ci: no workflow is known for %q", o.host)
	case o.host == "none" && o.archive+o.sha256 != "":
		return voice.Usage("add --ci github", "--release and --release-sha256 are for a workflow")
	case (o.archive == "") != (o.sha256 == ""):
		return voice.Usage("give both; SHA256SUMS, beside the archive, has the sum",
			"--release and --release-sha256 belong together")
	case o.archive != "" && !archiveAddress.MatchString(o.archive):
		return voice.Usage("write the https address of the archive for linux_amd64, which ends in .tar.gz",
			"--release: %q is no address of an archive", o.archive)
	case o.sha256 != "" && !fullSum.MatchString(o.sha256):
		return voice.Usage("SHA256SUMS beside the archive has it: 64 digits and letters from a to f",
			"--release-sha256: %q is no SHA-256", o.sha256)
	}
	return nil
}

// companionFiles are the files that go with a new dataset: what it is, how to cite it, a hook
// for git, and the workflow of a host where one is wanted.
func companionFiles(o automation) (map[string][]byte, error) {
	files := map[string][]byte{
		"CITATION.cff": datapackage.Citation(&trial.DatasetFacts{Title: trial.DefaultTitle}, "", ""),
	}
	from := map[string]string{"README.md": "README.md", hookPath: "pre-commit"}
	if o.host == "github" {
		from[workflowPath] = "github.yml"
	}
	for path, name := range from {
		text, err := companions.ReadFile("companions/" + name)
		if err != nil {
			return nil, voice.Usage("", "cannot make %q: %v", path, err)
		}
		filled := strings.NewReplacer("@ARCHIVE@", o.archive, "@SHA256@", o.sha256).Replace(string(text))
		files[path] = []byte(filled)
	}
	return files, nil
}

// addCompanions puts the companions among the files of a new dataset. One that is there
// already stays, for people start a repository with a README of their own.
func (a *app) addCompanions(dir string, files map[string][]byte, o automation) error {
	extra, err := companionFiles(o)
	if err != nil {
		return err
	}
	for path, text := range extra {
		if dataset.Exists(filepath.Join(dir, filepath.FromSlash(path))) {
			a.Remark("%q is there already and stays as it is", path)
			continue
		}
		files[path] = text
	}
	return nil
}

// remarkAutomation says what is left to do before a hook runs and a workflow can.
func (a *app) remarkAutomation(dir string, o automation) {
	if o.host == "none" {
		return
	}
	if o.archive == "" {
		a.Remark("write the address of a release and its SHA-256 into %q, under env", workflowPath)
	}
	if inRepository(filepath.Dir(filepath.Clean(dir))) {
		a.Remark("the host reads workflows in the top folder of a repository only: move %q there, and in it "+
			"write the dataset's folder after -d", filepath.ToSlash(filepath.Join(dir, workflowPath)))
	}
}

// inRepository reports whether a folder is in a git repository.
func inRepository(dir string) bool {
	at, err := filepath.Abs(dir)
	for err == nil {
		if dataset.Exists(filepath.Join(at, ".git")) {
			return true
		}
		if at == filepath.Dir(at) {
			break
		}
		at = filepath.Dir(at)
	}
	return false
}

// allowHook lets everybody run the hook who may read it, as git asks on systems with such
// rights.
func allowHook(dir string) error {
	path := filepath.Join(dir, filepath.FromSlash(hookPath))
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
