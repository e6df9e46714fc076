package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// tryRights runs every job where it may not write: in the whole folder, and only
// below the dataset's top.
func (c *campaign) tryRights() error {
	jobs, err := c.measuredJobs()
	if err != nil {
		return err
	}
	t := c.count("read-only folder")
	for i := range jobs {
		for _, top := range []os.FileMode{0o555, 0o777} {
			if j := &jobs[i]; top == 0o777 && (j.folder == "" || j.name == "derive, no tables yet") {
				continue // which write at the top alone, or beside the dataset
			}
			if err := c.readOnly(t, &jobs[i], top); err != nil {
				return fmt.Errorf("%s: %w", jobs[i].name, err)
			}
		}
	}
	return nil
}

// readOnly runs a job in a folder that cannot be written, with the dataset's top
// as given.
func (c *campaign) readOnly(t *tally, j *job, top os.FileMode) error {
	dir, err := c.newFolder(j.before)
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	err = filepath.WalkDir(dir, func(path string, entry os.DirEntry, err error) error {
		if err == nil && os.Getuid() == 0 {
			err = os.Chown(path, nobody, nobody)
		}
		if err == nil && entry.IsDir() {
			err = os.Chmod(path, 0o555)
		}
		return err
	})
	if err == nil {
		err = os.Chmod(filepath.Join(dir, "data"), top)
	}
	if err != nil {
		return err
	}
	defer filepath.WalkDir(dir, func(path string, entry os.DirEntry, err error) error {
		if err == nil && entry.IsDir() {
			os.Chmod(path, 0o777) // so that it can be removed
		}
		return nil
	})
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	cmd := c.command(ctx, dir, j.args...)
	if os.Getuid() == 0 { // whom no rights hold back
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	o := finish(ctx, cmd)
	after, err := readTree(dir)
	if err != nil {
		return err
	}
	wrong := after.differences(j.before)
	if writing(filepath.Join(dir, j.folder)) {
		wrong = append(wrong, "what was begun is still there")
	}
	if o.hung || o.code != 2 || !strings.Contains(o.err, "permission denied") {
		wrong = append(wrong, fmt.Sprintf("ends with %d: %s", o.code, o.err))
	}
	c.judge(t, fmt.Sprintf("%s, top %o", j.name, top), wrong)
	return nil
}
