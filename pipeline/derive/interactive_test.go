package derive_test

import (
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// At rest the explorer's answers are those of a derive, and with the analyses of robustness
// so is the evidence.
func TestInteractiveGivesTheAnswersOfDerive(t *testing.T) {
	folder, problems := plaintext.Read(synthetic(3), yamltext.Read)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var sessions []derive.SessionResult
	for i := range folder.Dataset.Sessions {
		s := &folder.Dataset.Sessions[i]
		recordings, problems := folder.Recordings(s)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		sessions = append(sessions, derive.Prepare(&folder.Dataset, recordings).Session(&folder.Dataset, s))
	}
	steps, made := 0, 0
	want := derive.FromSessionsInSteps(&folder.Dataset, sessions, nil, 1, func() { steps++ })
	got := derive.NewInteractive(nil).Result(&folder.Dataset, sessions, derive.Showing{Accuracy: decide.Exact})
	got.Robustness(func(n, of int) {
		if made++; n != made || n > of {
			t.Fatalf("analysis %d is said to be %d of %d", made, n, of)
		}
	})
	wantTop, wantGroup := want.Answers.Top()
	_, gotGroup := got.Answers.Top()
	if wantTop.Effort != trial.Power || len(gotGroup.Pairs) != len(wantGroup.Pairs) || made == 0 || steps < made {
		t.Fatalf("%d pairs, %d analyses, %d steps", len(gotGroup.Pairs), made, steps)
	}
	for i := range wantGroup.Pairs {
		w, g := &wantGroup.Pairs[i], &gotGroup.Pairs[i]
		if g.D != w.D || g.Shoe != w.Shoe || g.Evidence != w.Evidence {
			t.Errorf("pair %d is %v of %s, %s; derive has %v of %s, %s",
				i, g.D, g.Shoe, g.Evidence, w.D, w.Shoe, w.Evidence)
		}
	}
	if len(gotGroup.Analyses) != len(wantGroup.Analyses) {
		t.Errorf("%d analyses, derive has %d", len(gotGroup.Analyses), len(wantGroup.Analyses))
	}
}
