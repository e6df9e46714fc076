//go:build unix

package main

import (
	"os"
	"path/filepath"
	"syscall"
)

// tryPlaces puts pipes, devices and links where files belong.
func (c *campaign) tryPlaces() error {
	if err := c.springAll("pipes, devices and sockets for files", c.pipeTraps()); err != nil {
		return err
	}
	return c.springAll("links that leave the dataset or lead to themselves", linkTraps())
}

// instead removes what is at a path and makes something else there.
func instead(path string, create func(full string) error) func(string) error {
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
	sessionFolder + "/footpod.csv", sessionFolder + "/plan.yaml"}

const notFile = `is a link or a device, not a file`

func (c *campaign) pipeTraps() []trap {
	var traps []trap
	for _, path := range inputs {
		traps = append(traps,
			trap{"a pipe for " + path, instead(path, pipe), derive, 2, filepath.Base(path) + ".*" + notFile, 0},
			trap{"tidy with a pipe for " + path, instead(path, pipe), []string{"tidy"}, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"endless zeros for " + path, instead(path, device("zero")), derive, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"a folder for " + path, instead(path, folder), derive, 2,
				filepath.Base(path) + `.*(is a folder, not a file|has no folders of its own|does not belong)`, 0})
	}
	for _, path := range []string{"data/derived/blocks.csv", "data/derived/inputs.sha256"} {
		traps = append(traps,
			trap{"a pipe for " + path, instead(path, pipe), derive, 2, filepath.Base(path) + ".*" + notFile, 0},
			trap{"verify with a pipe for " + path, instead(path, pipe), []string{"derive", "--verify"}, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"publish with a pipe for " + path, instead(path, pipe), []string{"publish"}, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"a folder for " + path, instead(path, folder), derive, 2, filepath.Base(path), 0})
	}
	return append(traps,
		trap{"import of a pipe", instead("run.fit", pipe), imports("run.fit"), 2,
			`cannot read "run\.fit": it is a pipe or a device`, 0},
		trap{"import of endless zeros", func(string) error { return nil }, imports("/dev/zero"), 2,
			`cannot read "/dev/zero": it is a pipe or a device`, 0},
		trap{"import of a folder", instead("run.fit", folder), imports("run.fit"), 2,
			`cannot read "run\.fit": it is a folder`, 0},
		trap{"a pipe for the dataset", instead("data", pipe), derive, 2, `cannot open "data"`, 0},
		trap{"a file for the dataset", instead("data",
			func(full string) error { return os.WriteFile(full, nil, 0o666) }), derive, 2, `cannot open "data"`, 0},
		trap{"a pipe for the site", all(c.derived, instead("public", pipe)), []string{"publish"}, 2,
			`cannot use "public": is not a folder`, 0},
		trap{"a pipe for the folder of a new dataset", instead("mine", pipe), []string{"init", "mine"}, 2,
			`cannot use "mine": is not a folder`, 0},
		trap{"a pipe among the datasets to pool", instead("mine", pipe), []string{"pool", "data", "mine"}, 2,
			`cannot open "mine": is not a folder`, 0},
		trap{"a session with a pipe of another name", instead(sessionFolder+"/more.csv", pipe), derive, 2,
			`more\.csv: ` + notFile, 0},
		trap{"a name with a line feed", instead(sessionFolder+"/a\nb.csv", pipe), derive, 2, `a\\nb\.csv": ` + notFile,
			0},
		trap{"a file with a line feed in its name", put(sessionFolder+"/a\nb.csv", ""), derive, 2,
			`a\\nb\.csv": is not mentioned`, 0},
		trap{"a file whose name is not text", put(sessionFolder+"/\xff\xfe.csv", ""), derive, 2,
			`\\xff\\xfe\.csv": is not mentioned`, 0},
		trap{"a file whose name colours the terminal", put(sessionFolder+"/\x1b[31m.csv", ""), derive, 2,
			`\\x1b\[31m\.csv": is not mentioned`, 0},
		trap{"a session whose name is not text", put("data/sessions/\xff\xfe/session.yaml", ""), derive, 2, `\\xff`, 0},
		trap{"a session with a line feed in its name", put("data/sessions/a\nb/session.yaml", ""), derive, 2, `a\\nb`,
			0},
	)
}

func linkTraps() []trap {
	var traps []trap
	for _, path := range inputs {
		traps = append(traps,
			trap{"a link to /etc/passwd for " + path, instead(path, linkTo("/etc/passwd")), derive, 2,
				filepath.Base(path) + ".*" + notFile, 0},
			trap{"a link to itself for " + path, instead(path, linkTo(filepath.Base(path))), derive, 2,
				filepath.Base(path) + ".*" + notFile, 0})
	}
	outside := put("outside/blocks.csv", "mine\n")
	return append(traps,
		trap{"a link for sessions", all(outside, instead("data/sessions", linkTo("../outside"))), derive, 2,
			`sessions: ` + notFile, 0},
		trap{"a link for a session", all(outside, instead(sessionFolder, linkTo("../../outside"))), derive, 2,
			`2026-03-07-power: ` + notFile, 0},
		trap{"a session that is a link to its parent", instead("data/sessions/loop", linkTo(".")), derive, 2,
			`loop: ` + notFile, 0},
		trap{"a link to a session inside", instead("data/sessions/twin", linkTo("2026-03-07-power")), derive, 2,
			`twin: ` + notFile, 0},
		trap{"a link for derived", all(outside, instead("data/derived", linkTo("../outside"))), derive, 2, `derived`,
			0},
		trap{"a link for derived, verified", all(outside, instead("data/derived", linkTo("../outside"))),
			[]string{"derive", "--verify"}, 2, `derived`, 0},
		trap{"a link for derived that stays inside", instead("data/derived", linkTo("sessions")), derive, 2, `derived`,
			0},
		trap{"a link for a derived table", all(outside,
			instead("data/derived/blocks.csv", linkTo("../../outside/blocks.csv"))), derive, 2,
			`blocks\.csv.*` + notFile, 0},
		trap{"import into a session that is a link",
			all(outside, put("run.csv", "elapsed_s,power_w\n0,1\n1,2\n"),
				instead("data/sessions/2026-05-01-power", linkTo("../../outside"))), imports("run.csv"), 2,
			`2026-05-01-power: ` + notFile, 0},
	)
}
