//go:build unix

package main

import (
	"os"
	"path/filepath"
	"syscall"
)

// tryPlaces puts pipes, devices and links where files belong.
func (c *campaign) tryPlaces() error {
	if err := c.tryTraps("pipes, devices and sockets for files", c.pipeTraps()); err != nil {
		return err
	}
	return c.tryTraps("links that leave the dataset or lead to themselves", linkTraps())
}

// replaceBy removes what is at a path and makes something else there.
func replaceBy(path string, create func(full string) error) func(string) error {
	return func(dir string) error {
		full := filepath.Join(dir, filepath.FromSlash(path))
		if err := os.RemoveAll(full); err != nil {
			return err
		}
		if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
			return err
		}
		return create(full)
	}
}

// derived derives the dataset of a try.
func (c *campaign) derived(dir string) error { return c.must(dir, "derive") }

func pipe(full string) error { return syscall.Mkfifo(full, 0o666) }

func folder(full string) error { return os.MkdirAll(full, 0o777) }

// device makes a link to a device, for devices themselves take rights to make.
func device(name string) func(string) error {
	return func(full string) error { return os.Symlink("/dev/"+name, full) }
}

func linkTo(target string) func(string) error {
	return func(full string) error { return os.Symlink(target, full) }
}

// inputs are the files of the small dataset, one of each kind.
var inputs = []string{"data/dataset.yaml", "data/runners.csv", "data/shoes.csv", "data/venues.csv",
	sessionFolder + "/session.yaml", sessionFolder + "/blocks.csv",
	sessionFolder + "/foot_sensor.csv", sessionFolder + "/plan.yaml"}

const notFile = `is a link or a device, not a file`

func (c *campaign) pipeTraps() []trap {
	var traps []trap
	for _, path := range inputs {
		traps = append(traps,
			trap{"a pipe for " + path, replaceBy(path, pipe), derive, 2, filepath.Base(path) + ".*" + notFile, 0},
			trap{"tidy with a pipe for " + path, replaceBy(path, pipe), []string{"tidy"}, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"endless zeros for " + path, replaceBy(path, device("zero")), derive, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"a folder for " + path, replaceBy(path, folder), derive, 2,
				filepath.Base(path) + `.*is (a folder, not a file|not in the session's folder)`, 0})
	}

	// Where outputs go.
	for _, path := range []string{"data/derived/blocks.csv", "data/derived/inputs.sha256"} {
		traps = append(traps,
			trap{"a pipe for " + path, replaceBy(path, pipe), derive, 2, filepath.Base(path) + ".*" + notFile, 0},
			trap{"verify with a pipe for " + path, replaceBy(path, pipe), []string{"derive", "--verify"}, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"publish with a pipe for " + path, replaceBy(path, pipe), []string{"publish"}, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"a folder for " + path, replaceBy(path, folder), derive, 2, filepath.Base(path), 0})
	}

	// Where recordings, datasets and sites are named.
	return append(traps,
		trap{"import of a pipe", replaceBy("run.fit", pipe), importOf("run.fit"), 2,
			`cannot read "run\.fit": it is a pipe or a device`, 0},
		trap{"import of endless zeros", func(string) error { return nil }, importOf("/dev/zero"), 2,
			`cannot read "/dev/zero": it is a pipe or a device`, 0},
		trap{"import of a folder", replaceBy("run.fit", folder), importOf("run.fit"), 2,
			`cannot read "run\.fit": it is a folder`, 0},
		trap{"a pipe for the dataset", replaceBy("data", pipe), derive, 2, `cannot open "data"`, 0},
		trap{"a file for the dataset",
			replaceBy("data", func(full string) error { return os.WriteFile(full, nil, 0o666) }),
			derive, 2, `cannot open "data"`, 0},
		trap{"a pipe for the site", all(c.derived, replaceBy("public", pipe)), []string{"publish"}, 2,
			`cannot use "public": is not a folder`, 0},
		trap{"a pipe for the folder of a new dataset", replaceBy("mine", pipe), []string{"init", "mine"}, 2,
			`cannot use "mine": is not a folder`, 0},
		trap{"a pipe among the datasets to pool", replaceBy("mine", pipe), []string{"pool", "data", "mine"}, 2,
			`cannot open "mine": is not a folder`, 0},
		trap{"a session with a pipe of another name", replaceBy(sessionFolder+"/more.csv", pipe), derive, 2,
			`more\.csv: ` + notFile, 0},
		trap{"a name with a line feed", replaceBy(sessionFolder+"/a\nb.csv", pipe), derive, 2,
			`a\\nb\.csv": ` + notFile,
			0},
		trap{"a file with a line feed in its name", writeText(sessionFolder+"/a\nb.csv", ""), check, 0,
			`a\\nb\.csv" is no part of the dataset`, 0},
		trap{"a file whose name is not text", writeText(sessionFolder+"/\xff\xfe.csv", ""), check, 0,
			`\\xff\\xfe\.csv" is no part of the dataset`, 0},
		trap{"a file whose name colours the terminal", writeText(sessionFolder+"/\x1b[31m.csv", ""), check, 0,
			`\\x1b\[31m\.csv" is no part of the dataset`, 0},
		trap{"a session whose name is not text", writeText("data/sessions/\xff\xfe/session.yaml", ""), derive, 2,
			`\\xff`, 0},
		trap{"a session with a line feed in its name", writeText("data/sessions/a\nb/session.yaml", ""), derive, 2,
			`a\\nb`,
			0},
	)
}

func linkTraps() []trap {
	var traps []trap
	// In the place of every input.
	for _, path := range inputs {
		traps = append(traps,
			trap{"a link to /etc/passwd for " + path, replaceBy(path, linkTo("/etc/passwd")), derive, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"a link to itself for " + path, replaceBy(path, linkTo(filepath.Base(path))), derive, 2,
				filepath.Base(path) + ".*" + notFile, 0})
	}
	// In the place of folders and of what is written.
	outside := writeText("outside/blocks.csv", "mine\n")
	return append(traps,
		trap{"a link for sessions", all(outside, replaceBy("data/sessions", linkTo("../outside"))), derive, 2,
			`sessions: ` + notFile, 0},
		trap{"a link for a session", all(outside, replaceBy(sessionFolder, linkTo("../../outside"))), derive, 2,
			`2026-03-07-power: ` + notFile, 0},
		trap{"a session that is a link to its parent", replaceBy("data/sessions/loop", linkTo(".")), derive, 2,
			`loop: ` + notFile, 0},
		trap{"a link to a session inside", replaceBy("data/sessions/twin", linkTo("2026-03-07-power")), derive, 2,
			`twin: ` + notFile, 0},
		trap{"a link for derived", all(outside, replaceBy("data/derived", linkTo("../outside"))), derive, 2, `derived`,
			0},
		trap{"a link for derived, verified", all(outside, replaceBy("data/derived", linkTo("../outside"))),
			[]string{"derive", "--verify"}, 2, `derived`, 0},
		trap{"a link for derived that stays inside", replaceBy("data/derived", linkTo("sessions")), derive, 2,
			`derived`, 0},
		trap{"a link for a derived table",
			all(outside, replaceBy("data/derived/blocks.csv", linkTo("../../outside/blocks.csv"))), derive, 2,
			`blocks\.csv.*` + notFile, 0},
		trap{"import into a session that is a link",
			all(outside, writeText("run.csv", "elapsed_s,power_w\n0,1\n1,2\n"),
				replaceBy("data/sessions/2026-05-01-power", linkTo("../../outside"))), importOf("run.csv"), 2,
			`2026-05-01-power: ` + notFile, 0},
	)
}
