package main_test

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// sharedRecordings are real recordings, beside the repository where they are
// there at all.
const sharedRecordings = "../shared/recordings"

// condition answers the conditions of our own: [shared] holds where the real
// recordings are.
func condition(root, name string) (bool, error) {
	if name != "shared" {
		return false, fmt.Errorf("unknown condition %q", name)
	}
	_, err := os.Stat(filepath.Join(root, sharedRecordings))
	return err == nil, nil
}

// stage is what one script's commands share.
type stage struct {
	repository, work string
	before, after    map[string]string // the script's folder around the last run
	release          func()            // what hold started, nil before
}

type stageKey struct{}

func stageOf(ts *testscript.TestScript) *stage { return ts.Value(stageKey{}).(*stage) }

// folderMark stands for a folder in a snapshot.
const folderMark = "a folder"

// snapshot lists the script's folder: every file with the hash of its content,
// every folder with a mark. The place for temporary files is left out.
func (s *stage) snapshot() (map[string]string, error) {
	seen := map[string]string{}
	err := filepath.WalkDir(s.work, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(s.work, path)
		switch {
		case err != nil:
			return err
		case entry.IsDir() && entry.Name() == ".tmp":
			return fs.SkipDir
		case entry.IsDir():
			seen[filepath.ToSlash(name)] = folderMark
			return nil
		case entry.Type()&fs.ModeSymlink != 0:
			target, err := os.Readlink(path)
			seen[filepath.ToSlash(name)] = "a link to " + target
			return err
		}
		text, err := os.ReadFile(path)
		seen[filepath.ToSlash(name)] = fmt.Sprintf("%x", sha256.Sum256(text))
		return err
	})
	return seen, err
}

// changed lists what differs between the snapshots around the last run.
func (s *stage) changed(folders bool) []string {
	var names []string
	for name, was := range s.before {
		if is := s.after[name]; is != was && (folders || was != folderMark) {
			names = append(names, name)
		}
	}
	for name, is := range s.after {
		if _, was := s.before[name]; !was && (folders || is != folderMark) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// exits runs a program and asserts its exit code: exits CODE PROGRAM [ARGS...].
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM [ARGS...]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	s := stageOf(ts)
	s.before, err = s.snapshot()
	ts.Check(err)
	failed := ts.Exec(args[1], args[2:]...)
	s.after, err = s.snapshot()
	ts.Check(err)
	code := 0
	var exit *exec.ExitError
	if errors.As(failed, &exit) {
		code = exit.ExitCode()
	} else if failed != nil {
		ts.Fatalf("cannot run %s: %v", args[1], failed)
	}
	if code != want {
		ts.Fatalf("exit code %d, want %d", code, want)
	}
	checkOutput(ts, args[1], args[2:], code)
}

// untouched asserts that the last run changed, made and removed nothing, folders
// included: untouched.
func untouched(ts *testscript.TestScript, neg bool, args []string) {
	s := stageOf(ts)
	if neg || len(args) > 0 || s.before == nil {
		ts.Fatalf("usage: untouched, after exits")
	}
	if names := s.changed(true); len(names) > 0 {
		ts.Fatalf("the last run touched %q", names)
	}
}

// touched asserts that the last run changed, made or removed exactly these
// files: touched FILE...
func touched(ts *testscript.TestScript, neg bool, args []string) {
	s := stageOf(ts)
	if neg || len(args) == 0 || s.before == nil {
		ts.Fatalf("usage: touched FILE..., after exits")
	}
	slices.Sort(args)
	if names := s.changed(false); !slices.Equal(names, args) {
		ts.Fatalf("the last run touched\n  %s\nwant\n  %s", strings.Join(names, "\n  "), strings.Join(args, "\n  "))
	}
}
