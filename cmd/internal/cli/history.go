package cli

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// gitPatience is how long one question to git may take.
const gitPatience = 20 * time.Second

// history asks git about the dataset's folder, and never changes anything.
type history struct {
	dir string
	why string // why there is nothing to ask; "" when there is
}

// openHistory finds out whether there is a history to ask.
func openHistory(dir string) *history {
	h := &history{dir: dir}
	if _, err := exec.LookPath("git"); err != nil {
		h.why = "git is not installed here"
		return h
	}
	if inside, ok := h.ask("rev-parse", "--is-inside-work-tree"); !ok || inside != "true" {
		h.why = "the dataset is not in a git repository"
	} else if shallow, ok := h.ask("rev-parse", "--is-shallow-repository"); !ok || shallow != "false" {
		h.why = "the history here is cut off; fetch all of it"
	}
	return h
}

// ask runs a reading command of git and returns what it prints, without the last
// line feed.
func (h *history) ask(args ...string) (answer string, ok bool) {
	text, ok := h.bytes(args...)
	return strings.TrimRight(string(text), "\n"), ok
}

func (h *history) bytes(args ...string) ([]byte, bool) {
	ctx, cancel := context.WithTimeout(context.Background(), gitPatience)
	defer cancel()
	// Settings of a repository may name programs to run; those that reading
	// commands could obey are switched off.
	safe := []string{"--no-pager", "--literal-pathspecs", "-c", "core.fsmonitor=false", "-c", "log.showSignature=false", "-C", h.dir}
	cmd := exec.CommandContext(ctx, "git", append(safe, args...)...)
	cmd.Env = append(os.Environ(), "GIT_OPTIONAL_LOCKS=0", "GIT_TERMINAL_PROMPT=0", "LC_ALL=C")
	out, err := cmd.Output()
	return out, err == nil
}

// commit is one commit, by what it is called and its time by the committer's clock,
// as RFC 3339 writes it.
type commit struct{ hash, time string }

func (c commit) String() string {
	return c.hash[:min(len(c.hash), 9)] + " of " + c.time[:min(len(c.time), 10)]
}

// commits lists the commits that changed any of the files, oldest first; merges
// are followed as git follows them.
func (h *history) commits(paths ...string) []commit {
	if len(paths) == 0 {
		return nil
	}
	text, ok := h.ask(append([]string{"log", "--no-renames", "--topo-order", "--reverse", "--format=%H %cI", "HEAD", "--"}, paths...)...)
	if !ok || text == "" {
		return nil
	}
	var list []commit
	for line := range strings.SplitSeq(text, "\n") {
		hash, time, _ := strings.Cut(line, " ")
		list = append(list, commit{hash, time})
	}
	return list
}

// before reports whether one commit was made on top of another.
func (h *history) before(first, later commit) bool {
	if first.hash == later.hash {
		return false
	}
	_, ok := h.ask("merge-base", "--is-ancestor", first.hash, later.hash)
	return ok
}

// sameAs reports whether a file is still what it was in a commit, apart from line
// ends.
func (h *history) sameAs(c commit, path string) bool {
	was, ok := h.bytes("cat-file", "blob", c.hash+":./"+path)
	is, err := os.ReadFile(filepath.Join(h.dir, filepath.FromSlash(path)))
	unix := func(text []byte) []byte { return bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")) }
	return ok && err == nil && bytes.Equal(unix(was), unix(is))
}
