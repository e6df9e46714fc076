package session

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// day is a session being tapped, on two clocks that a test moves.
type day struct {
	t      testing.TB
	events []Event
	mono   int64
	wall   int64
	run    int
}

// began is 2 May 2026, 09:00:00 in a zone two hours east of UTC.
const began = 1_777_705_200_000

func newDay(t testing.TB) *day {
	d := &day{t: t, wall: began}
	d.tap(Open, "soletrial test")
	p := aPlan()
	d.tap(Planned, p.Args()...)
	return d
}

// aPlan is A B B A of two invented shoes, six minutes each.
func aPlan() Plan {
	p := NoPlan()
	p.Session, p.Source, p.Effort, p.Target = "2026-05-02-power", trial.PlanOfDataset, trial.Power, "268"
	p.BlockS, p.RestS = 360, 120
	p.Shoes, p.Order = []Shoe{{"ash", "Ash"}, {"birch", "Birch"}}, []string{"ash", "birch", "birch", "ash"}
	return p
}

// wait lets both clocks run.
func (d *day) wait(seconds float64) {
	d.mono += int64(seconds * 1000)
	d.wall += int64(seconds * 1000)
}

// tap is a tap one second after the last thing.
func (d *day) tap(kind Kind, args ...string) *State {
	d.wait(1)
	return d.event(Event{Kind: kind, Args: args})
}

func (d *day) event(e Event) *State {
	e.Run, e.MonoMs, e.WallMs, e.ZoneMin = d.run, d.mono, d.wall, 120
	d.events = append(d.events, e)
	return Fold(d.events)
}

// block runs the next block for some seconds, and answers nothing.
func (d *day) block(seconds float64) *State {
	d.tap(Start)
	d.wait(seconds - 1)
	s := d.tap(End)
	for s.Step != StepChange && s.Step != StepClosing && s.Step != StepLate {
		s = d.tap(Pass)
	}
	return s
}

// log reads what the state writes by the strict reader.
func (d *day) log() *trial.FieldLog {
	d.t.Helper()
	return read(d.t, Fold(d.events).Text())
}

func read(t interface {
	Fatalf(string, ...any)
	Helper()
}, text []byte) *trial.FieldLog {
	t.Helper()
	node, problems := yamltext.Parse(text, "fieldlog.yaml")
	if len(problems) == 0 {
		var log *trial.FieldLog
		if log, problems = plaintext.ReadFieldLog(node, nil); len(problems) == 0 {
			return log
		}
	}
	t.Fatalf("%v in\n%s", problems, text)
	return nil
}

func TestWholeSession(t *testing.T) {
	d := newDay(t)
	d.tap(Weighed, "213", "215.5")
	d.tap(Pass)
	d.tap(Conditions, "12", "2", "", "sun", "dry")
	d.tap(Sensor, "right laces")
	d.tap(WarmStart)
	d.wait(600)
	d.tap(WarmEnd)
	for block := range 4 {
		d.tap(Start)
		d.tap(Lap)
		d.wait(358)
		if s := d.tap(End); s.Step != StepExertion {
			t.Fatalf("after block %d the step is %d", block+1, s.Step)
		}
		d.tap(Exertion, "7")
		d.tap(Comfort, "64")
		d.tap(Noted, "fine", "", "1600")
	}
	if s := d.tap(Finish, "a good day"); s.Step != StepDone {
		t.Fatalf("in the end the step is %d", s.Step)
	}
	text := string(Fold(d.events).Text())
	for _, want := range []string{"began: 2026-05-02T09:00:01+02:00\n",
		"  - shoe: ash\n    label: Ash\n    left_g: 213\n    right_g: 215.5\n  - shoe: birch\n",
		"sensor: right laces\n", "  air_c: 12\n  wind_mps: 2\n  sky: sun\n  surface: dry\n", "notes: a good day\n",
		"source: dataset\n",
		"  - block: 1\n    place: 1\n    shoe: ash\n    start: 2026-05-02T09:10:09+02:00\n    start_s: 608\n" +
			"    end: 2026-05-02T09:16:09+02:00\n    end_s: 968\n" +
			"    lap_s: [609]\n    laps: 1\n    distance_m: 1600\n    rpe: 7\n    comfort_mm: 64\n    note: fine\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("the log lacks %q:\n%s", want, text)
		}
	}
	if log := d.log(); len(log.Blocks) != 4 || log.Blocks[3].Shoe != "ash" || len(log.Deviations) != 0 ||
		len(log.Clock) != 0 {
		t.Errorf("the log reads as %+v", log)
	}
}

// ready is a day at the first change of shoe.
func ready(t testing.TB) *day {
	d := newDay(t)
	d.tap(Pass)
	d.tap(Pass)
	d.tap(Pass)
	if s := d.tap(Pass); s.Step != StepChange {
		t.Fatalf("after four passes the step is %d", s.Step)
	}
	return d
}

func TestSkipRepeatSwap(t *testing.T) {
	d := ready(t)
	d.block(360)
	d.tap(Again, "a dog on the track")
	if s := d.block(360); s.Last().Name != "1b" || s.Last().Shoe != "ash" {
		t.Errorf("run again, the block is %q in %q", s.Last().Name, s.Last().Shoe)
	}
	d.tap(Swap, "ash", "birch is wet")
	if _, shoe := Fold(d.events).Next(); shoe != "ash" {
		t.Errorf("after the swap the next shoe is %q", shoe)
	}
	d.block(360)
	d.tap(Skip, "short of time")
	s := d.block(300)
	if s.Step != StepClosing {
		t.Errorf("in the end the step is %d", s.Step)
	}
	log := d.log()
	var got []string
	for _, deviation := range log.Deviations {
		got = append(got, strings.Join(
			[]string{deviation.Kind, deviation.Block, deviation.Planned, deviation.Worn, deviation.Reason},
			"|"))
	}
	want := []string{"repeated|1|||a dog on the track", "swapped|2|birch|ash|birch is wet",
		"skipped|3|birch||short of time"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("deviations (-want +got):\n%s", diff)
	}
	var run []string
	for _, b := range log.Blocks {
		run = append(run, b.Block+" "+b.Shoe+" "+b.Excluded)
	}
	if diff := cmp.Diff([]string{"1 ash a dog on the track", "1b ash ", "2 ash ", "4 ash "}, run); diff != "" {
		t.Errorf("blocks (-want +got):\n%s", diff)
	}
}

// A wrong shoe that is noticed while the block runs is put right in that block; going
// back to the planned one takes the deviation away.
func TestSwapInTheBlock(t *testing.T) {
	d := ready(t)
	d.tap(Start)
	s := d.tap(Wore, "birch", "by mistake")
	if s.Last().Shoe != "birch" || len(s.Deviations) != 1 || s.Step != StepRunning {
		t.Errorf("swapped in the block: %+v", s)
	}
	if s = d.tap(Wore, "ash", "no, it is right"); s.Last().Shoe != "ash" || len(s.Deviations) != 0 {
		t.Errorf("swapped back: %+v", s.Deviations)
	}
	d.wait(355)
	for _, kind := range []Kind{End, Pass, Pass, Pass} {
		d.tap(kind)
	}
	s = d.tap(Wore, "birch", "seen on taking it off")
	if s.Step != StepChange || s.Last().Shoe != "birch" || s.Worn != "" || len(s.Deviations) != 1 {
		t.Errorf("seen after the block: %+v", s)
	}
}

// Who taps End late is asked; the signal then counts, by both clocks, and laps tapped
// after it do not.
func TestLateEnd(t *testing.T) {
	d := ready(t)
	start := d.tap(Start).Last().Start
	d.wait(365)
	d.tap(Lap)
	d.wait(10)
	if s := d.tap(End); s.Step != StepLate || s.Over() != 17 {
		t.Fatalf("17 s late: step %d, %v over", s.Step, s.Over())
	}
	s := d.tap(Signal)
	last := s.Last()
	if s.Step != StepExertion || last.End.S != start.S+360 || last.End.WallMs != start.WallMs+360_000 ||
		len(last.Laps) != 0 {
		t.Errorf("ended at the signal: %+v, start %+v", last, start)
	}
	if s = d.tap(Undo); s.Step != StepLate || s.Last().End.S != start.S+377 || len(s.Last().Laps) != 1 {
		t.Errorf("taken back: %+v", s.Last())
	}
	if s = d.tap(End); s.Step != StepExertion || s.Last().End.S != start.S+377 {
		t.Errorf("the tap counts: %+v", s.Last())
	}
}

func TestEarlyEndAndStop(t *testing.T) {
	d := ready(t)
	d.tap(Start)
	d.wait(60)
	if s := d.tap(End); s.Step != StepEarly {
		t.Fatalf("after a minute the step is %d", s.Step)
	}
	if s := d.tap(Early, "miscounted"); s.Step != StepExertion || s.Deviations[0].Kind != trial.Short {
		t.Fatalf("the reason leads to step %d, %+v", s.Step, s.Deviations)
	}
	for range 3 {
		d.tap(Pass)
	}
	d.tap(Start)
	d.wait(100)
	s := d.tap(Stop)
	if s.Step != StepWhy || !s.Last().Ended || s.Last().End.S != s.Ended.S {
		t.Fatalf("stopped: %+v", s)
	}
	if s = d.tap(Undo); s.Step != StepRunning || s.Last().Ended {
		t.Fatalf("a mistake: step %d", s.Step)
	}
	if s = d.tap(Stop); !s.EndedByStop() || s.Redoable != "" {
		t.Errorf("the stop ended the block: %v; %q can be put back", s.EndedByStop(), s.Redoable)
	}
	end := s.Last().End
	if s = d.tap(OnlyBlock); s.Step != StepEarly || s.Ended != nil || s.Last().End != end {
		t.Fatalf("only the block was meant: step %d, %+v", s.Step, s.Last())
	}
	d.tap(Undo)
	d.tap(Stopped, "unwell")
	log := d.log()
	if n := len(log.Deviations); n != 3 || log.Deviations[1].Kind != trial.Stopped ||
		log.Deviations[2].Kind != trial.Short || log.Ended == "" {
		t.Errorf("stopped for good: %+v", log.Deviations)
	}
}

// A second tap on a button that is gone does nothing.
func TestTapsThatDoNotFit(t *testing.T) {
	d := ready(t)
	want := Fold(d.events)
	for _, kind := range []Kind{End, Lap, Signal, Exertion, Noted, Finish, Stopped, WarmEnd, Planned, "no such tap"} {
		if s := d.tap(kind, "x"); s.Step != want.Step || len(s.Blocks) != 0 || len(s.Deviations) != 0 {
			t.Errorf("%s at the first change gives step %d", kind, s.Step)
		}
	}
}

func TestDrawnAtTheVenue(t *testing.T) {
	p := aPlan()
	drawn, err := WithOrder(p, 8, 7)
	if err != nil || len(drawn.Order) != 8 || strings.Count(strings.Join(drawn.Order, " "), "ash") != 4 ||
		drawn.Source != trial.PlanOfVenue {
		t.Fatalf("drawn: %+v, %v", drawn, err)
	}
	if again, _ := WithOrder(p, 8, 7); cmp.Diff(drawn.Order, again.Order) != "" {
		t.Errorf("the same seed draws %v and %v", drawn.Order, again.Order)
	}
	if diff := cmp.Diff(drawn, planOf(Event{Args: drawn.Args()}), cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("as an event (-want +got):\n%s", diff)
	}
	p.Shoes = p.Shoes[:1]
	if _, err := WithOrder(p, 8, 7); err == nil {
		t.Error("one shoe is drawn")
	}
}

func TestPublishedPlans(t *testing.T) {
	node, problems := yamltext.Parse([]byte(`{program: soletrial test,
  shoes: [{id: ash, label: Ash}, {id: birch, label: Birch}],
  plans: [{session: 2026-05-02-power, date: 2026-05-02, venue: Hall, lap_m: 300, effort: power, target: "268",
    block_s: 360, rest_s: 120, warm_up_s: , shoes: [ash, birch], order: [ash, birch, birch, ash]}]}`), "plans.json")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	plans, shoes, version := Published(node)
	want := aPlan()
	want.Date, want.Venue, want.LapM = "2026-05-02", "Hall", 300
	if diff := cmp.Diff([]Plan{want}, plans, cmpopts.EquateNaNs()); diff != "" || len(shoes) != 2 ||
		version != "soletrial test" {
		t.Errorf("plans (-want +got):\n%s\n%v %q", diff, shoes, version)
	}
}
