package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// job is a kind of run that is killed: args are run where before is, and leave
// after when nobody disturbs them.
type job struct {
	name          string
	args          []string
	folder        string // where files wait while they are written, "" the working folder
	before, after tree
	between       tree // what files may hold on the way from one to the other, besides
	took          time.Duration
}

// tryKills kills every job at moments spread over its whole duration and, as often,
// over the short time in which it writes.
func (c *campaign) tryKills() error {
	jobs, err := c.measuredJobs()
	if err != nil {
		return err
	}
	random := rand.New(rand.NewPCG(c.seed, 7))
	for i := range jobs {
		if err := c.killJob(&jobs[i], random); err != nil {
			return fmt.Errorf("%s: %w", jobs[i].name, err)
		}
	}
	return nil
}

func (c *campaign) killJob(j *job, random *rand.Rand) error {
	t := c.count("kill -9, " + j.name)
	writing, early := 0, 0
	for attempt := 0; t.tried < c.kills && attempt < 20*c.kills; attempt++ {
		dir, err := c.newFolder(j.before)
		if err != nil {
			return err
		}

		// Every second kill is aimed at the time in which it writes.
		aimed := t.tried%2 == 1
		moment := time.Duration(random.Float64() * float64(j.took))
		if aimed {
			moment = time.Duration(math.Pow(random.Float64(), 3) * float64(j.took) / 4)
		}
		killed, err := c.kill(j, dir, aimed, moment)
		if err != nil {
			return err
		}

		// One that came before the end counts.
		if killed {
			wrote, wrong, lost := c.afterKill(j, dir)
			if t.lost += lost; wrote {
				writing++
			} else {
				early++
			}
			c.judge(t, fmt.Sprintf("after %v", moment), wrong)
		}
		if err := os.RemoveAll(dir); err != nil {
			return err
		}
	}
	if t.tried < c.kills {
		return fmt.Errorf("only %d of %d kills came before the end", t.tried, c.kills)
	}
	t.note = fmt.Sprintf("%d before anything was written, %d while writing", early, writing)
	return nil
}

// measure runs a job without a kill: what it leaves, and how long it takes.
func (c *campaign) measure(j *job) error {
	var took []time.Duration
	runs := 3
	if c.short {
		runs = 2
	}
	for range runs {
		dir, err := c.newFolder(j.before)
		if err != nil {
			return err
		}
		began := time.Now()
		if err := c.must(dir, j.args...); err != nil {
			return err
		}
		took = append(took, time.Since(began))

		// Every run leaves the same.
		after, err := readTree(dir)
		if err != nil {
			return err
		}
		if wrong := after.differences(j.after); j.after != nil && len(wrong) > 0 {
			return fmt.Errorf("two undisturbed runs differ: %q", wrong)
		}
		j.after = after
		if err := os.RemoveAll(dir); err != nil {
			return err
		}
	}
	if j.took = slices.Min(took); len(j.after.differences(j.before)) == 0 {
		return fmt.Errorf("an undisturbed run changes nothing")
	}
	return nil
}

// kill starts a job and kills it after a moment, which counts from its start, or
// when aimed from the first sign that it writes. It reports whether the job was
// still running.
func (c *campaign) kill(j *job, dir string, aimed bool, moment time.Duration) (bool, error) {
	cmd := c.command(context.Background(), dir, j.args...)
	if err := cmd.Start(); err != nil {
		return false, err
	}
	ended := make(chan struct{})
	go func() {
		cmd.Wait()
		close(ended)
	}()

	// Wait for the moment.
	if aimed {
		for !writing(filepath.Join(dir, j.folder)) {
			select {
			case <-ended:
				return false, nil
			default:
			}
		}
	}
	select {
	case <-ended:
	case <-time.After(moment):
	}
	cmd.Process.Kill()
	<-ended
	return cmd.ProcessState.ExitCode() != 0, nil // which is how it ends when nobody disturbs it
}

// writing reports whether something is on its way in a folder.
func writing(folder string) bool {
	entries, err := os.ReadDir(folder)
	return err == nil && slices.ContainsFunc(entries,
		func(e os.DirEntry) bool { return strings.HasPrefix(e.Name(), tempPrefix) })
}

// afterKill looks at what a killed job left, then lets the next run come.
func (c *campaign) afterKill(j *job, dir string) (wrote bool, wrong []string, lost int64) {
	left, err := readTree(dir)
	if err != nil {
		return false, []string{err.Error()}, 0
	}
	wrote = len(left.differences(j.before)) > 0 || writing(filepath.Join(dir, j.folder))
	wrong, lost = j.checkFiles(left)
	if slices.Contains(j.args, "derive") {
		wrong = append(wrong, c.checkVerify(j, dir, left)...)
	}
	done := len(left.finished().differences(j.after)) == 0 // there may be nothing to do again
	if o := c.soletrial(dir, j.args...); o.code != 0 && !done || o.hung {
		wrong = append(wrong, fmt.Sprintf("the next run ends with %d: %s", o.code, o.err))
	} else if o.code != 0 {
		return wrote, append(wrong, left.finished().differences(j.after)...), lost
	}
	again, err := readTree(dir)
	if err != nil {
		wrong = append(wrong, err.Error())
	}
	for _, w := range again.differences(j.after) {
		wrong = append(wrong, "after the next run "+w)
	}
	if writing(filepath.Join(dir, j.folder)) {
		wrong = append(wrong, "the next run left what the killed one had begun")
	}
	return wrote, wrong, lost
}

// checkFiles checks that every file is as before or as after, in full. The site may
// be aside for a moment, but then it is there as a whole.
func (j *job) checkFiles(left tree) (wrong []string, lost int64) {
	aside := left.under(tempPrefix + "old-public")
	for _, name := range j.before.names() {
		text, found := left[name]
		after, stays := j.after[name]
		switch {
		case found && (text == j.before[name] || text == after || text == j.between[name]):
		case !found && !stays:
		case !found && aside[strings.TrimPrefix(name, "public/")] == j.before[name]:
		default:
			wrong = append(wrong, name+" is neither as before nor as after")
			lost += int64(len(j.before[name]))
		}
	}
	for _, name := range left.names() {
		_, was := j.before[name]
		if onItsWay := strings.Contains("/"+name, "/"+tempPrefix); !was && !onItsWay && left[name] != j.after[name] {
			wrong = append(wrong, name+" is half-written")
			lost += int64(len(j.after[name]))
		}
	}
	return wrong, lost
}

// checkVerify checks that derive --verify finds the tables fresh just when all of
// them are, and that the list of inputs is never newer than a table beside it.
func (c *campaign) checkVerify(j *job, dir string, left tree) (wrong []string) {
	fresh := len(left.under("data/derived").differences(j.after.under("data/derived"))) == 0
	if o := c.soletrial(dir, "derive", "--verify"); (o.code == 0) != fresh || o.code > 1 {
		wrong = append(wrong, fmt.Sprintf("derive --verify ends with %d where tables fresh is %v: %s", o.code, fresh,
			o.err))
	}
	const list = "data/derived/inputs.sha256"
	if changed := j.before[list] != j.after[list]; changed && left[list] == j.after[list] && !fresh {
		wrong = append(wrong, "inputs.sha256 is newer than a table beside it")
	}
	return wrong
}
