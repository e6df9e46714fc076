package screen

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/viewer/track/session"
	"soletrial/viewer/tree"
)

// phone is the page without a browser: a view, the events, and clocks.
type phone struct {
	view   View
	events []session.Event
	mono   int64
	ahead  int64 // of the clock on the wall, since it was set
	did    []Command
}

func aPlan() session.Plan {
	p := session.NoPlan()
	p.Session, p.Date, p.Source = "2026-05-02-power", "2026-05-02", trial.PlanOfDataset
	p.Effort, p.Target = trial.Power, "268"
	p.BlockS, p.RestS, p.WarmUpS = 360, 120, 600
	p.Shoes, p.Order = []session.Shoe{{ID: "ash", Label: "Ash"}, {ID: "birch", Label: "Birch"}}, []string{"ash",
		"birch", "birch", "ash"}
	return p
}

func newPhone() *phone {
	return &phone{view: View{Plans: []session.Plan{aPlan()}, Today: "2026-05-02", Offers: Offers{Keeps: true,
		Secure: true, Offline: true, Wake: true, Sounds: true, Vibrates: true}}}
}

func (p *phone) state() *session.State {
	if len(p.events) == 0 {
		return nil
	}
	return session.Fold(p.events)
}

func (p *phone) page() []*tree.Node {
	s, now := p.state(), 0.0
	if s != nil {
		now = s.At(p.mono)
	}
	return Page(&p.view, s, now)
}

// words is all that the page says.
func (p *phone) words() string {
	text := ""
	for _, n := range p.page() {
		text += n.TextContent() + "\n"
	}
	return strings.ReplaceAll(text, "\u00a0", " ")
}

func (p *phone) record(kind session.Kind, args ...string) {
	p.events = append(p.events, session.Event{Kind: kind, MonoMs: p.mono, WallMs: 1_777_705_200_000 + p.mono + p.ahead,
		Args: args})
}

// act does what the page's program does with an action.
func (p *phone) act(action, value string) {
	p.mono += 1000
	do := p.view.Take(p.state(), action, value)
	switch {
	case do.Event != "":
		p.record(do.Event, do.Args...)
		p.view.Moved()
	case do.Command == Begin:
		p.begin(*do.Plan)
	case do.Command == DrawOne:
		if plan, ok := p.view.FromForm(1); ok {
			p.begin(plan)
		}
	case do.Command == Leave || do.Command == Delete:
		p.events = nil
		p.view.Moved()
	}
	if do.Command != "" {
		p.did = append(p.did, do.Command)
	}
}

func (p *phone) begin(plan session.Plan) {
	p.view.Moved()
	p.record(session.Open, "soletrial test")
	p.record(session.Planned, plan.Args()...)
}

// button is something to tap.
type button struct{ action, value, label string }

func (p *phone) buttons() (list []button) {
	for _, n := range p.page() {
		n.Walk(func(n *tree.Node) {
			if action, there := n.Attr("data-click"); there {
				value, _ := n.Attr("value")
				list = append(list, button{action, value, n.TextContent()})
			}
		})
	}
	return list
}

// tap taps the button that says so.
func (p *phone) tap(t *testing.T, label string) {
	t.Helper()
	for _, b := range p.buttons() {
		if b.label == label {
			p.act(b.action, b.value)
			return
		}
	}
	t.Fatalf("there is no button %q on\n%s", label, p.words())
}

func (p *phone) says(t *testing.T, words ...string) {
	t.Helper()
	for _, want := range words {
		if !strings.Contains(p.words(), want) {
			t.Fatalf("the screen does not say %q but\n%s", want, p.words())
		}
	}
}

func TestOneBlockByItsWords(t *testing.T) {
	p := newPhone()
	p.says(t, "At the track", "2 May 2026 · power", "4 blocks of 6 min at 268 W · Ash, Birch", "not medical advice")
	p.tap(t, "Start this session")
	p.says(t, "Weigh Ash", "Before block 1 of 4", "Stop session")
	p.act("draft left", "213,5")
	p.tap(t, "Next")
	p.says(t, "Weigh Birch")
	p.act("draft left", "2")
	p.tap(t, "Next")
	p.says(t, "Left: write a number from 20 to 2000, or leave it blank.", "Weigh Birch")
	p.tap(t, "Stop weighing")
	p.tap(t, "Skip")
	p.says(t, "Where is the foot sensor?", "to the same place")
	p.act("draft side", "left")
	p.act("draft sensor", "on the laces")
	p.tap(t, "Next")
	p.says(t, "Warm up", "10 min easy")
	p.tap(t, "Start warm-up")
	p.mono += 500_000
	p.says(t, "1:40", "left of 10:00")
	p.tap(t, "End warm-up")
	p.says(t, "Put on Ash", "Hold 268 W for 6 min", "You hear a sound after 6 min.")
	p.tap(t, "Start block 1")
	p.says(t, "Ash", "268 W", "6:00", "left of 6:00")
	p.tap(t, "Lap")
	p.says(t, "Lap: 1")
	p.mono += 371_000
	p.says(t, "+0:12", "over 6:00. Stop running and tap End.")
	p.tap(t, "End block 1")
	p.says(t, "You tapped End 0:13 after the signal", "Rest 0:00 of 2:00")
	p.tap(t, "At the signal (6 min)")
	p.says(t, "How hard was block 1?")
	p.act("exertion 8", "")
	p.says(t, "How comfortable was Ash?")
	p.tap(t, "Next")
	p.says(t, "Touch the line first.")
	p.act("draft comfort", "-1")
	p.tap(t, "Next")
	p.says(t, "Anything to note on block 1?", "1 lap tapped.")
	p.tap(t, "Nothing to note")
	p.says(t, "Put on Birch", "rest left of 2:00")
	p.mono += 150_000
	p.says(t, "over the rest of 2:00")
	if b := p.state().Blocks[0]; b.RPE != 8 || b.ComfortMm != 0 || b.End.S-b.Start.S != 360 {
		t.Errorf("the block is %+v", b)
	}
	if got := p.state().FieldLog().Sensor; got != "left shoe, on the laces" {
		t.Errorf("the foot sensor is %q", got)
	}
	if w := p.state().Weights["ash"]; w.Left != 213.5 {
		t.Errorf("the weights are %+v", w)
	}
}

func TestSomethingElse(t *testing.T) {
	p := newPhone()
	p.tap(t, "Start this session")
	for _, label := range []string{"No scale here", "Skip", "No foot sensor", "No warm-up", "More",
		"Another shoe for block 1", "Birch"} {
		p.tap(t, label)
	}
	p.says(t, "Another shoe. Why?")
	p.tap(t, "Put on by mistake")
	p.says(t, "Put on Birch")
	p.tap(t, "Start block 1")
	p.tap(t, "Stop session")
	p.says(t, "Stopped. Why?", "call the emergency number", "A mistake: go on")
	p.tap(t, "A mistake: go on")
	p.says(t, "End block 1", "Redo: stop")
	p.mono += 100_000
	p.tap(t, "End block 1")
	p.says(t, "ended 4:1", "early. Why?")
	p.tap(t, "End was a mistake: it runs on")
	p.says(t, "End block 1", "Redo: block end")
	p.tap(t, "Redo: block end")
	p.tap(t, "Next")
	p.says(t, "Write the reason first, or tap one.")
	p.act("draft reason", "a dog")
	p.tap(t, "Next")
	for _, label := range []string{"More", "Run block 1 again", "Interrupted"} {
		p.tap(t, label)
	}
	p.says(t, "Put on Ash", "Start block 1b")
	for _, label := range []string{"More", "Skip block 1b", "Weather"} {
		p.tap(t, label)
	}
	p.says(t, "Keep Birch on", "Start block 2")
	for _, label := range []string{"More", "Another shoe in block 1", "Ash", "Put on by mistake"} {
		p.tap(t, label)
	}
	p.says(t, "Put on Birch", "Undo: other shoe")
	p.tap(t, "Undo: other shoe")
	p.tap(t, "Stop session")
	p.tap(t, "Unwell or in pain")
	p.says(t, "The log is complete", "1 block of 4 planned, 5 deviations.", "(excluded: Interrupted)",
		"Block 1 in Birch, not Ash: Put on by mistake", "Block 1b skipped: Weather", "Session ended early: Unwell",
		"Save fieldlog.yaml")
}

func TestPlanDrawnHere(t *testing.T) {
	p := newPhone()
	p.view.Plans, p.view.Shoes = nil, []session.Shoe{{ID: "ash", Label: "Ash"}}
	p.tap(t, "Plan a session here")
	p.tap(t, "Draw the order and start")
	p.says(t, "0 shoes: a session is planned for 2 to 6.")
	p.act("draft shoe1", "ash")
	p.act("draft shoe2", "My Röad Shoe!")
	p.act("draft blocks", "4,5,6")
	p.tap(t, "Draw the order and start")
	p.says(t, "Blocks: write a number from 2 to 40.")
	p.act("draft blocks", "6")
	p.act("draft effort", "pace")
	p.act("draft target", "270")
	p.tap(t, "Draw the order and start")
	p.says(t, "Target, min:s per km (such as 4:30): write it like this, or leave it blank.")
	p.act("draft target", "4:30")
	p.tap(t, "Draw the order and start")
	plan := p.state().Plan
	if plan.Session != "2026-05-02-pace" || len(plan.Order) != 6 || plan.Source != trial.PlanOfVenue ||
		plan.BlockS != 360 {
		t.Errorf("the plan is %+v", plan)
	}
	if plan.Shoes[0].ID != "ash" || plan.Shoes[1].ID != "my-r-ad-shoe" ||
		plan.Label("my-r-ad-shoe") != "My Röad Shoe!" {
		t.Errorf("the shoes are %+v", plan.Shoes)
	}
	if node, problems := yamltext.Parse(p.state().Text(), "f"); len(problems) > 0 {
		t.Error(problems)
	} else if _, problems := plaintext.ReadFieldLog(node, nil); len(problems) > 0 {
		t.Error(problems)
	}
}

// Two sessions of one day, or one run twice, get names of their own.
func TestSecondSessionOfADay(t *testing.T) {
	p := newPhone()
	p.view.Kept = []Kept{{Session: "2026-05-02-power", Run: 4, All: 4, Done: true}, {Session: "2026-05-02-power-2",
		Run: 1, All: 4}}
	p.says(t, "Go on with 2026-05-02-power-2: 1 block of 4 run", "Log of 2026-05-02-power: 4 blocks of 4 run",
		"Run it once more, as 2026-05-02-power-3")
	p.tap(t, "Run it once more, as 2026-05-02-power-3")
	if got := p.state().Plan.Session; got != "2026-05-02-power-3" {
		t.Errorf("the session is %q", got)
	}
}

func TestWhatTheBrowserLacksIsSaid(t *testing.T) {
	p := newPhone()
	if text := p.words(); strings.Contains(text, "keeps nothing") || strings.Contains(text, "plain http") ||
		strings.Contains(text, "cannot") || strings.Contains(text, "no sound") {
		t.Errorf("nothing is lacking, and the screen says\n%s", text)
	}
	p.view.Offers, p.view.Wanted = Offers{}, "2026-07-01-pace"
	p.says(t, "This browser keeps nothing", "Opened over plain http", "no plan for 2026-07-01-pace")
	p.view.Offers = Offers{Keeps: true, Secure: true}
	p.says(t, "Is this a private window?", "cannot keep the screen on", "does not keep the page", "makes no sound")
	p.view.Offers.Sounds = true
	p.says(t, "cannot vibrate: turn the sound up")
	p.view.Today = "2026-05-03"
	p.says(t, "Planned for 2 May 2026. Today is 3 May 2026.")
}

// Whatever is tapped, every screen has one heading, during a session Stop and a way
// on; every button means something; ids are there once; and the log stays readable.
func TestAnyButtons(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPhone()
		for range rapid.IntRange(1, 80).Draw(t, "taps") {
			check(t, p)
			list := p.buttons()
			b := list[rapid.IntRange(0, len(list)-1).Draw(t, "button")]
			if rapid.IntRange(0, 4).Draw(t, "typing") == 0 {
				field := rapid.SampledFrom([]string{"left", "air", "laps", "note", "reason", "comfort", "remark",
					"shoe1", "shoe2"}).Draw(t, "field")
				p.act("draft "+field, rapid.SampledFrom([]string{"", "50", "a: b", "9,5"}).Draw(t, "text"))
			}
			p.mono += int64(rapid.IntRange(0, 400_000).Draw(t, "ms"))
			if b.action == string(Delete) || b.action == string(Leave) {
				continue
			}
			p.act(b.action, b.value)
		}
	})
}

func check(t *rapid.T, p *phone) {
	headings, stops, ids := 0, 0, map[string]bool{}
	for _, n := range p.page() {
		n.Walk(func(n *tree.Node) {
			if n.Tag == "h1" {
				headings++
			}
			if id, there := n.Attr("id"); there {
				if ids[id] {
					t.Fatalf("%q is there twice on\n%s", id, p.words())
				}
				ids[id] = true
				if id == "stop" {
					stops++
				}
			}
			if _, clicks := n.Attr("data-click"); clicks && n.TextContent() == "" && n.Tag == "button" {
				t.Fatalf("a button says nothing on\n%s", p.words())
			}
		})
	}
	s := p.state()
	if headings != 1 || s != nil && s.Step < session.StepWhy && stops != 1 || len(p.buttons()) == 0 {
		t.Fatalf("%d headings, %d stops, %d buttons on\n%s", headings, stops, len(p.buttons()), p.words())
	}
	if s == nil {
		return
	}
	if node, problems := yamltext.Parse(s.Text(), "f"); len(problems) > 0 {
		t.Fatalf("%v in\n%s", problems, s.Text())
	} else if _, problems := plaintext.ReadFieldLog(node, nil); len(problems) > 0 {
		t.Fatalf("%v in\n%s", problems, s.Text())
	}
}

// Where the clocks part, the screen says so for a minute and until the next tap, so that
// nothing moves under a finger; and the end once more.
func TestClockJumpIsSaid(t *testing.T) {
	p := newPhone()
	p.tap(t, "Start this session")
	p.mono, p.ahead = p.mono+5000, -3600_000
	p.record(session.Clock)
	const said = "The phone's clock was put back by 1:00:00. The stopwatch ran on"
	p.says(t, said)
	p.mono += 61_000
	p.says(t, said)
	p.tap(t, "No scale here")
	if strings.Contains(p.words(), said) {
		t.Error("it is still said after a minute and a tap")
	}
	p.tap(t, "Stop session")
	p.tap(t, "Weather")
	p.says(t, said)
}

// Who ends a block unwell is told to stop, and not only asked how hard it was.
func TestUnwellIsToldToStop(t *testing.T) {
	p := newPhone()
	for _, label := range []string{"Start this session", "No scale here", "Skip", "No foot sensor", "No warm-up",
		"Start block 1",
		"End block 1"} {
		p.tap(t, label)
	}
	const told = "Do not run on to finish a plan."
	if strings.Contains(p.words(), told) {
		t.Error("it is said before anybody is unwell")
	}
	p.tap(t, "Unwell or in pain")
	for range 4 { // the three questions, and the next change of shoe
		p.says(t, told, "Stop session")
		p.act("pass", "")
	}
	p.tap(t, "Start block 2")
	for _, label := range []string{"End block 2", "6"} {
		if strings.Contains(p.words(), told) {
			t.Errorf("it is still said in the next block, before %q", label)
		}
		p.mono += 360_000
		p.tap(t, label)
	}
}
