// Package history asks git whether the plans of a dataset were committed before
// what was run, and says so in words for people.
//
// Call [Plans]. It only reads: settings of the repository that could run a program
// are switched off. What it finds is never derived, because it is not part of the
// dataset and not the same in every clone.
package history

import (
	"context"
	"os"
	"os/exec"
	"strings"
	"time"
)

// gitTimeout is how long one question to git may take.
const gitTimeout = 60 * time.Second

// history is what git shows about the files of the dataset's folder, read once.
type history struct {
	dir         string
	unavailable string // why there is nothing to ask; "" when there is
	prefix      string // of the folder in its repository, "" or ending in a slash
	commits     []commit
	changes     map[string][]change // by path in the dataset, oldest first
}

// commit is one commit that touched the folder. Times are RFC 3339.
type commit struct {
	hash      string
	parents   []int  // in history.commits, those that touched the folder
	committed string // by the committer's clock
	authored  string // by the author's clock, when it was first written
}

func (c commit) String() string {
	return c.hash[:min(len(c.hash), 9)] + " of " + c.day()
}

// day is the committer's, in the committer's own zone.
func (c commit) day() string { return c.committed[:min(len(c.committed), 10)] }

// change is one version of a file.
type change struct {
	commit int
	blob   string // what it holds, by git's name for it
	from   string // the path that it was renamed from, or ""
}

// open reads the history of a folder, or finds out why there is none.
func open(dir string) *history {
	h := &history{dir: dir, changes: map[string][]change{}}
	// Whether there is a whole history to read.
	if _, err := exec.LookPath("git"); err != nil {
		h.unavailable = "git is not installed here"
		return h
	}
	if inside, ok := h.git("rev-parse", "--is-inside-work-tree"); !ok || strings.TrimSpace(inside) != "true" {
		h.unavailable = "the dataset is not in a git repository"
		return h
	}
	if shallow, ok := h.git("rev-parse", "--is-shallow-repository"); !ok || strings.TrimSpace(shallow) != "false" {
		h.unavailable = "the history here is cut off; fetch all of it (git fetch --unshallow)"
		return h
	}
	prefix, ok := h.git("rev-parse", "--show-prefix")
	if _, hasCommits := h.git("rev-parse", "--verify", "--quiet", "HEAD"); !ok || !hasCommits {
		return h
	}
	h.prefix = strings.TrimRight(prefix, "\n")
	// Every commit that touched the folder, parents first.
	log, ok := h.git("log", "-z", "--raw", "--no-abbrev", "-M", "-l2000", "--full-history", "--parents",
		"--topo-order", "--reverse", "--format=%x01%H|%P|%cI|%aI", "HEAD", "--", ".")
	if !ok {
		h.unavailable = "git did not answer"
		return h
	}
	h.parseLog(log)
	return h
}

// git runs a reading command of git and returns what it prints.
func (h *history) git(args ...string) (output string, ok bool) {
	ctx, cancel := context.WithTimeout(context.Background(), gitTimeout)
	defer cancel()
	// Settings of a repository may name programs to run; those that reading
	// commands could obey are switched off.
	safe := []string{"--no-pager", "--literal-pathspecs", "-c", "core.fsmonitor=false", "-c",
		"log.showSignature=false", "-C", h.dir}
	cmd := exec.CommandContext(ctx, "git", append(safe, args...)...)
	cmd.Env = append(os.Environ(), "GIT_OPTIONAL_LOCKS=0", "GIT_TERMINAL_PROMPT=0", "GIT_NO_REPLACE_OBJECTS=1",
		"LC_ALL=C")
	out, err := cmd.Output()
	return string(out), err == nil
}

// parseLog takes in a log whose pieces end in a zero byte: a commit's line begins
// with byte 1, and after it comes, for each file, ":mode mode blob blob kind", its
// path, and the new path where it was renamed.
func (h *history) parseLog(log string) {
	numbers := map[string]int{}
	pieces := strings.Split(log, "\x00")
	for i := 0; i < len(pieces); i++ {
		piece := strings.TrimPrefix(pieces[i], "\n")
		// A commit.
		if line, is := strings.CutPrefix(piece, "\x01"); is {
			if c, ok := parseCommit(line, numbers); ok {
				numbers[c.hash] = len(h.commits)
				h.commits = append(h.commits, c)
			}
			continue
		}
		// A file that the last commit changed.
		fields := strings.Fields(piece)
		if !strings.HasPrefix(piece, ":") || len(fields) != 5 || i+1 >= len(pieces) || len(h.commits) == 0 {
			continue
		}
		version := change{commit: len(h.commits) - 1, blob: fields[3]}
		i++
		path := pieces[i]
		if fields[4][0] == 'R' && i+1 < len(pieces) {
			version.from = strings.TrimPrefix(path, h.prefix)
			i++
			path = pieces[i]
		}
		if fields[4][0] != 'D' {
			path = strings.TrimPrefix(path, h.prefix)
			h.changes[path] = append(h.changes[path], version)
		}
	}
}

// parseCommit reads "hash|parents|committed|authored"; numbers are those of the
// commits before.
func parseCommit(line string, numbers map[string]int) (c commit, ok bool) {
	parts := strings.SplitN(line, "|", 4)
	if len(parts) < 4 {
		return commit{}, false
	}
	c = commit{hash: parts[0], committed: parts[2], authored: parts[3]}
	for _, parent := range strings.Fields(parts[1]) {
		if n, known := numbers[parent]; known {
			c.parents = append(c.parents, n)
		}
	}
	return c, true
}

// versions lists the versions of a file, oldest first, also those under the names it
// had before, as far as git finds a renamed file again by its content.
func (h *history) versions(path string) []change {
	list := h.changes[path]
	for seen := map[string]bool{path: true}; len(list) > 0 && list[0].from != "" && !seen[list[0].from]; {
		from := list[0].from
		seen[from] = true
		var older []change
		for _, c := range h.changes[from] {
			if h.isAncestor(c.commit, list[0].commit) {
				older = append(older, c)
			}
		}
		list = append(older, list...)
		if len(older) == 0 {
			break
		}
	}
	return list
}

// isAncestor reports whether the later commit was made on top of the first.
func (h *history) isAncestor(first, later int) bool {
	if first >= later { // commits come after their parents
		return false
	}
	seen := make([]bool, later+1)
	next := []int{later}
	for len(next) > 0 {
		c := next[len(next)-1]
		next = next[:len(next)-1]
		for _, parent := range h.commits[c].parents {
			if parent == first {
				return true
			}
			if parent > first && !seen[parent] {
				seen[parent] = true
				next = append(next, parent)
			}
		}
	}
	return false
}
