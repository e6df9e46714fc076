package derive

import (
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Source is an effect with what stands behind it.
type Source struct {
	forecast.Effect
	Level            string
	Conclusive       bool     // with all pairs judged together, or for one runner by itself
	Kinds            []string // of the venues of its sessions, in dataset order
	LongestS         float64  // the longest block; missing where no block has times
	Sessions, Blocks int      // that hold either shoe, of the runners who ran both
}

// Sources returns the effects of [Effects] with what stands behind them; with a
// runner's id, that runner's own estimates, without those that the runner has
// none of.
func Sources(r *Result, runner string) []Source {
	at := slices.IndexFunc(r.Compare.Rankings, func(k compare.Ranking) bool { return k.Outcome == trial.Speed })
	if at < 0 {
		return nil
	}
	ranking := r.Compare.Rankings[at]
	var sources []Source
	for _, e := range Effects(r) {
		place := ranking.Places[slices.IndexFunc(ranking.Places,
			func(p compare.Place) bool { return p.Shoe == e.Shoe })]
		s := Source{Effect: e, Level: ranking.Level, Conclusive: slices.Contains(place.Apart, e.Reference)}
		if runner != "" && !s.useOwnEstimate(r, runner) {
			continue
		}
		s.describe(r, runner)
		sources = append(sources, s)
	}
	return sources
}

// Setting is where the effect was measured, and the surface it is to be raced on.
func (s *Source) Setting(ds *trial.Dataset, surface string) forecast.Setting {
	setting := forecast.Setting{Kinds: s.Kinds, Surface: surface, WornKm: units.Missing, ReferenceWornKm: units.Missing,
		WearApartKm: ds.Facts.Limits.WearApartKm}
	if shoe := ds.Shoe(s.Shoe); shoe != nil {
		setting.WornKm = shoe.WornKm
	}
	if reference := ds.Shoe(s.Reference); reference != nil {
		setting.ReferenceWornKm = reference.WornKm
	}
	return setting
}

// useOwnEstimate replaces the effect by a runner's own and reports whether there is one.
func (s *Source) useOwnEstimate(r *Result, runner string) bool {
	c := r.Compare.Find(trial.Speed, s.Level, s.Shoe, s.Reference)
	if c.Shoe != s.Shoe {
		flipped := c.Reverse()
		c = &flipped
	}
	s.TestSpeed = MeanSpeed(r, s.Reference, s.Level, runner)
	for _, own := range c.PerRunner {
		if own.Runner == runner {
			s.Estimate, s.Low, s.High = own.Estimate, own.Low, own.High
			s.Conclusive = own.Low > 0 || own.High < 0
			return true
		}
	}
	return len(c.PerRunner) == 0 && slices.Equal(runnersOfBoth(r, s), []string{runner})
}

// runnersOfBoth lists the runners who ran both shoes at the level.
func runnersOfBoth(r *Result, s *Source) []string {
	shoes := map[string][]string{}
	eachBlock(r, s.Level, "", func(session *trial.Session, b *Block) {
		if runner := session.Facts.Runner; (b.Shoe == s.Shoe || b.Shoe == s.Reference) &&
			!slices.Contains(shoes[runner], b.Shoe) {
			shoes[runner] = append(shoes[runner], b.Shoe)
		}
	})
	var both []string
	for runner, worn := range shoes {
		if len(worn) == 2 {
			both = append(both, runner)
		}
	}
	slices.Sort(both)
	return both
}

// describe fills in what stands behind the effect.
func (s *Source) describe(r *Result, runner string) {
	s.LongestS = units.Missing
	var sessions []string
	both := runnersOfBoth(r, s)
	eachBlock(r, s.Level, runner, func(session *trial.Session, b *Block) {
		if b.Shoe != s.Shoe && b.Shoe != s.Reference || !slices.Contains(both, session.Facts.Runner) {
			return
		}
		s.Blocks++
		if !slices.Contains(sessions, session.ID) {
			sessions = append(sessions, session.ID)
		}
		if v := r.Dataset.Venue(session.Facts.Venue); v != nil && v.Kind != "" && !slices.Contains(s.Kinds, v.Kind) {
			s.Kinds = append(s.Kinds, v.Kind)
		}
		if long := b.End - b.Start; units.Known(long) && !(s.LongestS >= long) {
			s.LongestS = long
		}
	})
	s.Sessions = len(sessions)
}

// eachBlock visits the included blocks with a speed at a level, those of one runner
// where one is named.
func eachBlock(r *Result, level, runner string, visit func(*trial.Session, *Block)) {
	var levels trial.Levels
	for i := range r.Sessions {
		session := &r.Dataset.Sessions[i]
		if runner != "" && session.Facts.Runner != runner {
			continue
		}
		for j := range r.Sessions[i].Blocks {
			b := &r.Sessions[i].Blocks[j]
			if b.Included && units.Known(b.Outcomes[trial.Speed]) && levels.Name(session.Effort(), b.Target) == level {
				visit(session, b)
			}
		}
	}
}
