package derive

import (
	"slices"

	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Source is an effect with what stands behind it.
type Source struct {
	forecast.Effect
	Effort trial.Effort
	// Chance is the probability that the shoe is faster than the reference shoe.
	Chance float64
	// Indirect is true where heart rates at the same pace stand behind it, by an exponent.
	Indirect         bool
	Kinds            []string // of the venues of its sessions, in dataset order
	LongestS         float64  // the longest block; missing where no block has times
	Sessions, Blocks int      // that hold either shoe, of the runners who ran both
}

// Sources returns the effects of [Effects] with what stands behind them; with a
// runner's id, that runner's own, without those of shoes that the runner did not run.
func Sources(r *Result, runner string) []Source {
	e, g := RaceAnswer(r)
	if g == nil {
		return nil
	}
	var sources []Source
	for _, effect := range Effects(r) {
		s := Source{Effect: effect, Effort: e.Effort, Indirect: e.Outcome != trial.Speed}
		a, b := e.Posterior.Shoe(s.Shoe), e.Posterior.Shoe(s.Reference)
		s.Chance = e.Posterior.Chance(a, b, e.Sensor, 0)
		if runner != "" {
			i := slices.Index(e.Posterior.Runners, runner)
			if i < 0 || !slices.Contains(runnersOfBoth(r, &s), runner) {
				continue
			}
			s.Effect = EffectOf(e, s.Shoe, s.Reference, meanSpeed(r, &s, runner), runner)
			s.Chance = e.Posterior.OfRunner(a, b, i, e.Sensor).Above
		}
		s.describe(r, runner)
		sources = append(sources, s)
	}
	return sources
}

// meanSpeed averages the speed of the reference shoe's included blocks of one runner.
func meanSpeed(r *Result, s *Source, runner string) float64 {
	sum, n := 0.0, 0.0
	eachBlock(r, s.Effort, runner, func(_ *trial.Session, b *Block) {
		if b.Shoe == s.Reference {
			sum += b.Outcomes[trial.Speed]
			n++
		}
	})
	return sum / n
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

// runnersOfBoth lists the runners who ran both shoes at the effort.
func runnersOfBoth(r *Result, s *Source) []string {
	shoes := map[string][]string{}
	eachBlock(r, s.Effort, "", func(session *trial.Session, b *Block) {
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
	eachBlock(r, s.Effort, runner, func(session *trial.Session, b *Block) {
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

// eachBlock visits the included blocks with a speed at an effort, those of one runner
// where one is named.
func eachBlock(r *Result, effort trial.Effort, runner string, visit func(*trial.Session, *Block)) {
	for i := range r.Sessions {
		session := &r.Dataset.Sessions[i]
		if session.Effort() != effort || runner != "" && session.Facts.Runner != runner {
			continue
		}
		for j := range r.Sessions[i].Blocks {
			b := &r.Sessions[i].Blocks[j]
			if b.Included && units.Known(b.Outcomes[trial.Speed]) {
				visit(session, b)
			}
		}
	}
}
