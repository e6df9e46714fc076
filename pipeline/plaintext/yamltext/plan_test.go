package yamltext_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func planned() *trial.PlanFacts {
	return &trial.PlanFacts{
		Shoes: []string{"blue", "grey"}, Order: []string{"blue", "grey", "grey", "blue"}, Effort: "pace",
		Target: "4:30", BlockS: 360, RestS: 90.5, WarmUpS: units.Missing, Start: "09:30",
		Draw: trial.PlanDraw{Seed: 7, Place: 1, Orders: 2, Considered: 6, Candidates: trial.AllOrders,
			Earlier: []string{"grey blue", "blue grey"}},
		Rules: trial.PlanRules{Reference: "grey", Primary: "heart_rate",
			Trim: trial.Trim{HeadS: 60, TailS: 15, HeartRateHeadS: 180}, PowerExponent: 1,
			Confidence: 0.95, Drift: trial.DriftLinear, WorthwhilePct: 0.75},
		Aim: trial.PlanAim{WidthPct: units.Missing, Sessions: 4},
	}
}

func TestPlanText(t *testing.T) {
	want := `# Written before the run. Commit it before the first recording, and leave it as
# it is: what came otherwise belongs into session.yaml, under deviations.
shoes: [blue, grey]
order: [blue, grey, grey, blue]
effort: pace
target: 4:30
block_s: 360
rest_s: 90.5
start: 09:30
draw:
  seed: 7
  place: 1
  orders: 2
  considered: 6
  candidates: all
  earlier:
    - grey blue
    - blue grey
rules:
  reference: grey
  primary: heart_rate
  trim:
    head_s: 60
    tail_s: 15
    heart_rate_head_s: 180
  power_exponent: 1
  confidence: 0.95
  drift: linear
  worthwhile_pct: 0.75
aim:
  sessions: 4
`
	if diff := cmp.Diff(want, string(plaintext.AppendPlan(nil, planned()))); diff != "" {
		t.Errorf("plan.yaml (-want +got):\n%s", diff)
	}
}

// readPlan reads a plan through the whole folder.
func readPlan(text []byte, shoes []string) (*trial.PlanFacts, []trial.Problem) {
	register := "id,label\n" + strings.Join(shoes, ",x\n") + ",x\n"
	folder, problems := plaintext.Read(fstest.MapFS{
		"dataset.yaml": {Data: []byte("title: t\n")}, "runners.csv": {Data: []byte("id,label\nr,R\n")},
		"shoes.csv":               {Data: []byte(register)},
		"sessions/s/session.yaml": {Data: []byte("date: 2026-05-02\neffort: pace\n")}, "sessions/s/plan.yaml": {
			Data: text},
	}, yamltext.Read)
	if len(problems) > 0 {
		return nil, problems
	}
	return folder.Dataset.Sessions[0].Plan, nil
}

// What is written reads back as the same facts, whatever the shoes are called.
func TestPlanReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := planned()
		id := rapid.StringMatching(`[a-z0-9]([a-z0-9._-]{0,6}[a-z0-9])?`).Filter(plaintext.Portable)
		facts.Shoes = rapid.SliceOfNDistinct(id, 2, 6, rapid.ID[string]).Draw(t, "shoes")
		facts.Order = rapid.SliceOfN(rapid.SampledFrom(facts.Shoes), 2, 12).Draw(t, "order")
		facts.Draw.Seed = float64(rapid.Uint64Range(0, 1<<53-1).Draw(t, "seed"))
		facts.Draw.Earlier = rapid.SliceOfN(
			rapid.Map(rapid.SliceOfN(id, 1, 4), func(ids []string) string { return strings.Join(ids, " ") }),
			1, 3).Draw(t, "earlier")
		facts.BlockS = float64(rapid.IntRange(8, 100000).Draw(t, "block")) / 8
		facts.Aim = rapid.SampledFrom([]trial.PlanAim{{WidthPct: units.Missing, Sessions: units.Missing},
			{WidthPct: 1.5, Sessions: units.Missing}, {WidthPct: units.Missing, Sessions: 12}}).Draw(t, "aim")
		text := plaintext.AppendPlan(nil, facts)
		got, problems := readPlan(text, facts.Shoes)
		if len(problems) > 0 {
			t.Fatalf("%v in\n%s", problems, text)
		}
		if diff := cmp.Diff(facts, got, cmpopts.EquateNaNs()); diff != "" {
			t.Fatalf("read back (-want +got):\n%s\n%s", diff, text)
		}
	})
}

// An aim is one thing, and a number of sessions is whole.
func TestPlanAimIsRefused(t *testing.T) {
	for aim, want := range map[string]string{
		"{sessions: 2.5}":             "sessions: 2.5 is not a whole number",
		"{sessions: 4, width_pct: 1}": "a width and a number of sessions are two aims",
		"{sessions: 0}":               "sessions: 0 is out of range",
		"{width_pct: 50}":             "width_pct: 50 is out of range",
		"{width: 1}":                  `unknown key "width"`,
	} {
		text := strings.Replace(string(plaintext.AppendPlan(nil, planned())), "aim:\n  sessions: 4", "aim: "+aim, 1)
		_, problems := readPlan([]byte(text), planned().Shoes)
		if len(problems) == 0 || !strings.Contains(problems[0].Message, want) {
			t.Errorf("%s: %v, want %q", aim, problems, want)
		}
	}
}

// Whatever reads as a plan is written in a form that reads as the same plan, and
// comes out as the same bytes again.
func FuzzReadPlan(f *testing.F) {
	short := "shoes: [a, b]\norder: [a, b]\neffort: power\ntarget: 250\nblock_s: 60\nrest_s: 0\ndraw: {seed: 0, " +
		"place: 1, orders: 1, considered: 1, candidates: all}\nrules: {}\n"
	seeds := []string{string(plaintext.AppendPlan(nil, planned())), short, strings.Replace(short, "250", "'250.50'", 1),
		strings.Replace(short, "[a, b]\no", "[a, \"b\", 'null']\no", 1),
		strings.Replace(short, "all}", "all, earlier: [\"a  b\", 'x: y', \"\\u00e9 #\"]}", 1), "", "shoes:\n- a\n"}
	if len(seeds) != 7 {
		f.Fatalf("%d seeds", len(seeds))
	}
	for _, text := range seeds {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		shoes := []string{"a", "b", "blue", "grey", "null"}
		facts, problems := readPlan(text, shoes)
		if len(problems) > 0 {
			return
		}
		written := plaintext.AppendPlan(nil, facts)
		again, problems := readPlan(written, shoes)
		if len(problems) > 0 {
			t.Fatalf("%v in\n%s", problems, written)
		}
		if diff := cmp.Diff(facts, again, cmpopts.EquateNaNs()); diff != "" {
			t.Fatalf("read back (-want +got):\n%s\n%s", diff, written)
		}
	})
}
