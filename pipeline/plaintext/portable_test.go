package plaintext_test

import (
	"testing"

	"soletrial/pipeline/plaintext"
)

const portable = "choose another name: not con, prn, aux, nul, com0-9 or lpt0-9, without control characters, " +
	"<>:\"|?*, or a dot or blank at the end"

// What Windows cannot keep: Microsoft, "Naming Files, Paths, and Namespaces",
// section "Naming conventions".
func TestPortable(t *testing.T) {
	for name, want := range map[string]bool{
		"foot_sensor.csv": true, "2026-03-07-power": true, "Foot (left).csv": true,
		"console.csv": true, "com10": true,
		"über.csv": true, "a.con": true,
		"con": false, "CON": false, "aux.csv": false, "Nul.tar.gz": false, "lpt1.csv": false, "com0": false,
		"con .csv":  false,
		"12:30.csv": false, "what?.csv": false, "a<b": false, "line\nfeed.csv": false, "tab\t": false, "del\x7f": false,
		"dot.": false, "blank ": false, "dot.csv.": false,
	} {
		if plaintext.Portable(name) != want {
			t.Errorf("%q: got %v", name, !want)
		}
	}
}

// malformedNames are names that some system cannot keep, or that differ in capital
// letters only, wherever a name becomes that of a file.
var malformedNames = []malformed{
	{"venues.csv", "oval,", "oval,Town oval,track,400.000\nlpt1,",
		`venues.csv:3:1: id: not every system allows a file named "lpt1" (` + portable + `)`},
	{session, "file: foot_sensor.csv", "file: aux.csv",
		s1 + "foot_sensor.csv: is not mentioned in session.yaml (list it under recordings, " +
			"or move it out of the dataset)\n" + session +
			`:9:12: file: not every system allows a file named "aux.csv" (` + portable + `)` + "\n" + session +
			`:9:12: file: "aux.csv" is not in the session's folder (import it again, or remove it from the list)`},
	{session, "  - {file: foot_sensor.csv, device: foot_sensor}",
		"  - {file: foot_sensor.csv, device: foot_sensor}\n  - {file: Foot_Sensor.csv}",
		session + `:10:12: file: "Foot_Sensor.csv" ` +
			`differs from "foot_sensor.csv" only in capital letters (rename one of them: not every system keeps both)` +
			"\n" + session + `:10:12: file: "Foot_Sensor.csv" is not in the session's folder (did you mean ` +
			`"foot_sensor.csv"?)`},
}
