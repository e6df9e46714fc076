// Package example makes a small published bundle in memory for the explorer's
// tests. Everything in it is invented: nobody ran this.
package example

import (
	"fmt"
	"strings"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/viewer/load"
)

// Sessions of the example: two with a recording, one without.
const (
	First   = "2026-01-03-power"
	Second  = "2026-01-10-power"
	ByHand  = "2026-01-17-pace"
	Held    = "5"  // block of Second that a rule keeps out: most of it was not recorded
	LeftOut = "6"  // block of Second that a person left out
	Blocks  = 6    // of each session
	BlockS  = 300  // length of a block, s; the last of First is shorter
	EveryS  = 5    // time between samples
	HeadS   = 60.0 // cut at the start, as published
)

// shoes are the three shoes and how much faster each makes the runner, in parts
// of 10,000. A label that looks like markup must stay text everywhere.
var shoes = []struct {
	id, label string
	faster    int
}{{"arden", "Arden <b>&amp;</b>", 0}, {"birk", "Birk", 150}, {"corrie", "Corrie", 90}}

// order is the order of shoes in a session with six blocks.
var order = [Blocks]int{0, 1, 2, 2, 1, 0}

// Bundle returns the example as the site publishes it.
func Bundle() (*load.Bundle, error) {
	files := load.Folder{
		"runners.csv": []byte("id,label,mass_kg,height_cm\nr1,Runner (invented),66.0,176.0\n"),
		"shoes.csv":   []byte(register()),
	}
	document(files, "dataset", `{"title": "An invented example", "invented": true, "method": {
 "reference": "arden", "trim": {"head_s": 60, "tail_s": 15, "heart_rate_head_s": 180},
 "power_exponent": 1, "confidence": 0.95, "drift": "linear", "worthwhile_pct": 0.75, "weight_pct_per_100g": 1}}`)
	for i, id := range []string{First, Second} {
		document(files, "sessions/"+id+"/session",
			fmt.Sprintf(`{"date": %q, "runner": "r1", "effort": "power", "target": "260",
 "recordings": [{"file": "foot_sensor.csv", "device": "foot_sensor"}]}`, id[:10]))
		files["sessions/"+id+"/blocks.csv"] = []byte(timedBlocks(id))
		files["sessions/"+id+"/foot_sensor.csv"] = []byte(recording(id, i))
	}
	document(files, "sessions/"+ByHand+"/session",
		fmt.Sprintf(`{"date": %q, "runner": "r1", "effort": "pace", "target": "4:20"}`, ByHand[:10]))
	files["sessions/"+ByHand+"/blocks.csv"] = []byte(measuredBlocks())
	return Publish(files)
}

// Publish derives a dataset of JSON documents and returns it with its tables as
// a bundle.
func Publish(files load.Folder) (*load.Bundle, error) {
	folder, problems := plaintext.Open(files, plaintext.ReadJSON, 1)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if err != nil {
		return nil, err
	}
	if len(problems) > 0 {
		return nil, problems[0]
	}
	bundle := &load.Bundle{Index: &load.Index{}, Files: files, Derived: load.Folder{}}
	for path, text := range files {
		bundle.Index.Files = append(bundle.Index.Files,
			load.File{Path: path, Bytes: int64(len(text)), SHA256: checksum.SHA256(text)})
	}
	for _, table := range result.Tables {
		path := "derived/" + table.Name
		bundle.Derived[path] = table.Text
		bundle.Index.Derived = append(bundle.Index.Derived,
			load.File{Path: path, Bytes: int64(len(table.Text)), SHA256: checksum.SHA256(table.Text)})
	}
	return bundle, nil
}

// document adds a YAML file and its JSON twin; JSON is YAML too.
func document(files load.Folder, stem, text string) {
	files[stem+".yaml"], files[stem+".json"] = []byte(text+"\n"), []byte(text+"\n")
}

func register() string {
	var b strings.Builder
	b.WriteString("id,label,mass_g\n")
	for i, s := range shoes {
		fmt.Fprintf(&b, "%s,%s,%d.0\n", s.id, s.label, 210+12*i)
	}
	return b.String()
}

func start(block int) int { return 60 + block*(BlockS+90) }

func timedBlocks(session string) string {
	var b strings.Builder
	b.WriteString("block,shoe,start_s,end_s,include,reason\n")
	for i, shoe := range order {
		include := ",yes,"
		if session == Second && fmt.Sprint(i+1) == LeftOut {
			include = ",no,stopped for a dog"
		}
		length := BlockS
		if session == First && i == Blocks-1 {
			length -= 60 // the last one was cut short
		}
		fmt.Fprintf(&b, "%d,%s,%d.0,%d.0%s\n", i+1, shoes[shoe].id, start(i), start(i)+length, include)
	}
	return b.String()
}

func measuredBlocks() string {
	var b strings.Builder
	b.WriteString("block,shoe,start_s,end_s,speed_mps,heart_rate_bpm\n")
	for i, shoe := range order {
		fmt.Fprintf(&b, "%d,%s,,,3.8460,%d.%d\n", i+1, shoes[shoe].id, 150-shoe, wiggle(i, 7))
	}
	return b.String()
}

// recording has power and speed. In the second session the block that is held
// has samples in its first tenth only.
func recording(session string, day int) string {
	var b strings.Builder
	b.WriteString("elapsed_s,power_w,speed_mps\n")
	for i, shoe := range order {
		for second := 0; second <= BlockS; second += EveryS {
			if session == Second && fmt.Sprint(i+1) == Held && second > BlockS/10 {
				break
			}
			// Every block starts slow and settles: more cut off changes the answer.
			speed := 36000 + 360*shoes[shoe].faster/100 - max(0, 120-second)*(8+3*shoe) + 40*day +
				12*wiggle(i*100+second, 9)
			fmt.Fprintf(&b, "%d.000,%d.0,%d.%03d\n", start(i)+second, 258+wiggle(second+i, 5), speed/10000,
				speed%10000/10)
		}
	}
	return b.String()
}

// wiggle is a number from 0 to n-1 that looks random and never changes.
func wiggle(seed, n int) int {
	hash := uint32(seed)*2654435761 + 12345 // Knuth, The Art of Computer Programming, vol. 3, section 6.4 (from memory)
	return int(hash >> 16 % uint32(n))
}
