package intake

import (
	"strings"
	"unicode"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/trial"
)

// SessionToPlan returns the session to plan: the one asked for, completed from its name and
// the registers, or one of the same id that has been described but not run. A plan that is
// there already is replaced only by force.
func SessionToPlan(ds *trial.Dataset, asked *trial.Session, force bool) (*trial.Session, error) {
	if old := ds.Session(asked.ID); old != nil {
		return described(old, &asked.Facts, force)
	}
	// A session of its own: the day may follow from its name, runner and venue from the registers.
	s := *asked
	if s.Facts.Date == "" {
		s.Facts.Date = LeadingDay(s.ID)
	}
	if s.Facts.Date == "" {
		return nil, voice.Usage("give it with --date YYYY-MM-DD, or begin the session's name with it",
			"the day of %q is not known", s.ID)
	}
	if err := checkDay(s.Facts.Date); err != nil {
		return nil, err
	}
	if s.Facts.Runner == "" && len(ds.Runners) > 1 {
		return nil, voice.Usage("say who runs, with --runner", "there are %d runners", len(ds.Runners))
	}
	if err := registered(ds, &s.Facts); err != nil {
		return nil, err
	}
	if s.Facts.Runner == "" && len(ds.Runners) == 1 {
		s.Facts.Runner = ds.Runners[0].ID
	}
	if s.Facts.Venue == "" && len(ds.Venues) == 1 {
		s.Facts.Venue = ds.Venues[0].ID
	}
	return &s, nil
}

// registered refuses ids that no register has, and words that session.yaml may not hold.
func registered(ds *trial.Dataset, facts *trial.SessionFacts) error {
	switch {
	case facts.Runner != "" && ds.Runner(facts.Runner) == nil:
		return voice.Usage("add it to runners.csv", "--runner: %q is not in runners.csv", facts.Runner)
	case facts.Venue != "" && ds.Venue(facts.Venue) == nil:
		return voice.Usage("add it to venues.csv", "--venue: %q is not in venues.csv", facts.Venue)
	case strings.ContainsFunc(facts.Protocol.Sensor, unicode.IsControl):
		return voice.Usage("write it on one line", "--sensor: %q contains a control character", facts.Protocol.Sensor)
	}
	return nil
}

// described checks that a session that is there already can still be planned.
func described(old *trial.Session, asked *trial.SessionFacts, force bool) (*trial.Session, error) {
	switch {
	case len(old.Blocks) > 0 || len(old.Facts.Recordings) > 0:
		return nil, voice.Usage("a plan made after the run proves nothing; plan the next one",
			"session %q has been run already", old.ID)
	case old.Plan != nil && !force:
		return nil, voice.Usage("keep it, or draw another with --force before the run",
			"session %q has a plan already", old.ID)
	case old.Facts.Effort != asked.Effort || old.Facts.Target != asked.Target && old.Facts.Target != "":
		return nil, voice.Usage("change session.yaml, or plan what it says", "session.yaml of %q says %s %s",
			old.ID, old.Facts.Effort, old.Facts.Target)
	}
	s := *old
	return &s, nil
}
