package site

import (
	"html"
	"strings"
	"testing"

	"soletrial/pipeline/recommend"
	"soletrial/pipeline/trial"
)

// The home page shows every shoe of the ranking with what may matter in it, and
// says what the advice says.
func TestTheRecommendationTable(t *testing.T) {
	in := newFixture().input()
	home := html.UnescapeString(publish(t, in)["index.html"])
	advice, ok := recommend.Run(in.Result)
	if !ok {
		t.Fatal("the fixture gives no advice")
	}
	s := newSite(in)
	for _, sentence := range advice.Sentences(s.label) {
		if !strings.Contains(home, nonBreaking(sentence)) {
			t.Errorf("the home page lacks %q", sentence)
		}
	}
	body := s.recommendation("")
	if got, want := len(body.Table.Rows), len(in.Result.Compare.Rankings[0].Places); got != want {
		t.Errorf("%d rows for %d shoes", got, want)
	}
	if got, want := len(body.Table.Head), 2+len(in.Result.Dataset.Facts.Method.Races)+4; got != want {
		t.Errorf("%d columns, want %d", got, want)
	}
	for i, c := range advice.Candidates {
		row := body.Table.Rows[i]
		if unweighed := c.Shoe == "quill"; unweighed != (row[5].Text == "not weighed") ||
			unweighed != (row[6].Text == "not known") {
			t.Errorf("%s: %q and %q", c.Shoe, row[5].Text, row[6].Text)
		}
	}
}

// Without a comparison in speed there is nothing to choose by.
func TestNoRecommendationWithoutSpeeds(t *testing.T) {
	in := newFixture().input()
	for i := range in.Result.Answers.Efforts {
		in.Result.Answers.Efforts[i].Outcome = trial.Heart
	}
	if newSite(in).recommendation("") != nil || strings.Contains(publish(t, in)["index.html"], "Which one for you") {
		t.Error("advice on time from heart rates")
	}
}
