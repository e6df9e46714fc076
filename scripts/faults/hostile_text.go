package main

import (
	"fmt"
	"strconv"
	"strings"
)

var (
	derive   = []string{"derive"}
	check    = []string{"check"}
	importOf = func(file string) []string {
		return []string{"import", "-s", "2026-05-01-power", "--target", "250", file}
	}
)

// billionLaughs is the billion laughs of YAML: nine lines that unfold to a thousand
// million words.
func billionLaughs() string {
	var out strings.Builder
	out.WriteString("a0: &a0 [lol, lol, lol, lol, lol, lol, lol, lol, lol, lol]\n")
	for i := 1; i < 9; i++ {
		refs := strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i-1), 10), ", ")
		fmt.Fprintf(&out, "a%d: &a%d [%s]\n", i, i, refs)
	}
	return out.String()
}

func nestedBlock(levels int) string {
	var out strings.Builder
	for i := range levels {
		out.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return out.String()
}

func yamlTraps() []trap {
	const most = 256<<10 - 64 // what is read at all
	document, session := "data/dataset.yaml", sessionFolder+"/session.yaml"
	traps := []trap{
		{"billion laughs", writeText(document, billionLaughs()), derive, 2,
			`dataset\.yaml:1:\d+: an anchor \(&\) is not allowed`, 0},
		{"billion laughs in a session", writeText(session, billionLaughs()), check, 2, `an alias \(\*\) is not allowed`,
			0},
		{"an alias of itself", writeText(document, "title: &a [*a]\n"), derive, 2, `an alias \(\*\) is not allowed`, 0},
		{"merge keys", writeText(document, "title: x\n<<: {a: b}\n"),
			derive, 2, `a merge key \(<<\) is not allowed`, 0},
		{
			"10,000 levels in brackets",
			writePieces(document, piece{"title: ", 1}, piece{"[", 10000}, piece{"]", 10000}, piece{"\n", 1}), derive, 2,
			`nested deeper than 16 levels`, 0,
		},
		{"10,000 levels in braces", writeText(session, strings.Repeat("{a: ", 10000)+strings.Repeat("}", 10000)+"\n"),
			derive,
			2, `nested deeper than 16 levels`, 0},
		{"10,000 levels of dashes", writeText(document, "title:\n  "+strings.Repeat("- ", 10000)+"a\n"), derive, 2,
			`nested deeper than 16 levels`, 0},
		{"600 levels by indentation", writeText(document, nestedBlock(600)), derive, 2, `nested deeper than 16 levels`,
			0},
		{"more than a megabyte of comments", writePieces(document, piece{"# nothing\n", 110000}), derive, 2,
			`has 1100000 bytes, more than the limit of 262144`, 0},
		{"one long line", writePieces(document, piece{"title: ", 1}, piece{"x", most - 10}, piece{"\n", 1}), check, 0,
			``,
			0},
		{"a plan that unfolds", writeText(sessionFolder+"/plan.yaml", billionLaughs()), check, 2,
			`an anchor \(&\) is not allowed`, 0},
	}
	for _, text := range []string{
		"[", "{", "- ", "? ", ": ", "a:\n", "a: b\n", "- a\n", "\"", "'", "|\n", ">\n ", "#\n", "\n", " ",
		"&a ", "*a ", "!a ", "!!str ", "%a\n", "---\n", "...\n", ",", "]", "}", "\\", "\u00e9", "\u2028",
		"a: [", "a: {b: ", "@", "\x60", "a\n ", "\"a\": ",
	} {
		file := writePieces(session, piece{text, most / len(text)})
		traps = append(traps, trap{"nothing but " + strconv.Quote(text), file, check, 2, `session\.yaml`, 250})
	}
	return traps
}

func tableTraps() []trap {
	// The files, and the pieces that they are made of.
	blocks, shoes, pod := sessionFolder+"/blocks.csv", "data/shoes.csv", sessionFolder+"/foot_sensor.csv"
	row, shoe := piece{"1,quenby,0,1\n", 150000}, piece{"s,s\n", 400000}
	head, register := piece{"block,shoe,start_s,end_s\n", 1}, piece{"id,label\n", 1}
	samples := piece{"elapsed_s,power_w\n", 1}
	const full = "elapsed_s,power_w,speed_mps,distance_m,cadence_spm,step_length_m,contact_ms,oscillation_cm," +
		"heart_rate_bpm,altitude_m,air_c\n"
	// Each file is refused with its limit, and in the memory that the last number allows.
	return []trap{
		{"blocks.csv of 1,000,000 rows", writePieces(blocks, head, piece{row.text, 1000000}), derive, 2,
			`blocks\.csv: has \d+ bytes, more than the limit of 4194304`, 0},
		{"blocks.csv of 4 MB", writePieces(blocks, head, row), derive, 2,
			`blocks\.csv.*more than the limit of 10000`, 200},
		{"tidy with blocks.csv of 4 MB", writePieces(blocks, head, row), []string{"tidy"}, 2,
			`blocks\.csv.*more than the limit of 10000`, 200},
		{"shoes.csv of 4 MB", writePieces(shoes, register, shoe), derive, 2,
			`shoes\.csv.*more than the limit of 10000`, 200},
		{"blocks.csv of empty lines", writePieces(blocks, head, piece{"\n", 4<<20 - 100}), derive, 2,
			`blocks\.csv.*more than the limit of 10000`, 200},
		{"blocks.csv of commas", writePieces(blocks, head, piece{",", 4<<20 - 100}), derive, 2,
			`blocks\.csv:2.*more than`, 200},
		{"blocks.csv with a heading of commas", writePieces(blocks, piece{",", 4<<20 - 100}), derive, 2,
			`blocks\.csv:1.*more than`, 200},
		{
			"blocks.csv of one cell",
			writePieces(blocks, head, piece{"1,quenby,0,", 1}, piece{"9", 4<<20 - 100}, piece{"\n", 1}), derive, 2,
			`blocks\.csv:2:`, 200,
		},
		{"blocks.csv with a quote that never ends",
			writePieces(blocks, head, piece{"1,\"", 1}, piece{"a\n", 2<<20 - 100}), derive, 2, `blocks\.csv`, 200},
		{"blocks.csv of quotes", writePieces(blocks, head, piece{"\"", 4<<20 - 100}), derive, 2, `blocks\.csv`, 200},
		{
			"a number of 4 million digits",
			writePieces(shoes, piece{"id,label,mass_g\na,a,", 1}, piece{"1", 4<<20 - 100}, piece{"\n", 1}), derive, 2,
			`shoes\.csv`, 200,
		},
		{
			"zeros after 4 million zeros",
			writePieces(shoes, piece{"id,label,mass_g\na,a,0.", 1}, piece{"0", 4<<20 - 100}, piece{"1\n", 1}), derive,
			2, `shoes\.csv`, 200,
		},
		{"a recording of one line of 60 MB", writePieces(pod, samples, piece{"1", 60 << 20}), derive, 2,
			`foot_sensor\.csv:2`, 300},
		{"a recording with a heading of 60 MB", writePieces(pod, piece{",", 60 << 20}), derive, 2, `foot_sensor\.csv:1`,
			300},
		{"a recording with a row of 60 million commas", writePieces(pod, samples, piece{",", 60 << 20}), derive, 2,
			`foot_sensor\.csv:2`, 300},
		{"a recording of 20 million rows", writePieces(pod, samples, piece{"1,\n", 20 << 20}), derive, 2,
			`foot_sensor\.csv.*more than the limit of 400000`, 300},
		{"a recording of 60 million line ends", writePieces(pod, piece{full, 1}, piece{"\n", 60 << 20}), derive, 2,
			`foot_sensor\.csv.*more than the limit of 400000`, 300},
		{"a recording of 390,000 bad rows", writePieces(pod, piece{full, 1}, piece{"x,y\n", 390000}), derive, 2,
			`foot_sensor\.csv: and 389950 more problems`, 300},
		{"a recording with zeros in it", writePieces(pod, samples, piece{"\x00", 1 << 20}), derive, 2,
			`foot_sensor\.csv:2`,
			200},
		{"a recording that is not text", writePieces(pod, samples, piece{"\xff", 1 << 20}), derive, 2,
			`byte 0xff is not UTF-8 text`, 200},
	}
}
