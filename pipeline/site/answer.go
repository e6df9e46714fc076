package site

import "soletrial/pipeline/answer"

// BundleAnswer is the answer as it was published, so that the explorer can show it
// before it has fetched every sample. The numbers are in derived/ranking.csv.
type BundleAnswer struct {
	Headline string   `json:"headline"`
	Short    string   `json:"short"` // the headline without by how much
	Size     string   `json:"size"`  // by how much
	Evidence string   `json:"evidence"`
	Sessions []string `json:"sessions"` // those that were run, by date
}

func (s *site) answer() BundleAnswer {
	said := answer.NewSpeaker(s.ds, s.result.Answers).Top()
	short := said
	short.Size = ""
	a := BundleAnswer{Headline: said.Headline(), Short: short.Headline(), Size: said.Size, Evidence: said.Evidence,
		Sessions: []string{}}
	for _, session := range s.ds.SessionsRun() {
		a.Sessions = append(a.Sessions, session.ID)
	}
	return a
}
