package yamltext_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// noted is a log with one of everything, of invented shoes.
func noted() *trial.FieldLog {
	log := blankLog()
	log.Form, log.Program, log.Session = 1, "soletrial (devel)", "2026-05-02-power"
	log.Began, log.Ended, log.EndedS = "2026-05-02T09:00:00+02:00", "2026-05-02T10:30:00+02:00", 5400
	log.Sensor, log.Notes = "on the laces", "A school class\nfrom block 2 on."
	log.Plan = trial.LogPlan{Source: trial.PlanOfDataset, Order: []string{"blue", "grey"},
		Effort: "power", Target: "268", BlockS: 360, RestS: 120,
		WarmUpS: 600, Draw: log.Plan.Draw}
	log.Shoes = []trial.LogShoe{{Shoe: "blue", Label: "Blue: the old pair", LeftG: 213, RightG: 215.5},
		{Shoe: "grey", LeftG: units.Missing, RightG: units.Missing}}
	log.Conditions.AirC, log.Conditions.Sky = -2, "cloud"
	log.WarmUp = trial.LogSpan{Start: "2026-05-02T09:01:00+02:00", StartS: 60,
		End: "2026-05-02T09:11:00+02:00", EndS: 660}
	first, second := blankBlock(), blankBlock()
	first.Block, first.Place, first.Shoe = "1", 1, "blue"
	first.Start, first.StartS = "2026-05-02T09:15:00.4+02:00", 900.4
	first.End, first.EndS = "2026-05-02T10:21:00.5+02:00", 1260.5
	first.LapS, first.Laps = []float64{1000, 1100.2}, 4.5
	first.RPE, first.ComfortMm, first.Note, first.Excluded = 0, 70, `it said "go"`, "a dog"
	second.Block, second.Shoe, second.Start, second.StartS = "1b", "grey", "2026-05-02T10:25:00+02:00", 1500
	log.Blocks = []trial.LogBlock{first, second}
	log.Deviations = []trial.Deviation{
		{Kind: trial.Swapped, Block: "1b", Planned: "blue", Worn: "grey", AtS: 1400, Reason: "wet: the blue pair"},
		{Kind: trial.Skipped, Block: "2", AtS: units.Missing, Reason: "cramp"},
	}
	log.Clock = []trial.ClockChange{{Kind: trial.ClockSet, At: "2026-05-02T10:20:00+02:00", AtS: 1200, ByS: 3600}}
	return log
}

const notedText = `# Written at the venue. Bring it into the dataset with: soletrial log fieldlog.yaml
form: 1
program: "soletrial (devel)"
session: 2026-05-02-power
began: 2026-05-02T09:00:00+02:00
ended: 2026-05-02T10:30:00+02:00
ended_s: 5400
plan:
  source: dataset
  order: [blue, grey]
  effort: power
  target: 268
  block_s: 360
  rest_s: 120
  warm_up_s: 600
shoes:
  - shoe: blue
    label: "Blue: the old pair"
    left_g: 213
    right_g: 215.5
  - shoe: grey
sensor: on the laces
conditions:
  air_c: -2
  sky: cloud
warm_up:
  start: 2026-05-02T09:01:00+02:00
  start_s: 60
  end: 2026-05-02T09:11:00+02:00
  end_s: 660
blocks:
  - block: 1
    place: 1
    shoe: blue
    start: 2026-05-02T09:15:00.4+02:00
    start_s: 900.4
    end: 2026-05-02T10:21:00.5+02:00
    end_s: 1260.5
    lap_s: [1000, 1100.2]
    laps: 4.5
    rpe: 0
    comfort_mm: 70
    note: "it said \"go\""
    excluded: a dog
  - block: 1b
    shoe: grey
    start: 2026-05-02T10:25:00+02:00
    start_s: 1500
deviations:
  - kind: swapped
    block: 1b
    planned: blue
    worn: grey
    at_s: 1400
    reason: "wet: the blue pair"
  - kind: skipped
    block: 2
    reason: cramp
clock:
  - kind: set
    at: 2026-05-02T10:20:00+02:00
    at_s: 1200
    by_s: 3600
notes: "A school class\nfrom block 2 on."
`

func TestFieldLogText(t *testing.T) {
	if diff := cmp.Diff(notedText, string(plaintext.AppendFieldLog(nil, noted()))); diff != "" {
		t.Errorf("fieldlog.yaml (-want +got):\n%s", diff)
	}
}

func readLog(text string, shoes []string) (*trial.FieldLog, []trial.Problem) {
	node, problems := yamltext.Parse([]byte(text), "fieldlog.yaml")
	if len(problems) > 0 {
		return nil, problems
	}
	return plaintext.ReadFieldLog(node, shoes)
}

// blankLog is a log with nothing in it: every number missing.
func blankLog() *trial.FieldLog {
	log, _ := plaintext.ReadFieldLog(&plaintext.Node{Plain: true}, nil)
	return log
}

func blankBlock() trial.LogBlock {
	node, _ := yamltext.Parse([]byte("blocks: [{}]"), "")
	log, _ := plaintext.ReadFieldLog(node, nil)
	return log.Blocks[0]
}

func TestFieldLogReadsBack(t *testing.T) {
	got, problems := readLog(notedText, []string{"blue", "grey"})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if diff := cmp.Diff(noted(), got, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("read back (-want +got):\n%s", diff)
	}
}

// Every text that a person may type comes back as it was typed.
func TestFieldLogKeepsEveryText(t *testing.T) {
	awkward := []string{"null", "Null", "true", "0x1f", "1e5", "~", "12:30:45", "- a", "a #b", "é\u2028ü", " x "}
	text := rapid.OneOf(rapid.StringMatching(`[A-Za-z0-9 :#'"\\{}\[\]&*!|>%@,.?-]{0,20}`), rapid.SampledFrom(awkward))
	rapid.Check(t, func(t *rapid.T) {
		want := noted()
		want.Notes, want.Blocks[0].Note = text.Draw(t, "notes"), text.Draw(t, "note")
		want.Deviations[0].Reason = "x" + text.Draw(t, "reason")
		want.Blocks[0].LapS = rapid.SliceOfN(rapid.Just(1000.5), 1, 3).Draw(t, "laps")
		written := plaintext.AppendFieldLog(nil, want)
		got, problems := readLog(string(written), nil)
		if len(problems) > 0 {
			t.Fatalf("%v in\n%s", problems, written)
		}
		if diff := cmp.Diff(want, got, cmpopts.EquateNaNs()); diff != "" {
			t.Fatalf("read back (-want +got):\n%s\n%s", diff, written)
		}
	})
}

// The clock times are those of RFC 3339: what its reader in the standard library
// takes is taken, and the time-offset of section 5.6 is asked for.
func TestFieldLogClockTimes(t *testing.T) {
	for text, ok := range map[string]bool{
		"1985-04-12T23:20:50.52Z":   true, // RFC 3339, section 5.8
		"2026-05-02T09:00:00+02:00": true, "2026-05-02T09:00:00Z": true, "2026-05-02T09:00:00.25-09:30": true,
		"2026-05-02T09:00+02:00": false, "2026-05-02T09:00:00": false, "2026-05-02 09:00:00Z": false,
		"2026-02-30T09:00:00Z": false, "2026-05-02T24:00:00Z": false, "2026-05-02T09:00:00.Z": false,
		"09:00:00Z": false, "2026-05-02T09:00:00+2:00": false,
	} {
		_, problems := readLog(strings.Replace(notedText, "began: 2026-05-02T09:00:00+02:00", "began: "+text, 1), nil)
		if _, err := time.Parse(time.RFC3339Nano, text); (err == nil) != ok {
			t.Errorf("%s: the standard library says %v", text, err)
		}
		if (len(problems) == 0) != ok {
			t.Errorf("%s: %v", text, problems)
		}
	}
}

const slugs = "use lower-case letters, digits, dot, dash and underscore, starting with a letter or digit"

func TestFieldLogProblems(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"form: 1\n", "form: 2\n",
			`:2:7: form: "2" is not a form that this program knows (get a newer version of soletrial)`},
		{"form: 1\n", "", `:2:1: key "form" is missing (add it)`},
		{"session: 2026-05-02-power", "session: ../x",
			`:4:10: session: "../x" is not a session id (` + slugs + `)`},
		{
			"began: 2026-05-02T09:00:00+02:00", "began: 09:00",
			`:5:8: began: "09:00" is not a clock time with its date and offset (write it as 2026-05-02T09:31:07+02:00)`,
		},
		{"source: dataset", "source: memory", `:9:11: source: "memory" is not known (write dataset or venue)`},
		{"order: [blue, grey]", "order: [blue, gray]", `:10:17: order: "gray" is not in shoes (did you mean "grey"?)`},
		{"target: 268", "target: 4:30",
			`:12:11: target: "4:30" is not a number (this column takes a number, not minutes and seconds)`},
		{"left_g: 213", "left_g: 2", `:19:13: left_g: 2 is out of range (write 20 to 2000)`},
		{"- shoe: grey", "- shoe: grey\n  - shoe: blue", `:22:11: shoe: "blue" is listed twice (list every shoe once)`},
		{"end_s: 660", "end_s: 60", `:30:10: end_s: 60 is not after the start at 60 (write an end after the start)`},
		{"end_s: 1260.5", "end_s: 1600",
			`:48:14: start_s: block "1b" starts before block "1" ends (start it after the block before has ended)`},
		{"end_s: 1260.5", "end_s: 1050",
			`:39:19: lap_s: a lap ends at 1100.2, outside the block or before the lap before it ` +
				`(put the laps in order, within the block)`},
		{"rpe: 0", "rpe: 11", `:41:10: rpe: 11 is out of range (write 0 to 10)`},
		{"block: 1b\n    shoe", "block: 1\n    shoe",
			`:45:12: block: "1" is there twice (give each block a name of its own)`},
		{"- kind: swapped\n    block: 1b", "- kind: swapped\n    block: 1c",
			`:51:12: block: "1c" is not in blocks (name a block that was run)`},
		{"kind: skipped", "kind: lost",
			`:56:11: kind: "lost" is not known (write skipped, repeated, swapped, short or stopped)`},
		{"    reason: cramp", "    reason:", `:58:5: reason: is blank (fill it in)`},
		{"notes: ", "note: ", `:64:1: unknown key "note" (did you mean "notes"?)`},
	} {
		_, problems := readLog(strings.Replace(notedText, c.old, c.new, 1), nil)
		var got []string
		for _, p := range problems {
			got = append(got, p.Error())
		}
		if !strings.HasPrefix(strings.Join(got, "\n"), "fieldlog.yaml"+c.want) {
			t.Errorf("%q:\n got %s\nwant fieldlog.yaml%s", c.new, strings.Join(got, "\n     "), c.want)
		}
	}
	_, problems := readLog(notedText, []string{"blue", "gray"})
	if len(problems) != 1 ||
		!strings.Contains(problems[0].Error(), `"grey" is not in shoes.csv (did you mean "gray"?)`) {
		t.Errorf("a shoe that is not registered: %v", problems)
	}
}

// Whatever reads as a log is written in a form that reads as the same log.
func FuzzReadFieldLog(f *testing.F) {
	f.Add([]byte(notedText))
	f.Add([]byte("form: 1\nsession: s\nbegan: 2026-05-02T09:00:00Z\nshoes: [{shoe: a}]\n" +
		"plan: {source: venue, order: [a], effort: pace, target: '4:30'}\n"))
	f.Add([]byte("form:\n- 1"))
	f.Add([]byte("blocks: [{lap_s: [1, x]}, 3]\nclock: [[]]\nplan: []"))
	f.Fuzz(func(t *testing.T, text []byte) {
		log, problems := readLog(string(text), nil)
		if len(problems) > 0 {
			return
		}
		written := plaintext.AppendFieldLog(nil, log)
		again, problems := readLog(string(written), nil)
		if len(problems) > 0 {
			t.Fatalf("%v in\n%s", problems, written)
		}
		if diff := cmp.Diff(log, again, cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); diff != "" {
			t.Fatalf("read back (-want +got):\n%s\n%s", diff, written)
		}
	})
}
