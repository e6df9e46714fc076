package report

import (
	"soletrial/cmd/internal/cli/history"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
)

// AnswerJSON is what compare prints for programs: the answer in words, and the rows of the
// derived tables behind it by the names of their columns, null for what is not known.
type AnswerJSON struct {
	Invented    bool                `json:"invented"`
	Answer      sentencesJSON       `json:"answer"`
	Race        *raceJSON           `json:"race,omitempty"`
	Efforts     []effortJSON        `json:"efforts"`
	Ranking     []map[string]any    `json:"ranking"`
	Decisions   []map[string]any    `json:"decisions"`
	Progress    []map[string]any    `json:"progress"`
	Analyses    []map[string]any    `json:"analyses"`
	Comparisons []map[string]any    `json:"comparisons"`
	Plans       []trial.PlanHistory `json:"plans"`
	Recommend   any                 `json:"recommend,omitempty"`
	Recordings  any                 `json:"recordings,omitempty"` // of try
}

// sentencesJSON is an answer in words, of one group of shoes where it has a number.
type sentencesJSON struct {
	Group    int      `json:"group,omitempty"`
	Advice   string   `json:"advice"`
	Claim    string   `json:"claim"`
	Size     string   `json:"size,omitempty"`
	Also     string   `json:"also,omitempty"`
	Evidence string   `json:"evidence,omitempty"`
	Stronger []string `json:"stronger"`
	Doubts   []string `json:"doubts"`
	Checks   []string `json:"checks"`
}

type raceJSON struct {
	DistanceM float64 `json:"distance_m"`
	TimeS     float64 `json:"time_s"`
}

type effortJSON struct {
	Effort   trial.Effort    `json:"effort"`
	Outcome  string          `json:"outcome"`
	Headline bool            `json:"headline"`
	Problem  string          `json:"problem,omitempty"`
	Runners  int             `json:"runners"`
	Sessions int             `json:"sessions"`
	Blocks   int             `json:"blocks"`
	First    string          `json:"first"`
	Last     string          `json:"last"`
	Groups   []sentencesJSON `json:"groups"`
}

// AnswerAsJSON is the answer with the derived tables behind it.
func AnswerAsJSON(console *voice.Console, result *derive.Result, s answer.Speaker) *AnswerJSON {
	all := &AnswerJSON{
		Invented: result.Dataset.Facts.Invented, Answer: asSentences(s.Top(), 0),
		Efforts:     []effortJSON{},
		Ranking:     derive.TableJSON(result, "ranking.csv"),
		Decisions:   derive.TableJSON(result, "decisions.csv"),
		Progress:    derive.TableJSON(result, "progress.csv"),
		Analyses:    derive.TableJSON(result, "analyses.csv"),
		Comparisons: derive.TableJSON(result, "comparisons.csv"),
		Plans:       append([]trial.PlanHistory{}, history.Plans(console.Dataset, result.Dataset)...),
		Recommend:   choiceJSON(result),
	}
	if s.Race != nil {
		all.Race = &raceJSON{s.Race.DistanceM, s.Race.TimeS}
	}
	// The sentences of every group at every effort.
	for i := range s.Answers.Efforts {
		e := &s.Answers.Efforts[i]
		one := effortJSON{Effort: e.Effort, Outcome: e.Outcome.Info().ID, Headline: i == s.Answers.Headline,
			Problem: e.Problem, Runners: e.Runners, Sessions: e.Sessions, Blocks: e.Blocks, First: e.First,
			Last: e.Last, Groups: []sentencesJSON{}}
		for g := range e.Groups {
			one.Groups = append(one.Groups, asSentences(s.Say(e, &e.Groups[g]), e.Groups[g].Number))
		}
		all.Efforts = append(all.Efforts, one)
	}
	return all
}

func asSentences(said answer.Sentences, group int) sentencesJSON {
	list := func(lines []string) []string { return append([]string{}, lines...) }
	return sentencesJSON{group, said.Advice, said.Claim, said.Size, said.Also, said.Evidence, list(said.Stronger),
		list(said.Doubts), list(said.Checks)}
}
