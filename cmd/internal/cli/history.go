package cli

import (
	"context"
	"os"
	"os/exec"
	"strings"
	"time"
)

// gitPatience is how long one question to git may take.
const gitPatience = 60 * time.Second

// history is what git shows about the files of the dataset's folder. It is read
// once, and never changes anything.
type history struct {
	dir     string
	why     string // why there is nothing to ask; "" when there is
	prefix  string // of the folder in its repository, "" or ending in a slash
	commits []commit
	changes map[string][]change // by path in the dataset, oldest first
}

// commit is one commit that touched the folder. Times are RFC 3339.
type commit struct {
	hash       string
	parents    []int  // in history.commits, those that touched the folder
	time, born string // by the committer's clock, and by the author's when it was first written
}

func (c commit) String() string {
	return c.hash[:min(len(c.hash), 9)] + " of " + c.day()
}

// day is the committer's, in the committer's own zone.
func (c commit) day() string { return c.time[:min(len(c.time), 10)] }

// change is one version of a file.
type change struct {
	commit int
	blob   string // what it holds, by git's name for it
	from   string // the path that it was renamed from, or ""
}

// openHistory reads the history of a folder, or finds out why there is none.
func openHistory(dir string) *history {
	h := &history{dir: dir, changes: map[string][]change{}}
	if _, err := exec.LookPath("git"); err != nil {
		h.why = "git is not installed here"
		return h
	}
	if inside, ok := h.ask("rev-parse", "--is-inside-work-tree"); !ok || strings.TrimSpace(inside) != "true" {
		h.why = "the dataset is not in a git repository"
		return h
	}
	if shallow, ok := h.ask("rev-parse", "--is-shallow-repository"); !ok || strings.TrimSpace(shallow) != "false" {
		h.why = "the history here is cut off; fetch all of it"
		return h
	}
	prefix, ok := h.ask("rev-parse", "--show-prefix")
	if _, born := h.ask("rev-parse", "--verify", "--quiet", "HEAD"); !ok || !born {
		return h // nothing is committed yet
	}
	h.prefix = strings.TrimRight(prefix, "\n")
	text, ok := h.ask("log", "-z", "--raw", "--no-abbrev", "-M", "-l2000", "--full-history", "--parents", "--topo-order", "--reverse", "--format=%x01%H|%P|%cI|%aI", "HEAD", "--", ".")
	if !ok {
		h.why = "git did not answer"
		return h
	}
	h.read(text)
	return h
}

// ask runs a reading command of git and returns what it prints.
func (h *history) ask(args ...string) (answer string, ok bool) {
	ctx, cancel := context.WithTimeout(context.Background(), gitPatience)
	defer cancel()
	// Settings of a repository may name programs to run; those that reading
	// commands could obey are switched off.
	safe := []string{"--no-pager", "--literal-pathspecs", "-c", "core.fsmonitor=false", "-c", "log.showSignature=false", "-C", h.dir}
	cmd := exec.CommandContext(ctx, "git", append(safe, args...)...)
	cmd.Env = append(os.Environ(), "GIT_OPTIONAL_LOCKS=0", "GIT_TERMINAL_PROMPT=0", "GIT_NO_REPLACE_OBJECTS=1", "LC_ALL=C")
	out, err := cmd.Output()
	return string(out), err == nil
}

// read takes in a log whose pieces end in a zero byte: a commit's line begins with
// byte 1, and after it comes, for each file, ":mode mode blob blob kind", its path,
// and the new path where it was renamed.
func (h *history) read(text string) {
	numbers := map[string]int{}
	pieces := strings.Split(text, "\x00")
	for i := 0; i < len(pieces); i++ {
		piece := strings.TrimPrefix(pieces[i], "\n")
		if line, is := strings.CutPrefix(piece, "\x01"); is {
			parts := strings.SplitN(line, "|", 4)
			if len(parts) < 4 {
				continue
			}
			c := commit{hash: parts[0], time: parts[2], born: parts[3]}
			for _, parent := range strings.Fields(parts[1]) {
				if n, known := numbers[parent]; known {
					c.parents = append(c.parents, n)
				}
			}
			numbers[c.hash] = len(h.commits)
			h.commits = append(h.commits, c)
			continue
		}
		fields := strings.Fields(piece)
		if !strings.HasPrefix(piece, ":") || len(fields) != 5 || i+1 >= len(pieces) || len(h.commits) == 0 {
			continue
		}
		made := change{commit: len(h.commits) - 1, blob: fields[3]}
		i++
		path := pieces[i]
		if fields[4][0] == 'R' && i+1 < len(pieces) {
			made.from = strings.TrimPrefix(path, h.prefix)
			i++
			path = pieces[i]
		}
		if fields[4][0] != 'D' {
			path = strings.TrimPrefix(path, h.prefix)
			h.changes[path] = append(h.changes[path], made)
		}
	}
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
			if h.before(c.commit, list[0].commit) {
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

// before reports whether one commit was made on top of another.
func (h *history) before(first, later int) bool {
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
