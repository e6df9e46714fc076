package main

import (
	"fmt"
	"strconv"
	"strings"
)

var (
	derive  = []string{"derive"}
	check   = []string{"check"}
	imports = func(file string) []string {
		return []string{"import", "-s", "2026-05-01-power", "--target", "250", file}
	}
)

// laughs is the billion laughs of YAML: nine lines that unfold to a thousand
// million words.
func laughs() string {
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
	const megabyte = 1<<20 - 64
	document, session := "data/dataset.yaml", sessionFolder+"/session.yaml"
	many := func(line string) string { return strings.Repeat(line, megabyte/len(line)) }
	traps := []trap{
		{"billion laughs", put(document, laughs()), derive, 2, `dataset\.yaml:1:\d+: an anchor \(&\) has no place`, 0},
		{"billion laughs in a session", put(session, laughs()), check, 2, `an alias \(\*\) has no place`, 0},
		{"an alias of itself", put(document, "title: &a [*a]\n"), derive, 2, `an alias \(\*\) has no place`, 0},
		{"merge keys", put(document, "title: x\n<<: {a: b}\n"), derive, 2, `a merge key \(<<\) has no place`, 0},
		{"10,000 levels in brackets", put(document, "title: "+strings.Repeat("[", 10000)+strings.Repeat("]", 10000)+"\n"), derive, 2, `nested deeper than 16 levels`, 0},
		{"10,000 levels in braces", put(session, strings.Repeat("{a: ", 10000)+strings.Repeat("}", 10000)+"\n"), derive, 2, `nested deeper than 16 levels`, 0},
		{"10,000 levels of dashes", put(document, "title:\n  "+strings.Repeat("- ", 10000)+"a\n"), derive, 2, `nested deeper than 16 levels`, 0},
		{"1,400 levels by indentation", put(document, nestedBlock(1400)), derive, 2, `nested deeper than 16 levels`, 0},
		{"more than a megabyte", put(document, strings.Repeat("# nothing\n", 110000)), derive, 2, `holds 1100000 bytes, more than the limit of 1048576`, 0},
		{"one line of a megabyte", put(document, "title: "+strings.Repeat("x", megabyte)+"\n"), tidyLook, 0, ``, 0},
		{"a plan that unfolds", put(sessionFolder+"/plan.yaml", laughs()), check, 2, `an anchor \(&\) has no place`, 0},
	}
	for _, line := range []string{"[", "{", "- ", "? ", ": ", "a:\n", "a: b\n", "- a\n", "\"", "'", "|\n", ">\n ", "#\n", "\n", " ", "&a ", "*a ", "!a ", "!!str ", "%a\n", "---\n", "...\n", ",", "]", "}", "\\", "\u00e9", "\u2028", "a: [", "a: {b: ", "@", "`", "a\n ", "\"a\": "} {
		traps = append(traps, trap{"a megabyte of " + strconv.Quote(line), put(session, many(line)), check, 2, `session\.yaml`, 400})
	}
	return traps
}

var tidyLook = []string{"check"}

func tableTraps() []trap {
	blocks, shoes, pod := sessionFolder+"/blocks.csv", "data/shoes.csv", sessionFolder+"/footpod.csv"
	const head = "block,shoe,start_s,end_s\n"
	rows := func(n int) string {
		var out strings.Builder
		out.WriteString(head)
		for i := range n {
			fmt.Fprintf(&out, "%d,quenby,%d,%d\n", i, 2*i, 2*i+1)
		}
		return out.String()
	}
	register := func(n int) string {
		var out strings.Builder
		out.WriteString("id,label\n")
		for i := range n {
			fmt.Fprintf(&out, "s%d,s\n", i)
		}
		return out.String()
	}
	const full = "elapsed_s,power_w,speed_mps,distance_m,cadence_spm,step_length_m,contact_ms,oscillation_cm,heart_rate_bpm,altitude_m,air_c\n"
	return []trap{
		{"blocks.csv of 1,000,000 rows", put(blocks, rows(1000000)), derive, 2, `blocks\.csv: holds \d+ bytes, more than the limit of 4194304`, 0},
		{"blocks.csv of 4 MB", put(blocks, rows(180000)), derive, 2, `blocks\.csv.*more than 10000`, 200},
		{"tidy with blocks.csv of 4 MB", put(blocks, rows(180000)), []string{"tidy"}, 2, `blocks\.csv.*more than 10000`, 200},
		{"shoes.csv of 4 MB", put(shoes, register(400000)), derive, 2, `shoes\.csv.*more than 10000`, 200},
		{"blocks.csv of empty lines", put(blocks, head+strings.Repeat("\n", 4<<20-100)), derive, 2, `blocks\.csv.*more than 10000`, 200},
		{"blocks.csv of commas", put(blocks, head+strings.Repeat(",", 4<<20-100)), derive, 2, `blocks\.csv:2.*more than`, 200},
		{"blocks.csv with a heading of commas", put(blocks, strings.Repeat(",", 4<<20-100)), derive, 2, `blocks\.csv:1.*more than`, 200},
		{"blocks.csv of one cell", put(blocks, head+"1,quenby,0,"+strings.Repeat("9", 4<<20-100)+"\n"), derive, 2, `blocks\.csv:2:`, 200},
		{"blocks.csv with a quote that never ends", put(blocks, head+"1,\""+strings.Repeat("a\n", 2<<20-100)), derive, 2, `blocks\.csv`, 200},
		{"blocks.csv of quotes", put(blocks, head+strings.Repeat("\"", 4<<20-100)), derive, 2, `blocks\.csv`, 200},
		{"a number of 4 million digits", put(shoes, "id,label,mass_g\na,a,"+strings.Repeat("1", 4<<20-100)+"\n"), derive, 2, `shoes\.csv`, 200},
		{"zeros after 4 million zeros", put(shoes, "id,label,mass_g\na,a,0."+strings.Repeat("0", 4<<20-100)+"1\n"), derive, 2, `shoes\.csv`, 200},
		{"a recording of one line of 60 MB", put(pod, "elapsed_s,power_w\n"+strings.Repeat("1", 60<<20)), derive, 2, `footpod\.csv:2`, 300},
		{"a recording with a heading of 60 MB", put(pod, strings.Repeat(",", 60<<20)), derive, 2, `footpod\.csv:1`, 300},
		{"a recording with a row of 60 million commas", put(pod, "elapsed_s,power_w\n"+strings.Repeat(",", 60<<20)), derive, 2, `footpod\.csv:2`, 300},
		{"a recording of 20 million rows", put(pod, "elapsed_s,power_w\n"+strings.Repeat("1,\n", 20<<20)), derive, 2, `footpod\.csv.*more than 1000000`, 300},
		{"a recording of 60 million line ends", put(pod, full+strings.Repeat("\n", 60<<20)), derive, 2, `footpod\.csv.*more than 1000000`, 300},
		{"a recording of 900,000 bad rows", put(pod, full+strings.Repeat("x,y\n", 900000)), derive, 2, `footpod\.csv: and 899950 more problems`, 300},
		{"a recording with zeros in it", put(pod, "elapsed_s,power_w\n"+strings.Repeat("\x00", 1<<20)), derive, 2, `footpod\.csv:2`, 200},
		{"a recording that is not text", put(pod, "elapsed_s,power_w\n"+strings.Repeat("\xff", 1<<20)), derive, 2, `byte 0xff is not UTF-8 text`, 200},
	}
}
