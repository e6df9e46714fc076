package derive_test

import (
	"encoding/csv"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
)

// anyAnswerLab draws an invented laboratory: a few sessions of two to four shoes at drawn efforts.
func anyAnswerLab(t *rapid.T) lab {
	l := lab{method: "  races: [{distance_m: 21097.5, time: \"1:30:00\"}]\n"}
	noise := rapid.SampledFrom([]float64{0.002, 0.008, 0.02}).Draw(t, "noise")
	advantage := map[byte]float64{}
	for _, shoe := range []byte("abcd") {
		advantage[shoe] = rapid.Float64Range(-0.03, 0.03).Draw(t, "advantage")
	}
	for range rapid.IntRange(1, 3).Draw(t, "sessions") {
		shoes := []byte("abcd")[:rapid.IntRange(2, 4).Draw(t, "shoes")]
		s := labSession{
			facts: rapid.SampledFrom([]string{
				"", "", "effort: pace\ntarget: 4:10\n", "effort: heart_rate\ntarget: 150\n",
			}).Draw(t, "effort"),
		}
		for range rapid.IntRange(2, 6).Draw(t, "blocks") {
			shoe := rapid.SampledFrom(shoes).Draw(t, "shoe")
			vary := func(what string) float64 { return math.Exp(noise * rapid.Float64Range(-1.7, 1.7).Draw(t, what)) }
			b := labBlock{shoe: string(shoe), speed: 4 * math.Exp(advantage[shoe]) * vary("speed"),
				power: 250 * vary("power"), heart: 150 * vary("heart rate")}
			if strings.Contains(s.facts, "pace") {
				b.speed, b.heart = 4*vary("pace"), b.heart*math.Exp(-advantage[shoe])
			}
			s.blocks = append(s.blocks, b)
		}
		l.sessions = append(l.sessions, s)
	}
	return l
}

// rows reads a derived table.
func rows(t fataler, r *derive.Result, name string) (all []map[string]string) {
	lines, err := csv.NewReader(strings.NewReader(table(r, name))).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		all = append(all, row)
	}
	return all
}

func numberIn(t fataler, row map[string]string, column string) float64 {
	x, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		t.Fatalf("%s of %v: %v", column, row, err)
	}
	return x
}

// Headline, ranking.csv, decisions.csv and the sentences agree in sign, number and interval,
// and no sentence calls alike what the tables tell apart, whatever was run.
func TestAnswerTablesAndSentencesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { answersAgree(t, anyAnswerLab(t)) })
}

// The same for each answer that makes a claim, which drawn datasets need not come to.
func TestEveryAnswerAgrees(t *testing.T) {
	for status, advantages := range map[decide.Status][]float64{
		decide.Fastest: {0, 0.04}, decide.Leading: {0, 0.04, 0.042}, decide.Open: {0, 0.002},
	} {
		if _, g := answersAgree(t, shoesApart(advantages)).Answers.Top(); g.Status != status {
			t.Errorf("%v apart is %s, not %s", advantages, g.Status, status)
		}
	}
}

// shoesApart is a laboratory of three sessions in mirrored orders in which each shoe is faster than the
// first by so much, give or take about 1 % for each block, in which no shoe has a part.
func shoesApart(advantages []float64) lab {
	l := lab{method: "  races: [{distance_m: 21097.5, time: \"1:30:00\"}]\n"}
	for session := range 3 {
		s := labSession{}
		for i := range 4 * len(advantages) {
			shoe := i % (2 * len(advantages))
			if shoe >= len(advantages) {
				shoe = 2*len(advantages) - 1 - shoe
			}
			noise := 0.01 * math.Sin(float64(8*session+5*i))
			s.blocks = append(s.blocks, labBlock{shoe: "abcd"[shoe : shoe+1],
				speed: 4 * math.Exp(advantages[shoe]+noise), power: 250, heart: 150})
		}
		l.sessions = append(l.sessions, s)
	}
	return l
}

// answersAgree derives a laboratory, and holds what is answered and said against the tables.
func answersAgree(t fataler, l lab) *derive.Result {
	r := deriveFS(t, l.files())
	decisions, ranking := rows(t, r, "decisions.csv"), rows(t, r, "ranking.csv")
	speaker := answer.NewSpeaker(r.Dataset, r.Answers)
	for i := range r.Answers.Efforts {
		e := &r.Answers.Efforts[i]
		for g := range e.Groups {
			pairs := pairsOf(t, decisions, e, &e.Groups[g])
			rankingAgrees(t, ranking, pairs, e, &e.Groups[g])
			sentencesAgree(t, ranking, pairs, speaker, e, &e.Groups[g])
		}
	}
	if e, g := r.Answers.Top(); g != nil {
		if top, said := speaker.Top().Headline(), speaker.Say(e, g).Headline(); top != said {
			t.Fatalf("the headline is %q, the answer of its effort %q", top, said)
		}
	}
	return r
}

// pairsOf finds the rows of a group, by shoe and reference, and holds them against the answer.
func pairsOf(t fataler, decisions []map[string]string, e *answer.Effort,
	g *answer.Group) map[[2]string]map[string]string {
	pairs := map[[2]string]map[string]string{}
	for _, row := range decisions {
		if row["effort"] == string(e.Effort) && row["group"] == strconv.Itoa(g.Number) {
			pairs[[2]string{row["shoe"], row["reference"]}] = row
		}
	}
	if n := len(g.Places); len(pairs) != n*(n-1)/2 {
		t.Fatalf("%d pairs of %d shoes", len(pairs), n)
	}
	for key, row := range pairs {
		estimate, low, high := numberIn(t, row, "estimate"), numberIn(t, row, "low"), numberIn(t, row, "high")
		better := numberIn(t, row, "chance_better")
		if estimate < 0 || low > estimate || high < estimate {
			t.Fatalf("%v: estimate %v, interval %v to %v", key, estimate, low, high)
		}
		if (low > 0) != (better > 0.975) && math.Abs(low) > 2e-3 {
			t.Fatalf("%v: interval from %v, chance %v", key, low, better)
		}
	}
	return pairs
}

// rankingAgrees holds the places of a group against its pairs.
func rankingAgrees(t fataler, ranking []map[string]string, pairs map[[2]string]map[string]string, e *answer.Effort,
	g *answer.Group) {
	var places []map[string]string
	reference := ""
	for _, row := range ranking {
		if row["effort"] == string(e.Effort) && row["group"] == strconv.Itoa(g.Number) {
			places = append(places, row)
			if row["estimate"] == "" {
				reference = row["shoe"]
			}
		}
	}
	sum := 0.0
	for i, row := range places {
		sum += numberIn(t, row, "chance_best")
		if row["status"] != string(g.Status) || row["place"] != strconv.Itoa(i+1) || row["shoe"] != g.Places[i].Shoe {
			t.Fatalf("place %d is %v, the answer has %s, %s", i+1, row, g.Places[i].Shoe, g.Status)
		}
		for _, behind := range places[i+1:] {
			if pairs[[2]string{row["shoe"], behind["shoe"]}] == nil {
				t.Fatalf("%s is before %s in ranking.csv and not in decisions.csv", row["shoe"], behind["shoe"])
			}
		}
		if row["shoe"] == reference {
			continue
		}
		// The same difference, from the other side where the reference is the better one.
		own := pairs[[2]string{row["shoe"], reference}]
		for _, ends := range [][3]string{{"estimate", "estimate"}, {"low", "low", "high"}, {"high", "high", "low"}} {
			want := 0.0
			if own != nil {
				want = numberIn(t, own, ends[1])
			} else {
				other := pairs[[2]string{reference, row["shoe"]}]
				column := ends[2]
				if column == "" {
					column = "estimate"
				}
				want = 100 * (1/(1+numberIn(t, other, column)/100) - 1)
			}
			near(t, row["shoe"]+" against "+reference+", "+ends[0], numberIn(t, row, ends[0]), want, 2e-4)
		}
	}
	near(t, "chances of being the best", sum, 1, 5e-3)
}

var percents = regexp.MustCompile(`(\d+\.\d) %`)

// sentencesAgree holds what is said against the tables.
func sentencesAgree(t fataler, ranking []map[string]string, pairs map[[2]string]map[string]string,
	speaker answer.Speaker, e *answer.Effort, g *answer.Group) {
	said := speaker.Say(e, g)
	leader, second := g.Places[0].Shoe, g.Places[1].Shoe
	lead := pairs[[2]string{leader, second}]
	if g.Status == decide.Fastest || g.Status == decide.Leading || g.Status == decide.Open {
		claim := strings.TrimPrefix(said.Claim, "Unless a sensor misled, ")
		want := speaker.Label(leader) + " is " + answer.Likelihood(g.Places[0].Best)
		if !strings.HasPrefix(claim, want) || !strings.Contains(claim, "("+answer.Chance(g.Places[0].Best)+")") {
			t.Fatalf("%q does not begin with %q", said.Claim, want)
		}
	}
	if said.Size != "" {
		numbers := percents.FindAllStringSubmatch(said.Size, -1)
		size, _ := strconv.ParseFloat(numbers[0][1], 64)
		near(t, "size in "+said.Size, size, numberIn(t, lead, "estimate"), 0.0502)
		if strings.Contains(said.Size, "slower") || strings.Contains(said.Size, "higher than") {
			t.Fatalf("the leader is the better one: %q", said.Size)
		}
	}
	// Alike are only those that the table does not tell apart.
	for i := 1; i < len(g.Places); i++ {
		label := speaker.Label(g.Places[i].Shoe)
		pair := pairs[[2]string{leader, g.Places[i].Shoe}]
		if strings.Contains(said.Claim, "any of these shoes may be") && numberIn(t, pair, "low") > 0 {
			t.Fatalf("%q, and the table has %v", said.Claim, pair)
		}
		if strings.Contains(said.Also, label) && strings.Contains(said.Also, "may be just as") &&
			numberIn(t, pair, "low") > 0 {
			t.Fatalf("%q, and the table has %v", said.Also, pair)
		}
		if strings.Contains(said.Claim, label) && strings.Contains(said.Claim, "practically the same") &&
			numberIn(t, pair, "apart_at_most") > trial.DefaultMethod().WorthwhilePct {
			t.Fatalf("%q, and the table has %v", said.Claim, pair)
		}
	}
	if strings.Contains(said.Claim, "practically the same") != (g.Status == decide.Same) {
		t.Fatalf("%s: %q", g.Status, said.Claim)
	}
}
