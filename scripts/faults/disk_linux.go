package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// degrees is how many amounts of room each job is tried with, from none on.
const degrees = 8

// nobody is the user without rights on most systems.
const nobody = 65534

// tryDisk fills a small disk to every degree and takes the right to write away.
func (c *campaign) tryDisk() error {
	if os.Getuid() != 0 {
		c.count("disk full").note = "not tried: mounting takes root"
		return c.tryRights()
	}
	if err := c.tryFull(); err != nil {
		return err
	}
	return c.tryRights()
}

func (c *campaign) tryFull() error {
	jobs, err := c.measuredJobs()
	if err != nil {
		return err
	}
	for i := range jobs {
		j := &jobs[i]
		t := c.count("disk full, " + j.name)
		for degree := range c.tries(degrees) {
			if err := c.fill(t, j, degree); errors.Is(err, syscall.EPERM) {
				t.note = "not tried: mounting is not permitted here"
				break
			} else if err != nil {
				return fmt.Errorf("%s: %w", j.name, err)
			}
		}
	}
	return nil
}

// fill runs a job on a disk that has room for a part of what it writes: nothing
// but a page, then more and more of it.
func (c *campaign) fill(t *tally, j *job, degree int) error {
	dir, err := c.newFolder(nil)
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)

	// A disk in memory with the dataset, cut down to little more than that.
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64m"); err != nil {
		return err
	}
	defer syscall.Unmount(dir, syscall.MNT_DETACH)
	if err := os.Chmod(dir, 0o777); err != nil {
		return err
	}
	if err := j.before.write(dir); err != nil {
		return err
	}
	used, err := usedOf(dir)
	if err != nil {
		return err
	}
	room := used + int64(degree)*int64(degree)*4096
	if err := syscall.Mount("", dir, "tmpfs", syscall.MS_REMOUNT, fmt.Sprintf("size=%d", room)); err != nil {
		return err
	}

	// Run on it: all of it is there afterwards, or nothing has changed.
	o := c.soletrial(dir, j.args...)
	after, err := readTree(dir)
	if err != nil {
		return err
	}
	var wrong []string
	if want := j.before; o.code != 0 {
		wrong = after.differences(want)
		if !strings.Contains(o.err, "no space left on device") || o.code != 2 {
			wrong = append(wrong, fmt.Sprintf("ends with %d: %s", o.code, o.err))
		}
	} else {
		wrong = after.differences(j.after)
	}
	for _, name := range j.before.names() {
		if text, kept := after[name]; !kept || text != j.before[name] && text != j.after[name] {
			t.lost += int64(len(j.before[name]))
		}
	}
	if writing(filepath.Join(dir, j.folder)) {
		wrong = append(wrong, "what was begun is still there")
	}
	c.judge(t, fmt.Sprintf("room for %d bytes", room-used), wrong)
	return c.withRoom(t, j, dir)
}

// withRoom makes room and runs the job again, which has to go through.
func (c *campaign) withRoom(t *tally, j *job, dir string) error {
	if err := syscall.Mount("", dir, "tmpfs", syscall.MS_REMOUNT, "size=64m"); err != nil {
		return err
	}
	after, err := readTree(dir)
	if err != nil || len(after.differences(j.after)) == 0 {
		return err // it went through
	}
	if err := c.must(dir, j.args...); err != nil {
		return err
	}
	after, err = readTree(dir)
	for _, w := range after.differences(j.after) {
		c.wrong = append(c.wrong, t.fault+": with room again: "+w)
	}
	return err
}

func usedOf(dir string) (int64, error) {
	var s syscall.Statfs_t
	err := syscall.Statfs(dir, &s)
	return int64(s.Blocks-s.Bfree) * s.Bsize, err
}
