package plaintext_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

const (
	s1      = "sessions/s1/"
	blocks  = s1 + "blocks.csv"
	session = s1 + "session.yaml"
	samples = s1 + "foot_sensor.csv"
	plan    = s1 + "plan.yaml"
	slugs   = "use lower-case letters, digits, dot, dash and underscore, starting with a letter or digit"
)

// malformedPlans are what a person may have done to a plan.
var malformedPlans = []malformed{
	{plan, "shoes: [grey, blue]", "shoes: [grey, blu]",
		plan + `:1:15: shoes: "blu" is not in shoes.csv (did you mean "blue"?)` + "\n" + plan +
			`:2:15: order: "blue" is not in shoes (did you mean "blu"?)`},
	{plan, "order: [grey, blue]", "order: [grey]", plan + `:2:8: order: the list has 1 values (name two or more)`},
	{plan, "order: [grey, blue]", "order: grey blue",
		plan + `:2:8: order: one value where a list is expected (start each item on a line of its own with a dash)`},
	{plan, "4:30", "250",
		plan + `:4:9: target: "250" is not a pace (write minutes:seconds per kilometre, such as 4:30)`},
	{plan, "300", "0", plan + `:5:10: block_s: 0 is out of range (write 1 or more)`},
	{plan, "place: 2", "place: 3", plan + `:7:24: place: order 3 is not among 2 (leave plan.yaml as plan wrote it)`},
	{plan, "place: 2", "place: 1.5",
		plan + `:7:24: place: 1.5 is not a whole number (leave plan.yaml as plan wrote it)`},
	{plan, "candidates: all", "candidates: some",
		plan + `:7:65: candidates: "some" is not known (write all, sampled, all-even, sampled-even, ` +
			`all-balanced or sampled-balanced)`},
	{plan, "seed: 1, ", "", plan + `:7:7: draw: key "seed" is missing (add it)`},
	{plan, "rules:", "start: 25:00\nrules:", plan + `:8:8: start: "25:00" is not a clock time (write HH:MM or ` +
		`HH:MM:SS, with an offset such as +02:00 where known)`},
	{plan, "rules:", "rule:", plan + `:1:1: key "rules" is missing (add it)` + "\n" + plan +
		`:8:1: unknown key "rule" (did you mean "rules"?)`},
}

// malformed is one thing wrong in the dataset of [folder]: in file, the text old
// becomes new. An empty old replaces the whole file.
type malformed struct{ file, old, new, want string }

var malformedCells = []malformed{
	{"runners.csv", "70.0", "70,0", `runners.csv:2:1: the row has 4 cells, the header has 3 (add or remove commas, ` +
		`or quote a text that contains one)`},
	{"runners.csv", "70.0", `"70,0"`, `runners.csv:2:15: mass_kg: "70,0" is not a number (write a decimal point, not ` +
		`a comma, and no thousands separator)`},
	{"runners.csv", "70.0", "NaN",
		`runners.csv:2:15: mass_kg: "NaN" is not a number (leave the cell blank where nothing was measured)`},
	{"runners.csv", "70.0", "-Inf",
		`runners.csv:2:15: mass_kg: "-Inf" is not a number (leave the cell blank where nothing was measured)`},
	{"runners.csv", "70.0", "0x46", `runners.csv:2:15: mass_kg: "0x46" is not a number (write the number in decimal)`},
	{"runners.csv", "70.0", "0xff", `runners.csv:2:15: mass_kg: "0xff" is not a number (write the number in decimal)`},
	{"runners.csv", "70.0", "11 stone",
		`runners.csv:2:15: mass_kg: "11 stone" is not a number (write the number alone, with no unit)`},
	{"runners.csv", "70.0", "7_0",
		`runners.csv:2:15: mass_kg: "7_0" is not a number (write the digits without underscores)`},
	{"runners.csv", "70.0", "7e1",
		`runners.csv:2:15: mass_kg: "7e1" is not a number (write the number out, without an exponent)`},
	{"runners.csv", "70.0", "+70", `runners.csv:2:15: mass_kg: "+70" is not a number (leave out the plus sign)`},
	{"runners.csv", "70.0", "70.",
		`runners.csv:2:15: mass_kg: "70." is not a number (write a digit on both sides of the point)`},
	{"runners.csv", "70.0", "70 kg",
		`runners.csv:2:15: mass_kg: "70 kg" is not a number (write the number alone, with no unit; tidy does)`},
	{"runners.csv", "70.0", "70kg",
		`runners.csv:2:15: mass_kg: "70kg" is not a number (write the number alone, with no unit; tidy does)`},
	{"runners.csv", "70.0", " 70.0",
		`runners.csv:2:15: mass_kg: " 70.0" has a space at its edge (remove it; tidy does)`},
	{"runners.csv", "70.0", "0", `runners.csv:2:15: mass_kg: 0 is out of range (write a number above 0)`},
	{"runners.csv", "70.0", "-70", `runners.csv:2:15: mass_kg: -70 is out of range (write a number above 0)`},
	{"runners.csv", "Runner one", "", `runners.csv:2:4: label: is blank (write a name for people to read)`},
	{"runners.csv", "Runner one", "\"Runner\none\"",
		`runners.csv:2:4: label: "Runner\none" contains a control character (write the text on one line, without ` +
			`tabs)`},
	{"runners.csv", "Runner one", `Runner "one"`,
		`runners.csv:2:11: a quote is not allowed here ` +
			`(put the whole cell in quotes and write a quote inside it twice)`},
	{"runners.csv", "Runner one", "R\xe9my", `runners.csv:2:5: byte 0xe9 is not UTF-8 text (save the file as UTF-8)`},
	{"runners.csv", "r1,", "R1,", `runners.csv:2:1: id: "R1" is not an id (` + slugs + `)`},
	{"runners.csv", "r1,", ",", `runners.csv:2:1: id: is blank (give every row an id of its own)`},
	{"runners.csv", "70.0\n", "70.0\nr1,Again,60.0\n",
		`runners.csv:3:1: id: "r1" is already in line 2 (give every row an id of its own)`},
	{"shoes.csv", "Grey pair", "Gr\u00e9\u00e9, \u00e9",
		`shoes.csv:3:1: the row has 4 cells, the header has 3 (add or remove commas, or quote a text ` +
			`that contains one)`},
	{"shoes.csv", "id,label,mass_g\nblue,Blue pair,210.5", "id,label,price\nblue,Blue pair,210.5",
		`shoes.csv:2:16: price: the price has no currency (write its three letters into the column currency, such ` +
			`as EUR)` + "\n" + `shoes.csv:3:16: price: the price has no currency (write its three letters into the ` +
			`column currency, such as EUR)`},
	{"shoes.csv", "id,label,mass_g\nblue,Blue pair,210.5", "id,label,currency\nblue,Blue pair,Euro",
		`shoes.csv:2:16: currency: "Euro" is not a currency (write its three letters by ISO 4217, such as EUR)` + "\n" +
			`shoes.csv:3:16: currency: "250.0" is not a currency (write its three letters by ISO 4217, such as EUR)`},
	{"shoes.csv", "id,label,mass_g\nblue,Blue pair,210.5", "id,label,expected_km\nblue,Blue pair,0",
		`shoes.csv:2:16: expected_km: 0 is out of range (write a number above 0)`},
	{"shoes.csv", "Grey pair,250.0", "Gréé pair,250g",
		`shoes.csv:3:16: mass_g: "250g" is not a number (write the number alone, with no unit; tidy does)`},
	{"venues.csv", "track", "stadium",
		`venues.csv:2:16: kind: "stadium" is not known (write track, road, treadmill or trail)`},
	{blocks, "300.0,,5.0", "300.0,,11.0", blocks + `:2:19: rpe: 11.0 is out of range (write 0 to 10)`},
	{blocks, "4:20", "260",
		blocks + `:3:20: target: "260" is not a pace (write minutes:seconds per kilometre, such as 4:30)`},
	{blocks, "4:20", "4:60",
		blocks + `:3:20: target: "4:60" is not a pace (write minutes:seconds per kilometre, such as 4:30)`},
	{blocks, "blue", "blu", blocks + `:3:3: shoe: "blu" is not in shoes.csv (did you mean "blue"?)`},
	{blocks, "blue", "lime", blocks + `:3:3: shoe: "lime" is not in shoes.csv (add it to shoes.csv)`},
	{blocks, "700.0", "400.0",
		blocks + `:3:14: end_s: 400.0 is not after start_s 400.0 (the end of a block comes after its start)`},
	{blocks, "400.0,700.0", ",700.0",
		blocks + `:3:8: start_s: is blank (a session with recordings needs the time of every block)`},
	{blocks, "400.0", "-400.0", blocks + `:3:8: start_s: -400.0 is out of range (write 0 or more)`},
	{blocks, "B,", "A,", blocks + `:3:1: block: "A" is already in line 2 (give every row an id of its own)`},
	{blocks, "B,", "B 1,", blocks + `:3:1: block: "B 1" is not an id (use letters, digits, dot, dash and underscore, ` +
		`starting with a letter or digit)`},
	{samples, "250.0", "250,0", samples + `:2:1: the row has 4 cells, the header has 3 (add or remove commas)`},
	{samples, "250.0", "250 W",
		samples + `:2:7: power_w: "250 W" is not a number (write the number alone, with no unit)`},
	{samples, "250.0", "nan",
		samples + `:2:7: power_w: "nan" is not a number (leave the cell blank where nothing was measured)`},
	{samples, "250.0", `"250.0"`, samples + `:2:7: power_w: "250.0" is quoted (write the number without quotes)`},
	{samples, "250.0", "1e3",
		samples + `:2:7: power_w: "1e3" is not a number (write the number out, without an exponent)`},
	{samples, "3.710", "3.71 ",
		samples + `:3:8: speed_mps: "3.71 " is not a number (remove the space or control character)`},
	{samples, "3.710", "4:30",
		samples + `:3:8: speed_mps: "4:30" is not a number (this column takes a number, not minutes and seconds)`},
	{samples, "1.000,", ",", samples + `:3:1: elapsed_s: is blank (every sample needs its time)`},
}

var malformedRows = []malformed{
	{"runners.csv", "", "",
		`runners.csv:1: the file is empty (start with the header id,label,mass_kg,height_cm,leg_length_cm)`},
	{"runners.csv", "id,", "\uFEFFid,", `runners.csv:1:1: starts with a byte order mark (remove it; tidy does)`},
	{"runners.csv", "70.0\n", "70.0\n\n", `runners.csv:3:1: the line is empty (remove it; tidy does)`},
	{"runners.csv", "70.0\n", "70.0\n,,\n", `runners.csv:3:1: the row is empty (remove it; tidy does)`},
	{"runners.csv", "70.0\n", "70.0\nr2,Two\n", `runners.csv:3:1: the row has 2 cells, the header has 3 (add or ` +
		`remove commas, or quote a text that contains one)`},
	{"runners.csv", "mass_kg", "mass", `runners.csv:1:10: unknown column "mass" (did you mean "mass_kg"?)`},
	{"runners.csv", "mass_kg", "weight",
		`runners.csv:1:10: unknown column "weight" (the columns are id, label, mass_kg, height_cm, leg_length_cm)`},
	{"runners.csv", "mass_kg", "mas_kg", `runners.csv:1:10: unknown column "mas_kg" (did you mean "mass_kg"?)`},
	{"runners.csv", "mass_kg", "Mass_kg", `runners.csv:1:10: unknown column "Mass_kg" (did you mean "mass_kg"?)`},
	{"runners.csv", "mass_kg", " mass_kg",
		`runners.csv:1:10: the heading " mass_kg" has a space at its edge (remove it; tidy does)`},
	{
		"shoes.csv", "mass_g\nblue,Blue pair,210.5", "life_km\nblue,Blue pair,600",
		`shoes.csv:1:10: column "life_km" is now called "expected_km" (rename it; tidy does)`,
	},
	{"runners.csv", "mass_kg", "label",
		`runners.csv:1:10: column "label" is here twice (keep one of the two)`},
	{"runners.csv", "mass_kg", "", `runners.csv:1:10: column 3 has no heading (name the column or remove it)`},
	{"runners.csv", "id,label,mass_kg\nr1,Runner one,70.0", "id,mass_kg\nr1,70.0",
		`runners.csv:1: column "label" is missing (add it to the header and to every row)`},
	{blocks, ",end_s", ",ends", blocks + `:1: column "end_s" is missing (add it to the header and to every row)` +
		"\n" + blocks + `:1:20: unknown column "ends" (did you mean "end_s"?)`},
	{blocks, "rpe\nA,grey,0.0,300.0,,5.0", "include\nA,grey,0.0,300.0,,no",
		blocks + `:2:19: include: the block is excluded without a reason (fill in the column reason)` + "\n" + blocks +
			`:3:25: include: "6.0" is not known (write yes or no)`},
	{samples, "", "", samples + `:1: column "elapsed_s" is missing (add it to the header and to every row)` + "\n" +
		samples + `:1:1: column 1 has no heading (name the column or remove it)`},
	{samples, "", "elapsed_s,power_w\n",
		samples + `: the recording has no samples (import it again, or remove it from the list of recordings)`},
	{samples, "", "elapsed_s\n0\n", samples + `:1: the recording has no channel (add a column such as power_w)`},
	{samples, "power_w", "power", samples + `:1:11: unknown column "power" (did you mean "power_w"?)`},
	{samples, "speed_mps", "power_w",
		samples + `:1:19: column "power_w" is here twice (keep one of the two)`},
	{samples, "1.000", "\n1.000", samples + `:3:1: the line is empty (remove it; tidy does)`},
	{samples, "1.000", ",,\n1.000", samples + `:3:1: the line is empty (remove it; tidy does)`},
	{samples, "elapsed_s", "\uFEFFelapsed_s", samples + `:1:1: starts with a byte order mark (remove it; tidy does)`},
}

var malformedKeys = []malformed{
	{"dataset.yaml", "title: A small trial\n", "", `dataset.yaml:1:1: key "title" is missing (add it)`},
	{"dataset.yaml", "A small trial", "", `dataset.yaml:1:1: title: is blank (fill it in)`},
	{"dataset.yaml", "A small trial", `" "`, `dataset.yaml:1:8: title: is blank (fill it in)`},
	{"dataset.yaml", "A small trial", "null",
		`dataset.yaml:1:8: title: null is not a value (leave the value blank, or quote it to mean the word)`},
	{"dataset.yaml", "A small trial", "[a]",
		`dataset.yaml:1:8: title: a list where one value is expected (write one value after the colon)`},
	{"dataset.yaml", "invented: true", "invnted: true",
		`dataset.yaml:2:1: unknown key "invnted" (did you mean "invented"?)`},
	{"dataset.yaml", "invented: true", "colour: true", `dataset.yaml:2:1: unknown key "colour" (the keys here are ` +
		`title, description, invented, licence, keywords, version, doi, contributors, site_url, disclosure, method, ` +
		`limits or imports)`},
	{"dataset.yaml", "invented: true", "doi: https://doi.org/10.1000/182",
		`dataset.yaml:2:6: doi: "https://doi.org/10.1000/182" is not a digital object identifier (write it as ` +
			`10.5281/zenodo.1234567, without an address before it)`},
	{"dataset.yaml", "name: B.", "orcid: 0000-0002-1825-0098, name: B.",
		`dataset.yaml:3:35: orcid: "0000-0002-1825-0098" has a mistyped digit: the last digit checks the others ` +
			`(copy it from the person's ORCID page)`},
	{"dataset.yaml", "name: B.", "orcid: 0000-0002-1825, name: B.",
		`dataset.yaml:3:35: orcid: "0000-0002-1825" is not an ORCID iD (write the 16 digits as 0000-0002-1825-0097, ` +
			`without an address)`},
	{"dataset.yaml", "invented: true", "keywords: [a, '  ']",
		`dataset.yaml:2:11: keywords: keyword 2 is blank (write one word or phrase for each)`},
	{"dataset.yaml", "invented: true", "invented: yes",
		`dataset.yaml:2:11: invented: "yes" is neither true nor false (write true or false, without quotes)`},
	{"dataset.yaml", "invented: true", "title: Again",
		`dataset.yaml:2:1: key "title" is here twice (keep one of the two)`},
	{
		"dataset.yaml", "invented: true", "invented:\ttrue",
		`dataset.yaml:2:10: a tab is not allowed in a dataset (use spaces)`,
	},
	{"dataset.yaml", "invented: true", "invented: &a true", `dataset.yaml:2:11: an anchor (&) is not allowed in a ` +
		`dataset (write the value out where it is needed, or quote the text)`},
	{"dataset.yaml", "invented: true", "invented: *a", `dataset.yaml:2:11: an alias (*) is not allowed in a dataset ` +
		`(write the value out where it is needed, or quote the text)`},
	{"dataset.yaml", "invented: true", "invented: !!bool true",
		`dataset.yaml:2:11: a tag (!) is not allowed in a dataset (remove it, or quote the text)`},
	{"dataset.yaml", "invented: true", "<<: {a: 1}",
		`dataset.yaml:2:1: a merge key (<<) is not allowed in a dataset (write the keys out)`},
	{"dataset.yaml", "invented: true", "---",
		`dataset.yaml:2:1: a second document starts here (keep one document in the file)`},
	{"dataset.yaml", "invented: true", "? a\n: b",
		`dataset.yaml:2:1: a complex key (?) is not allowed in a dataset (write key: value, or quote the text)`},
	{"dataset.yaml", "invented: true", "licence: \"a", `dataset.yaml:2:10: not readable as YAML: could not find end ` +
		`character of double-quoted text (check the quotes and the indentation here and on the line above)`},
	{"dataset.yaml", "invented: true", "licence: a: b", `dataset.yaml:2:10: not readable as YAML: mapping value is ` +
		`not allowed in this context (check the indentation, the colon and the quotes here and on the line above)`},
	{"dataset.yaml", "invented: true", "licence: " + strings.Repeat("[", 17),
		`dataset.yaml:2:25: nested deeper than 16 levels (flatten the document)`},
	{"dataset.yaml", "", "just words\n",
		`dataset.yaml:1:1: one value where keys are expected (write its keys below it, each on a line of its own)`},
	{"dataset.yaml", "", "", `dataset.yaml:1:1: key "title" is missing (add it)`},
	{"dataset.yaml", "head_s: 0", "head_s: -5", `dataset.yaml:6:18: head_s: -5 is out of range (write 0 or more)`},
	{"dataset.yaml", "head_s: 0", `head_s: "5"`,
		`dataset.yaml:6:18: head_s: "5" is text, not a number (write the number without quotes)`},
	{"dataset.yaml", "head_s: 0", "head_s: 1_0",
		`dataset.yaml:6:18: head_s: "1_0" is not a number (write the digits without underscores)`},
	{"dataset.yaml", "head_s: 0", "head_s: .inf",
		`dataset.yaml:6:18: head_s: ".inf" is not a number (leave the cell blank where nothing was measured)`},
	{"dataset.yaml", "head_s: 0", "head: 0", `dataset.yaml:6:10: unknown key "head" (did you mean "head_s"?)`},
	{"dataset.yaml", "reference: grey", "reference: gray",
		`dataset.yaml:5:14: reference: "gray" is not in shoes.csv (did you mean "grey"?)`},
	{"dataset.yaml", "title: A small trial", "title: A small trial\nsite_url: example.org/",
		`dataset.yaml:2:11: site_url: "example.org/" is not the address of a folder (write the address of the home ` +
			`page's folder, such as https://example.org/shoes/)`},
	{"dataset.yaml", "title: A small trial", "title: A small trial\nsite_url: https:///",
		`dataset.yaml:2:11: site_url: "https:///" is not the address of a folder (write the address of the home ` +
			`page's folder, such as https://example.org/shoes/)`},
	{"dataset.yaml", "title: A small trial", "title: A small trial\nsite_url: https://example.org",
		`dataset.yaml:2:11: site_url: "https://example.org" is not the address of a folder (write the address of the ` +
			`home page's folder, such as https://example.org/shoes/)`},
	{"dataset.yaml", "title: A small trial", "title: A small trial\nsite_url: https://example.org/a?b/",
		`dataset.yaml:2:11: site_url: "https://example.org/a?b/" is not the address of a folder (write the address ` +
			`of the home page's folder, such as https://example.org/shoes/)`},
	{"dataset.yaml", "title: A small trial", "title: A small trial\nsite_url: ftp://example.org/",
		`dataset.yaml:2:11: site_url: "ftp://example.org/" is not the address of a folder (write the address of the ` +
			`home page's folder, such as https://example.org/shoes/)`},
	{"dataset.yaml", "title: A small trial", "title: A small trial\nsite_url: https://user@example.org/",
		`dataset.yaml:2:11: site_url: "https://user@example.org/" is not the address of a folder (write the address ` +
			`of the home page's folder, such as https://example.org/shoes/)`},
	{"dataset.yaml", "title: A small trial", "title: A small trial\nsite_url: https://exämple.org/",
		`dataset.yaml:2:11: site_url: "https://exämple.org/" is not the address of a folder (write the address of ` +
			`the home page's folder, such as https://example.org/shoes/)`},
	{"dataset.yaml", "reference: grey", "primary: speeed",
		`dataset.yaml:5:12: primary: "speeed" is not an outcome (did you mean "speed"?)`},
	{"dataset.yaml", "reference: grey", "drift: cubic",
		`dataset.yaml:5:10: drift: "cubic" is not known (write linear or none)`},
	{"dataset.yaml", "reference: grey", "confidence: 95",
		`dataset.yaml:5:15: confidence: 95 is out of range (write 0.5 to 0.999)`},
	{"dataset.yaml", "reference: grey", "channels: {power: foot_sensor}",
		`dataset.yaml:5:14: "power" is not a channel (did you mean "power_w"?)`},
	{"dataset.yaml", "reference: grey", "races: [{distance_m: 10000, time: 2100}]",
		`dataset.yaml:5:37: time: "2100" is not a duration (write h:mm:ss, m:ss, or with letters such as 7m or 90s)`},
	{"dataset.yaml", "reference: grey", "races: [{time: 35:00}]",
		`dataset.yaml:5:11: races: key "distance_m" is missing (add it)`},
	{"dataset.yaml", "reference: grey", "races: 35:00", `dataset.yaml:5:10: races: one value where a list ` +
		`is expected (start each item on a line of its own with a dash)`},
	{"dataset.yaml", "[150, 400]", "[400, 150]",
		`dataset.yaml:9:21: power_w.warn: the low limit is not below the high one (write the low limit first)`},
	{
		"dataset.yaml", "[150, 400]", "[150]",
		`dataset.yaml:9:21: warn: the list has 1 values (write 2 values, such as [1, 2])`,
	},
	{session, "2026-05-02", "2026-02-30",
		session + `:1:7: date: "2026-02-30" is not in the calendar (write the day as YYYY-MM-DD)`},
	{session, "2026-05-02", "2.5.2026",
		session + `:1:7: date: "2.5.2026" is not in the calendar (write the day as YYYY-MM-DD)`},
	{session, "09:30", "9.30", session + `:2:8: start: "9.30" is not a clock time (write HH:MM or HH:MM:SS, with an ` +
		`offset such as +02:00 where known)`},
	{session, "venue: oval", "venue: ovall",
		session + `:3:8: venue: "ovall" is not in venues.csv (did you mean "oval"?)`},
	{session, "venue: oval", "runner: r2",
		session + `:3:9: runner: "r2" is not in runners.csv (add it to runners.csv)`},
	{session, "effort: pace", "effort: feel",
		session + `:4:9: effort: "feel" is not known (write power, pace or heart_rate)`},
	{session, "target: 4:30", "target: 270",
		session + `:5:9: target: "270" is not a pace (write minutes:seconds per kilometre, such as 4:30)`},
	{session, "air_c: 18.5", "air_c: warm",
		session + `:7:10: air_c: "warm" is not a number (write digits, with a point for decimals and no unit)`},
	{
		session, "air_c: 18.5", "humidity_pct: 140",
		session + `:7:17: humidity_pct: 140 is out of range (write 0 to 100)`,
	},
	{session, "device: foot_sensor}", "device: foot_sensor}\n  - {file: watch.csv}", session +
		`:10:12: file: "watch.csv" is not in the session's folder (import it again, or remove it from the list)`},
	{session, "device: foot_sensor}", "device: foot_sensor}\n  - {file: foot_sensor.csv}",
		session + `:10:12: file: "foot_sensor.csv" is listed twice (list every recording once)`},
	{session, "device: foot_sensor}", "source_sha256: abc}",
		session + `:9:44: source_sha256: "abc" is not a SHA-256 sum ` +
			`(write the 64 lower-case hexadecimal digits that sha256sum prints)`},
	{session, "conditions:\n  air_c: 18.5", "overrides:\n  - {rule: gaps, block: C, reason: seen}",
		session + `:7:25: block: "C" is not in blocks.csv (name a block that is there)`},
	{session, "conditions:\n  air_c: 18.5", "overrides:\n  - {rule: gaps}",
		session + `:7:5: overrides: key "reason" is missing (add it)`},
}

func TestMalformedText(t *testing.T) {
	cases := slices.Concat(malformedCells, malformedRows, malformedKeys, malformedPlans, malformedNames)
	if len(cases) < 40 {
		t.Fatalf("only %d cases", len(cases))
	}
	for _, c := range cases {
		fsys := folder()
		text := string(fsys[c.file].Data)
		if c.old == "" {
			text = c.new
		} else {
			if !strings.Contains(text, c.old) {
				t.Fatalf("%s does not hold %q", c.file, c.old)
			}
			text = strings.Replace(text, c.old, c.new, 1)
		}
		fsys[c.file] = &fstest.MapFile{Data: []byte(text)}
		if got := reported(fsys); got != c.want {
			t.Errorf("%s with %q for %q says\n%s\nwant\n%s", c.file, c.new, c.old, got, c.want)
		}
	}
}

// reported returns what is said about a dataset and its recordings, a line for each
// problem.
func reported(fsys fstest.MapFS) string {
	f, problems := plaintext.Read(fsys, yamltext.Read)
	for i := range f.Dataset.Sessions {
		_, more := f.Recordings(&f.Dataset.Sessions[i])
		problems = append(problems, more...)
	}
	return lines(problems)
}

func lines(problems []trial.Problem) string {
	var list []string
	for _, p := range problems {
		list = append(list, p.Error())
	}
	return strings.Join(list, "\n")
}
