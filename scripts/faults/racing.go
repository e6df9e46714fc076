package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"soletrial/pipeline/checksum"
)

// races is how often derive runs while a file changes under it, for each way in
// which it changes.
const races = 15

// tryRaces lets a file change while derive reads. What derive writes must be what
// it gives for one state that the file had, or it must write nothing and say so.
func (c *campaign) tryRaces() error {
	for _, race := range []struct {
		fault, path string
		change      func(path string, n int, text string) error
	}{
		{"a recording replaced while it is read", sessionFolder + "/foot_sensor.csv", replaceFile},
		{"a recording growing while it is read", sessionFolder + "/foot_sensor.csv", appendLine},
		{"a table written over while it is read", sessionFolder + "/blocks.csv", rewriteFile},
	} {
		if err := c.race(c.count(race.fault), race.path, race.change); err != nil {
			return fmt.Errorf("%s: %w", race.fault, err)
		}
	}
	return nil
}

// replaceFile replaces a file by another, as editors do.
func replaceFile(path string, n int, text string) error {
	if err := os.WriteFile(path+".new~", []byte(variant(text, n)), 0o666); err != nil {
		return err
	}
	return os.Rename(path+".new~", filepath.Join(filepath.Dir(path), filepath.Base(path)))
}

// variant changes a number in the last line.
func variant(text string, n int) string {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	last := strings.Split(lines[len(lines)-1], ",")
	last[1] = strconv.Itoa(200+n%50) + ".0"
	lines[len(lines)-1] = strings.Join(last, ",")
	return strings.Join(lines, "\n") + "\n"
}

// appendLine appends a line, as a device does that still records.
func appendLine(path string, n int, text string) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return err
	}
	defer file.Close()
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	last := strings.Split(lines[len(lines)-1], ",")
	last[0] = strconv.Itoa(100000+n) + ".000"
	_, err = file.WriteString(strings.Join(last, ",") + "\n")
	return err
}

// rewriteFile empties a file and writes it again, as a careless program does.
func rewriteFile(path string, n int, text string) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	defer file.Close()
	for line := range strings.SplitAfterSeq(text, "\n") {
		if _, err := file.WriteString(line); err != nil {
			return err
		}
	}
	return nil
}

func (c *campaign) race(t *tally, path string, change func(string, int, string) error) error {
	demo, err := c.small()
	if err != nil {
		return err
	}
	took, err := c.deriveDuration(demo)
	if err != nil {
		return err
	}
	fine, refused := 0, 0
	random := rand.New(rand.NewPCG(c.seed, 11))
	for n := range c.tries(races) {
		dir, err := c.newFolder(demo)
		if err != nil {
			return err
		}

		// Change the file up to four times within half the usual duration.
		o, states, err := c.whileChanging(dir, path, demo[path], 1+n%4,
			func() time.Duration { return time.Duration(random.Float64() * float64(took) / 2) }, change)
		if err != nil {
			return err
		}
		wrong, ended := c.checkOneState(dir, path, o, demo, states)
		if ended {
			fine++
		} else {
			refused++
		}
		c.judge(t, "run "+strconv.Itoa(n), wrong)
		if err := os.RemoveAll(dir); err != nil {
			return err
		}
	}
	t.note = fmt.Sprintf("%d gave tables of one state, %d wrote nothing and said why", fine, refused)
	return nil
}

// deriveDuration is how long derive takes where nobody disturbs it.
func (c *campaign) deriveDuration(demo tree) (time.Duration, error) {
	dir, err := c.newFolder(demo)
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	start := time.Now()
	if o := c.soletrial(dir, "derive"); o.code != 0 {
		return 0, fmt.Errorf("derive, undisturbed, ends with %d: %s", o.code, o.err)
	}
	return time.Since(start), nil
}

// whileChanging runs derive while a file changes so many times, and returns all
// states that the file had between two changes, by their hashes.
func (c *campaign) whileChanging(dir, path, text string, changes int, pause func() time.Duration,
	change func(string, int, string) error) (outcome, map[string]string, error) {
	full := filepath.Join(dir, filepath.FromSlash(path))
	states := map[string]string{checksum.SHA256([]byte(text)): text}
	done, failed := make(chan outcome, 1), error(nil)
	go func() { done <- c.soletrial(dir, "derive") }()
	for n := 0; ; n++ {
		select {
		case o := <-done:
			return o, states, failed
		case <-time.After(pause()):
		}
		if n >= changes {
			continue
		}
		if err := change(full, n, text); err != nil {
			failed = err
		}
		if is, err := os.ReadFile(full); err == nil {
			states[checksum.SHA256(is)] = string(is)
		}
	}
}

// checkOneState checks what derive wrote against what it gives, undisturbed, for the
// state of the file whose hash it wrote down.
func (c *campaign) checkOneState(dir, path string, o outcome, demo tree, states map[string]string) (wrong []string,
	ended bool) {
	after, err := readTree(dir)
	if err != nil {
		return []string{err.Error()}, false
	}
	tables := after.under("data/derived")
	if o.code != 0 {
		if len(tables) > 0 {
			wrong = append(wrong, "it failed and left tables")
		}
		if o.hung || o.code != 2 || !strings.Contains(o.err, filepath.Base(path)) {
			wrong = append(wrong, fmt.Sprintf("ends with %d: %s", o.code, o.err))
		}
		return wrong, false
	}

	// Find the state whose hash it wrote down, and derive that one undisturbed.
	name := strings.TrimPrefix(path, "data/")
	at := strings.Index(tables["inputs.sha256"], "  "+name+"\n")
	if at < 64 {
		return []string{name + " is not in inputs.sha256"}, true
	}
	state, known := states[tables["inputs.sha256"][at-64:at]]
	if !known {
		return []string{"inputs.sha256 has a hash of " + name + " that it never had"}, true
	}
	quiet := merged(demo, "", tree{path: state})
	want, err := c.treeAfter(quiet, "derive")
	if err != nil {
		return []string{err.Error()}, true
	}
	return tables.differences(want.under("data/derived")), true
}
