package answer

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
)

// The words are those of the IPCC guidance note (Mastrandrea et al. 2010, table 1), with the
// number always behind them; no chance is written as certain.
func TestLikelihoodAndChance(t *testing.T) {
	for _, c := range []struct {
		p            float64
		word, chance string
	}{
		{1, "virtually certain", "over 99 %"}, {0.99, "virtually certain", "99 %"}, {0.9899, "very likely", "99 %"},
		{0.90, "very likely", "90 %"}, {0.89, "likely", "89 %"}, {0.66, "likely", "66 %"},
		{0.65, "about as likely as not", "65 %"}, {0.34, "about as likely as not", "34 %"}, {0.33, "unlikely", "33 %"},
		{0.10, "unlikely", "10 %"}, {0.09, "very unlikely", "9 %"}, {0.001, "very unlikely", "under 1 %"},
	} {
		if word, chance := Likelihood(c.p), Chance(c.p); word != c.word || chance != c.chance {
			t.Errorf("%g: %q (%s), want %q (%s)", c.p, word, chance, c.word, c.chance)
		}
	}
}

func TestNumbersForPeople(t *testing.T) {
	log := math.Log(1.018)
	for got, want := range map[string]string{
		Percent(log): "+1.8 %", Percent(-log): "-1.8 %", Size(-log): "1.8 %", Seconds(-46.4): "46 seconds",
		Seconds(59.6): "1:00 min", Seconds(134): "2:14 min", Seconds(3725): "1:02:05 h",
		Interval(decide.Difference{Mean: log, Low: math.Log(1.009), High: math.Log(1.027)}): "+1.8 % (+0.9 to +2.7 %)",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// statusFields are trials that come to each status but blocked.
var statusFields = map[decide.Status]field{
	decide.Fastest: {orders: times(3, abba...), advantage: map[string]float64{"birch": 0.03}, noise: 0.004},
	decide.Same:    {orders: times(15, abba...), noise: 0.003},
	decide.Open:    {orders: []string{"ABBA"}, advantage: map[string]float64{"birch": 0.002}, noise: 0.006},
	decide.Leading: {
		orders:    times(1, "ABCCBA", "CABBAC"),
		advantage: map[string]float64{"birch": 0.006, "cedar": -0.05},
		noise:     0.009,
	},
}

// Each status has its advice, its claim and its size, with the numbers of the answer.
func TestSentencesOfEachStatus(t *testing.T) {
	for status, f := range statusFields {
		f.source = offFoot
		in := f.inputs()
		a, e, g := decided(t, in)
		if g.Status != status {
			t.Errorf("%s, want %s: %+v", g.Status, status, g.Lead.D)
			continue
		}
		s := NewSpeaker(in.Dataset, a)
		said := s.Say(e, g)
		leader, second := s.Label(g.Places[0].Shoe), s.Label(g.Places[1].Shoe)
		chance := fmt.Sprintf("%.0f %%", 100*g.Places[0].Best)
		if g.Places[0].Best >= 0.995 {
			chance = "over 99 %"
		}
		size := func(p *Pair) string { return fmt.Sprintf("%.1f %%", 100*math.Expm1(p.D.Mean)) }
		ahead := "At the same effort it is " + size(g.Lead) + " faster than " + second
		want := map[decide.Status]Sentences{
			decide.Fastest: {
				Advice: "Race in Birch.",
				Claim:  "Birch is " + LikelyToBe(g.Places[0].Best, "the fastest") + " (" + chance + ").",
				Size:   ahead + ".",
			},
			decide.Same: {Advice: "Race in " + leader + " or " + second + ".", Claim: leader + " and " + second +
				" are practically the same: no more than " + fmt.Sprintf("%.1f %%",
				100*math.Expm1(g.Lead.D.ApartAtMost)) +
				" apart."},
			decide.Open: {
				Advice: "No clear winner yet.",
				Claim: leader + " is " + LikelyToBe(g.Places[0].Best, "the fastest") + " (" + chance +
					"), but any of these shoes may be.",
				Size: ahead + ".",
				Also: leader + " and " + second + " are no more than " +
					fmt.Sprintf("%.1f %%", 100*math.Expm1(g.Lead.D.ApartAtMost)) + " apart.",
			},
			decide.Leading: {Advice: "Race in " + leader + " or " + second + ".", Claim: leader + " is " +
				LikelyToBe(g.Places[0].Best, "the fastest") + " (" + chance + ").", Also: second +
				" may be just as fast."},
		}[status]
		if status == decide.Leading {
			want.Size = ahead + " and " + size(g.Places[2].Pair) + " faster than Cedar."
		}
		if said.Advice != want.Advice || said.Claim != want.Claim || said.Size != want.Size || said.Also != want.Also {
			t.Errorf("%s: %q, want %q", status, said.Headline(), want.Headline())
		}
		if said.Evidence != "Evidence: "+string(g.Lead.Evidence)+"." || len(said.Stronger) != len(g.Lead.Lacks) {
			t.Errorf("%s: %q, stronger %q, lacks %+v", status, said.Evidence, said.Stronger, g.Lead.Lacks)
		}
	}
}

// A blocked answer says what blocks it and no size: nothing is known of that.
func TestBlockedAnswerClaimsNothing(t *testing.T) {
	in := field{orders: times(3, abba...), advantage: map[string]float64{"birch": 0.03}, noise: 0.004,
		source: onFoot}.inputs()
	in.Checks = devices("speed_mps watch/foot", map[string]float64{"alder": 1, "birch": 0.97})
	a, e, g := decided(t, in)
	said := NewSpeaker(in.Dataset, a).Say(e, g)
	const want = "No answer yet: a sensor could have made it. Two devices differ from shoe to shoe (speed_mps " +
		"watch/foot), and without that the answer changes."
	if said.Headline() != want {
		t.Errorf("%q, want %q", said.Headline(), want)
	}
}

// Three shoes that are practically the same: the sentence names all, the advice too, and what
// it says holds of the leader against each of the others.
func TestThreeAreTheSame(t *testing.T) {
	in := field{orders: times(15, "ABCCBA", "CABBAC", "BCAACB"), noise: 0.002, source: offFoot}.inputs()
	a, e, g := decided(t, in)
	if g.Status != decide.Same || len(g.Leading) != 3 {
		t.Fatalf("%s with %v leading", g.Status, g.Leading)
	}
	s := NewSpeaker(in.Dataset, a)
	said, names := s.Say(e, g), []string{}
	for i := range g.Places {
		names = append(names, s.Label(g.Places[i].Shoe))
	}
	most := math.Max(e.Pair(g.Places[0].Shoe, g.Places[1].Shoe).D.ApartAtMost,
		e.Pair(g.Places[0].Shoe, g.Places[2].Shoe).D.ApartAtMost)
	want := fmt.Sprintf(
		"Race in %s, %s or %s. %s and %s are practically the same as %s: no more than %.1f %% apart from it.",
		names[0], names[1], names[2], names[1], names[2], names[0], 100*math.Expm1(most))
	if said.Headline() != want {
		t.Errorf("%q, want %q", said.Headline(), want)
	}
}

// Heart rate at the same pace is told as what it is, and in its own direction.
func TestHeartRateAtPace(t *testing.T) {
	in := field{effort: trial.Pace, orders: times(4, abba...), heart: map[string]float64{"birch": -0.04}, noise: 0.004,
		source: offFoot}.inputs()
	a, e, g := decided(t, in)
	said := NewSpeaker(in.Dataset, a).Say(e, g)
	want := fmt.Sprintf("Race in Birch. Birch is virtually certain to be the easiest at the same pace (over 99 %%). "+
		"At the same pace its heart rate is %.1f %% lower than in Alder.", 100*math.Expm1(g.Lead.D.Mean))
	if said.Headline() != want {
		t.Errorf("%q, want %q", said.Headline(), want)
	}
}

// A pair is told in a sentence that can be read aloud, whatever the chance.
func TestPairSentences(t *testing.T) {
	in := field{orders: times(3, abba...), noise: 0.004, source: offFoot}.inputs()
	a, e, g := decided(t, in)
	speaker, p := Speaker{Dataset: in.Dataset, Answers: a}, g.Pairs[0]
	p.Shoe, p.Reference, p.D.Mean = "birch", "alder", math.Log(1.012)
	for above, want := range map[float64]string{
		0.995: "Birch is virtually certain to be faster than Alder (over 99 %): by 1.2 %.",
		0.94:  "Birch is very likely faster than Alder (94 %): by 1.2 %.",
		0.58:  "Birch is about as likely as not to be faster than Alder (58 %): by 1.2 %.",
	} {
		p.D.Above = above
		if got := speaker.PairSentence(e, &p); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Time over a race is told before percent, with the same sign.
func TestRaceTimeHasTheSignOfTheDifference(t *testing.T) {
	in := field{orders: times(3, abba...), advantage: map[string]float64{"birch": 0.02}, noise: 0.004, source: offFoot,
		method: func(m *trial.Method) { m.Races = []trial.Race{{DistanceM: 21097.5, Time: "1:30:00"}} }}.inputs()
	a, e, g := decided(t, in)
	s := NewSpeaker(in.Dataset, a)
	r := s.RaceTime(e, g.Lead, *s.Race)
	if !(r.Low < r.Mid && r.Mid < r.High && r.Least <= r.Mid && r.Mid <= r.Most && r.Mid > 60 && r.Mid < 120) {
		t.Errorf("2 %% of 1:30:00 are %+v s", r)
	}
	if said := s.Say(e, g); !strings.HasPrefix(said.Size, "Over a half marathon it is about "+Seconds(r.Mid)+
		" quicker than Alder (") {
		t.Errorf("%q", said.Size)
	}
}

// What was not checked is said: the ground of a shoe without it, heart rate, a computed step
// length. Off the shoe nothing of the sensor is asked.
func TestWhatWasNotChecked(t *testing.T) {
	f := field{orders: times(2, abba...), advantage: map[string]float64{"birch": 0.03}, noise: 0.004, source: onFoot,
		ground: map[string]float64{}}
	in := f.inputs()
	for i := range in.Blocks {
		in.Blocks[i].Windows[0].HeartRate = math.NaN()
		if in.Blocks[i].Shoe == "birch" {
			in.Blocks[i].GroundM = math.NaN()
		}
	}
	var steps []sensor.Ratio
	for i := range 4 {
		steps = append(steps, sensor.Ratio{Shoe: []string{"alder", "birch"}[i%2], Check: sensor.Steps, Value: 1.0001})
	}
	in.Checks.Add("day-1", steps)
	in.Checks.DropComputedSteps()
	a, e, g := decided(t, in)
	want := []string{"Not checked: heart rate, because it was not recorded in both shoes.",
		"Not checked: speed against cadence and step length, because step length was computed from speed."}
	s := NewSpeaker(in.Dataset, a)
	for _, w := range append(want, "Not checked: the sensor's distance against counted laps in Birch and Alder.") {
		if !slices.Contains(s.Say(e, g).Doubts, w) {
			t.Errorf("%q is missing in %q", w, s.Say(e, g).Doubts)
		}
	}
	f.source = offFoot
	in = f.inputs()
	a, e, g = decided(t, in)
	for _, doubt := range NewSpeaker(in.Dataset, a).Say(e, g).Doubts {
		if strings.HasPrefix(doubt, "Not checked") {
			t.Errorf("with everything checked: %q", doubt)
		}
	}
}

// Sessions at another effort agree, contradict or do neither, in words.
func TestOtherEffortsInWords(t *testing.T) {
	for birch, want := range map[float64]string{
		-0.06: "2 sessions at the same pace agree: Birch first (over 99 %).",
		0:     "2 sessions at the same pace do not contradict this answer.",
		0.06:  "2 sessions at the same pace point to Alder instead (over 99 %).",
	} {
		in := field{orders: times(2, abba...), advantage: map[string]float64{"birch": 0.03}, noise: 0.004,
			source: offFoot}.inputs()
		for _, b := range (field{effort: trial.Pace, orders: abba, noise: 0.004, source: offFoot,
			heart: map[string]float64{"birch": birch}}).inputs().Blocks {
			b.Session = "pace-" + b.Session
			in.Blocks = append(in.Blocks, b)
		}
		a, _, _ := decided(t, in)
		said := NewSpeaker(in.Dataset, a).Top()
		if where := map[bool][]string{true: said.Doubts, false: said.Checks}[birch > 0]; !slices.Contains(where, want) {
			t.Errorf("%q is missing in %q and %q", want, said.Doubts, said.Checks)
		}
	}
}

// Without two shoes in one session there is nothing to say but what to do.
func TestNoAnswerSaysWhatToDo(t *testing.T) {
	in := field{orders: []string{"AA", "BB"}, noise: 0.004, source: offFoot}.inputs()
	a := Decide(in)
	if said := NewSpeaker(in.Dataset, a).Top(); a.Headline >= 0 || said.Advice != "No answer yet." || said.Claim == "" {
		t.Errorf("headline %d: %+v", a.Headline, said)
	}
}

// A shoe that is needed for the 97.5 % of being the best may still be behind the leader for
// sure: it is not said to be just as fast. By hand: of birch the interval holds 0, of cedar not.
func TestBehindForSureIsNotJustAsFast(t *testing.T) {
	pair := func(shoe, reference string, low float64) Pair {
		return Pair{Pair: decide.Pair{D: decide.Difference{Low: low}}, Shoe: shoe, Reference: reference}
	}
	g := &Group{Places: []Place{{Shoe: "alder"}, {Shoe: "birch"}, {Shoe: "cedar"}},
		Pairs: []Pair{pair("alder", "birch", -0.001), pair("alder", "cedar", 0.001), pair("birch", "cedar", -0.01)}}
	if got := g.notApart([]string{"alder", "birch", "cedar"}); !slices.Equal(got, []string{"birch"}) {
		t.Errorf("%v", got)
	}
}

// A claim that a sensor could have made says so in the headline: where no laps were counted, or
// where heart rate does not vouch for a power that the shoe's own sensor gives.
func TestClaimThatASensorCouldHaveMadeSaysSo(t *testing.T) {
	const unless, harder = "Race in Birch. Unless a sensor misled, Birch is ", "Heart rate was higher in it"
	counted := map[string]float64{"alder": 0, "birch": 0}
	for _, c := range []struct {
		name           string
		field          field
		unless, harder bool
	}{
		{"nothing counted", field{source: onFoot}, true, false},
		{"laps counted", field{source: onFoot, ground: counted}, false, false},
		{"laps counted, heart rate higher", field{source: onFoot, ground: counted,
			heart: map[string]float64{"birch": 0.04}}, true, true},
		{"no sensor on a shoe", field{source: offFoot}, false, false},
	} {
		c.field.orders, c.field.advantage = times(4, abba...), map[string]float64{"birch": 0.04}
		c.field.noise = 0.003
		in := c.field.inputs()
		a, e, g := decided(t, in)
		headline := NewSpeaker(in.Dataset, a).Say(e, g).Headline()
		if g.Status != decide.Fastest || strings.HasPrefix(headline, unless) != c.unless ||
			strings.Contains(headline, harder) != c.harder {
			t.Errorf("%s: %s, %q", c.name, g.Status, headline)
		}
	}
}
