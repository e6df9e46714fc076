// Command release builds what is given to people who have no Go: for every system one archive
// with the program (the explorer inside), manual pages, completion scripts and the licences,
// and one with soletrial-export, for the few who take samples elsewhere; SHA256SUMS over the
// archives, and programs.sha256 over the programs in them, by which a site's program.json can
// be found. `make release` builds the explorer first and calls it with the flags that every
// build of the programs has:
//
//	go run ./scripts/release -o FOLDER [-for linux/amd64] -- GO-BUILD-FLAGS...
//
// The same commit gives the same bytes with the Go that go.mod names: nothing in an archive
// depends on the machine, and its times are those of the commit (SOURCE_DATE_EPOCH, where it is
// set). `sh scripts/reproducible.sh release` shows it.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"soletrial/pipeline/checksum"
	"soletrial/viewer/bundle"
)

// systems are what a release is for.
var systems = []string{"linux/amd64", "linux/arm64", "darwin/amd64", "darwin/arm64", "windows/amd64"}

// product is a program of a release. It has archives of its own.
type product struct {
	name    string            // of the program, of its package in cmd and of its archives
	budget  int               // bytes that the program may have
	carried map[string]string // files of the repository that go along, by their path in the archive
	manual  func(path string) bool
}

// products are the programs: in the first is the explorer, which takes 3.9 million bytes.
var products = []product{
	{"soletrial", 20_000_000, map[string]string{"README.md": "README.md", "LICENSE": "LICENSE",
		"CHANGELOG.md": "CHANGELOG.md", "licences.txt": "cmd/internal/notices/program.txt",
		"output.schema.json": "cmd/soletrial/output.schema.json"},
		func(path string) bool { return path != exportPage }},
	{"soletrial-export", 17_000_000, map[string]string{"README.md": "cmd/soletrial-export/README.md",
		"LICENSE": "LICENSE", "CHANGELOG.md": "CHANGELOG.md", "licences.txt": "cmd/internal/notices/export.txt"},
		func(path string) bool { return path == exportPage }},
}

// exportPage is the only part of the manual that is about soletrial-export.
const exportPage = "man/man1/soletrial-export.1"

func main() {
	out := flag.String("o", "release", "the `folder` for the archives; it must be new or empty")
	only := flag.String("for", "", "build for one `system` alone, such as linux/amd64")
	flag.Parse()
	if err := run(*out, *only, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func run(out, only string, buildFlags []string) error {
	if !bundle.Built() {
		return fmt.Errorf("the explorer is not built: run `make viewer` first")
	}
	if entries, err := os.ReadDir(out); err == nil && len(entries) > 0 {
		return fmt.Errorf("%s is not empty: remove it, or name another folder with -o", out)
	}
	wanted := systems
	if only != "" {
		wanted = slices.DeleteFunc(slices.Clone(systems), func(s string) bool { return s != only })
	}
	if len(wanted) == 0 {
		return fmt.Errorf("no release is made for %q: the systems are %s", only, strings.Join(systems, ", "))
	}
	// What is the same in every archive.
	r := release{buildFlags: buildFlags}
	var err error
	if r.version, err = programVersion(); err != nil {
		return err
	}
	if r.date, err = commitDate(); err != nil {
		return err
	}
	if r.manual, err = manualFiles(r.date); err != nil {
		return err
	}
	return r.write(out, wanted)
}

// release is what all archives of one release share.
type release struct {
	version    string
	date       time.Time
	buildFlags []string
	manual     []file // pages and completion scripts, the same on every system
}

// write builds for every system and writes the archives and their sums.
func (r *release) write(out string, systems []string) error {
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	var archives, programs string
	for _, p := range products {
		for _, system := range systems {
			name := p.name + "_" + r.version + "_" + strings.ReplaceAll(system, "/", "_")
			archive, program, err := r.archive(p, name, system)
			if err != nil {
				return err
			}
			if err := os.WriteFile(filepath.Join(out, archive.path), archive.text, 0o644); err != nil {
				return err
			}
			fmt.Printf("%-46s %9d bytes, the program in it %d\n", archive.path, len(archive.text), len(program.text))
			archives += sumLine(archive.path, archive.text)
			programs += sumLine(name+"/"+program.path, program.text)
		}
	}
	if err := os.WriteFile(filepath.Join(out, "SHA256SUMS"), []byte(archives), 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(out, "programs.sha256"), []byte(programs), 0o644)
}

// archive builds a program for one system and packs it with what goes along.
func (r *release) archive(p product, name, system string) (archive, program file, err error) {
	if program, err = r.build(p.name, system); err != nil {
		return file{}, file{}, err
	}
	if len(program.text) > p.budget {
		return file{}, file{}, fmt.Errorf("%s for %s has %d bytes, more than %d", p.name, system, len(program.text),
			p.budget)
	}
	files, err := p.files(r.manual)
	if err != nil {
		return file{}, file{}, err
	}
	archive, err = r.pack(name, system, append(files, program))
	return archive, program, err
}

// sumLine is a line as sha256sum writes and checks it.
func sumLine(path string, text []byte) string { return checksum.SHA256(text) + "  " + path + "\n" }

// build compiles a program for one system.
func (r *release) build(name, system string) (file, error) {
	folder, err := os.MkdirTemp("", "release")
	if err != nil {
		return file{}, err
	}
	defer os.RemoveAll(folder)
	goos, goarch, _ := strings.Cut(system, "/")
	f := file{path: name, mode: 0o755}
	if goos == "windows" {
		f.path += ".exe"
	}
	path := filepath.Join(folder, f.path)
	build := exec.Command("go", append(append([]string{"build"}, r.buildFlags...), "-o", path, "./cmd/"+name)...)
	// Levels of the processor are Go's defaults, whatever the environment says.
	build.Env = append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch, "CGO_ENABLED=0", "GOFLAGS=", "GOAMD64=",
		"GOARM64=", "GOEXPERIMENT=")
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		return file{}, fmt.Errorf("building %s for %s: %w", name, system, err)
	}
	f.text, err = os.ReadFile(path)
	return f, err
}

var versionLine = regexp.MustCompile(`(?m)^const Version = "([0-9]+\.[0-9]+\.[0-9]+)"$`)

// programVersion reads the version where the program has it.
func programVersion() (string, error) {
	const path = "cmd/internal/cli/version.go"
	text, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("run this in the repository's root: %w", err)
	}
	found := versionLine.FindSubmatch(text)
	if found == nil {
		return "", fmt.Errorf("%s has no line that reads %s", path, versionLine)
	}
	return string(found[1]), nil
}

// commitDate is the time that stands for now: that of the last commit, so that a release
// made of it tomorrow is the same.
func commitDate() (time.Time, error) {
	text := os.Getenv("SOURCE_DATE_EPOCH")
	if text == "" {
		out, err := exec.Command("git", "log", "-1", "--format=%ct").Output()
		if err != nil {
			return time.Time{}, fmt.Errorf("asking git for the time of the last commit (or set SOURCE_DATE_EPOCH): %w",
				err)
		}
		text = strings.TrimSpace(string(out))
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return time.Time{}, fmt.Errorf("SOURCE_DATE_EPOCH is %q, not a number of seconds", text)
	}
	return time.Unix(seconds, 0).UTC(), nil
}
