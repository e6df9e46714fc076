package derive

import (
	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// otherWindows returns the means of every block of a session over the windows of
// [decide.Windows] but the first, the published one.
func (p *Prepared) otherWindows(ds *trial.Dataset, session *trial.Session) [][]answer.Means {
	others := make([][]answer.Means, len(session.Blocks))
	cut := *ds
	for _, window := range decide.Windows[1:] {
		cut.Facts.Method.Trim = answer.TrimOf(window, ds.Facts.Method.Trim)
		summaries := p.tracks.Session(&cut, session)
		for i := range summaries {
			others[i] = append(others[i], meansOf(&summaries[i]))
		}
	}
	return others
}

func meansOf(s *steady.Summary) answer.Means {
	return answer.Means{Speed: s.Outcomes[trial.Speed], HeartRate: s.Outcomes[trial.Heart], Effort: s.MeanEffort}
}

// answerBlocks are the included blocks as the answer sees them.
func answerBlocks(ds *trial.Dataset, sessions []SessionResult) []answer.Block {
	all := make([]answer.Block, 0, countBlocks(sessions))
	for i := range sessions {
		s, session := &sessions[i], &ds.Sessions[i]
		for j := range s.Blocks {
			if b := &s.Blocks[j]; b.Included {
				all = append(all, answer.Block{
					Session: s.ID, Date: session.Facts.Date, Runner: session.Facts.Runner, ID: b.Block, Shoe: b.Shoe,
					Effort: session.Effort(), Target: b.Target, Midpoint: b.Midpoint, Order: b.Order,
					Speed: s.speedSource(&session.Blocks[j], b), Power: s.Power, Sensor: session.Blocks[j].Sensor,
					GroundM: b.GroundDistanceM, SensorM: b.SensorDistanceM,
					Windows: append([]answer.Means{meansOf(&b.Summary)}, b.OtherWindows...),
				})
			}
		}
	}
	return all
}

// speedSource tells where the speed of a block comes from. Without a recording it is what
// somebody wrote down, which counts as a sensor unless it follows from a distance measured
// on the ground.
func (s *SessionResult) speedSource(block *trial.Block, b *Block) answer.Source {
	source := s.Speed
	if source.Device == "" {
		written := block.Measured[trial.MeasureSpeed]
		source.OnShoe = written == written || !(b.GroundDistanceM > 0)
	}
	return source
}

// sourceOf tells where a channel comes from.
func (p *Prepared) sourceOf(channel trial.Channel) answer.Source {
	if r := p.tracks.Sources[channel]; r != nil {
		return answer.SourceOf(r.Fact)
	}
	return answer.Source{OnShoe: true}
}
