package site

// BundleAnswer is the answer as it was published, so that the explorer can show it
// before it has fetched every sample. The numbers are in derived/comparisons.csv.
type BundleAnswer struct {
	Headline string          `json:"headline"`
	Sessions []string        `json:"sessions"` // by date
	Rankings []BundleRanking `json:"rankings"` // most blocks first
}

// BundleRanking is the order of the shoes at one level.
type BundleRanking struct {
	Outcome string        `json:"outcome"`
	Level   string        `json:"level"`
	Places  []BundlePlace `json:"places"` // best first
}

// BundlePlace is one shoe in a ranking.
type BundlePlace struct {
	Shoe      string   `json:"shoe"`
	Reference bool     `json:"reference"`
	Apart     []string `json:"apart"` // the shoes that it is told apart from
}

func (s *site) answer() BundleAnswer {
	result := s.result
	a := BundleAnswer{Headline: result.Compare.Verdict.Headline, Sessions: []string{}, Rankings: []BundleRanking{}}
	for i := range s.ds.Sessions {
		a.Sessions = append(a.Sessions, s.ds.Sessions[i].ID)
	}
	for _, r := range result.Compare.Rankings {
		ranking := BundleRanking{Outcome: r.Outcome.Info().ID, Level: r.Level, Places: []BundlePlace{}}
		for _, p := range r.Places {
			ranking.Places = append(ranking.Places, BundlePlace{p.Shoe, p.Reference, append([]string{}, p.Apart...)})
		}
		a.Rankings = append(a.Rankings, ranking)
	}
	return a
}
