package main

import (
	"strings"
)

// sparse makes a file that claims five gigabytes and takes no room.
func sparse(path string) func(string) error {
	return func(dir string) error {
		file, err := create(dir, path)
		if err != nil {
			return err
		}
		defer file.Close()
		return file.Truncate(5 << 30)
	}
}

func sparseTraps() []trap {
	const large = `has 5368709120 bytes, more than the limit of`
	var traps []trap
	for _, path := range []string{"data/dataset.yaml", "data/shoes.csv", "data/runners.csv", "data/venues.csv",
		sessionFolder + "/session.yaml", sessionFolder + "/plan.yaml",
		sessionFolder + "/blocks.csv", sessionFolder + "/foot_sensor.csv"} {
		traps = append(traps, trap{path, sparse(path), derive, 2, large, 0})
	}
	for _, file := range []string{"run.fit", "run.gpx", "run.csv"} {
		traps = append(traps, trap{"import of " + file, sparse(file), importOf(file), 2,
			`has 5368709120 bytes, more than the 200 MB that are read`, 0})
	}
	return append(traps,
		trap{"a file that nothing mentions", sparse(sessionFolder + "/more.csv"), check, 0,
			`more\.csv" is no part of the dataset and is ignored`, 0},
		trap{"a derived table, replaced", sparse("data/derived/blocks.csv"), derive, 0, ``, 0},
		trap{"a derived table, verified", sparse("data/derived/blocks.csv"), []string{"derive", "--verify"}, 1,
			`derived files are stale`, 0},
		trap{"tidy of a recording", sparse(sessionFolder + "/foot_sensor.csv"), []string{"tidy"}, 2, large, 0},
	)
}

func nameTraps() []trap {
	session := sessionFolder + "/session.yaml"
	elsewhere := func(file string) func(string) error {
		return edit(session, "file: foot_sensor.csv", "file: "+file)
	}
	const notPlain = `is not a plain file name`
	traps := []trap{
		{"a recording above", elsewhere("../../../../../../etc/passwd"), derive, 2, notPlain, 0},
		{"a recording in another session", elsewhere("../2026-03-07-power/foot_sensor.csv"), derive, 2, notPlain, 0},
		{"a recording by its whole path", elsewhere("/etc/passwd"), derive, 2, notPlain, 0},
		{"a recording with backslashes", elsewhere(`..\..\passwd.csv`), derive, 2, notPlain, 0},
		{"a recording called ..", elsewhere(`..`), derive, 2, `is not a recording`, 0},
		{"a recording called blocks.csv", elsewhere(`blocks.csv`), derive, 2, `is not a recording`, 0},
		{"tidy of a recording above", elsewhere("../../shoes.csv"), []string{"tidy"}, 2, notPlain, 0},
	}
	for _, id := range []string{"..", "../evil", "a/b", "/evil", `a\b`, "", ".", ".evil", "a\nb", "a\x00b", "CON",
		"con", "nul.txt", "\xff", strings.Repeat("a", 300), "a ", "a."} {
		if strings.Contains(id, "\x00") {
			continue // no system passes such an argument on
		}
		traps = append(traps, trap{"import into session " + id, writeText("run.csv", "elapsed_s,power_w\n0,1\n1,2\n"),
			[]string{"import", "-s", id, "--date", "2026-05-01", "--target", "250", "run.csv"}, 2,
			`cannot name a session|cannot be a name|is not a name|too long`, 0})
		traps = append(traps, trap{"import from device " + id, writeText("run.csv", "elapsed_s,power_w\n0,1\n1,2\n"),
			[]string{"import", "-s", "2026-05-01-power", "--target", "250", "--device=" + id, "run.csv"}, 2,
			`cannot name a device|cannot be a name|is not a name|too long`, 0})
	}
	for _, id := range []string{"CON", "aux", "Sessions", "a b", "\u00e9", "a:b", "a*b"} {
		traps = append(traps, trap{"a shoe called " + id, writeText("data/shoes.csv", "id,label\n"+id+",x\n"), derive,
			2,
			`shoes\.csv:2:1: id: `, 0})
	}
	return traps
}
