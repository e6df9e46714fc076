package steady

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Summary is one block reduced to its steady window.
type Summary struct {
	Session, Block, Shoe string
	Order                int     // 1 for the first block of the session
	Start, End           float64 // session seconds, the whole block
	From, To             float64 // the steady window; From >= To when nothing is left
	HeartFrom, HeartTo   float64 // that of heart rate
	Midpoint             float64 // of the whole block, session seconds
	Target               float64 // of the effort
	MeanEffort           float64 // mean effort, in the target's unit (s/km for pace)
	// least share of the window with valid samples over the channels that decide; missing without a
	// recording
	CoveragePct float64
	// the first of those channels that no recording has in the window, in words; "" for none
	Unrecorded string
	// distance the recording gives for the whole block; without a distance channel, its speed times
	// the block's length
	SensorDistanceM float64
	GroundDistanceM float64 // distance measured on the ground for the whole block, or its laps
	DistanceSpeed   float64 // change of the recorded distance over the steady window per second, m/s
	EffortCVPct     float64 // coefficient of variation, over time, of the effort in its steady window
	// change of the effort over its steady window along a straight line, percent of the mean
	EffortChangePct float64
	HeartSlope      float64 // slope of heart rate over the last [HeartSlopeS] of its steady window, bpm per minute
	Outcomes        [trial.OutcomeCount]float64
}

// Window returns the length of the steady window in seconds, never negative;
// missing when the block's times are.
func (s *Summary) Window() float64 {
	if !units.Known(s.From) || !units.Known(s.To) {
		return units.Missing
	}
	return math.Max(0, s.To-s.From)
}

// windowOf returns the steady window of a channel.
func (s *Summary) windowOf(channel trial.Channel) (from, to float64) {
	if channel == trial.HeartRateBpm {
		return s.HeartFrom, s.HeartTo
	}
	return s.From, s.To
}

// Session summarises every block of a session, in block order. Recordings may
// be empty: then the means are the measured columns of blocks.csv.
func Session(ds *trial.Dataset, session *trial.Session, recordings []trial.Recording) []Summary {
	return Prepare(ds, recordings).Session(ds, session)
}

// Tracks are a session's recordings made ready to be summarised under one trim
// after the other.
type Tracks struct {
	Sources  [trial.ChannelCount]*trial.Recording // see [Sources]
	channels [trial.ChannelCount][]*track         // in the order in which they are taken
	recorded bool
}

// Prepare makes recordings ready under the dataset's method and limits, of which
// only the trim may be another one later.
func Prepare(ds *trial.Dataset, recordings []trial.Recording) *Tracks {
	t := &Tracks{Sources: Sources(ds.Facts.Method, recordings), recorded: len(recordings) > 0}
	stands := map[*trial.Samples][]float64{}
	for channel := range trial.ChannelCount {
		for _, r := range inOrder(ds.Facts.Method, recordings, channel) {
			if stands[r.Samples] == nil {
				stands[r.Samples] = standing(r.Samples, ds.Facts.Limits.GapS)
			}
			t.channels[channel] = append(t.channels[channel], &track{elapsed: r.Samples.Elapsed,
				values: r.Samples.Values[channel], stands: stands[r.Samples], offset: r.Offset(), samples: r.Samples})
		}
	}
	return t
}

// Session summarises every block of the session that the tracks are of.
func (t *Tracks) Session(ds *trial.Dataset, session *trial.Session) []Summary {
	cut := t.cutter(ds, session)
	summaries := make([]Summary, len(session.Blocks))
	for i := range session.Blocks {
		cut.block(&session.Blocks[i], i+1, &summaries[i])
	}
	return summaries
}

func (t *Tracks) cutter(ds *trial.Dataset, session *trial.Session) *cutter {
	return &cutter{session: session, venue: ds.Venue(session.Facts.Venue), runner: ds.Runner(session.Facts.Runner),
		trim: ds.Facts.Method.Trim, all: t.channels, recorded: t.recorded}
}

// cutter holds what all blocks of a session share.
type cutter struct {
	session  *trial.Session
	venue    *trial.Venue
	runner   *trial.Runner
	trim     trial.Trim
	all      [trial.ChannelCount][]*track
	tracks   [trial.ChannelCount]*track // of the block at hand
	recorded bool
	covered  [trial.ChannelCount]float64 // of the block at hand, seconds of the channel's window
}

func (c *cutter) block(b *trial.Block, order int, s *Summary) {
	*s = Summary{
		Session: c.session.ID, Block: b.ID, Shoe: b.Shoe, Order: order, Start: b.Start, End: b.End, Target: b.Target,
		Midpoint: (b.Start + b.End) / 2, GroundDistanceM: GroundDistance(b, c.venue),
	}
	for channel, tracks := range c.all {
		c.tracks[channel] = covering(tracks, b)
	}
	s.From, s.To = c.window(b, false)
	s.HeartFrom, s.HeartTo = c.window(b, true)
	for o := range s.Outcomes {
		s.Outcomes[o] = units.Missing
	}
	c.means(b, s)
	c.distances(b, s)
	c.steadiness(b, s)
	c.fillMeasured(b, s)
	deriveGait(s, c.runner)
	s.MeanEffort = meanEffort(c.session.Effort(), s)
	s.CoveragePct = c.coverage(s)
}

// means fills the outcomes that are means of a channel. Without a speed channel
// the speed is the change of distance over the window.
func (c *cutter) means(b *trial.Block, s *Summary) {
	for _, pair := range trial.ChannelMeans {
		if t := c.tracks[pair.Channel]; t != nil {
			from, to := s.windowOf(pair.Channel)
			s.Outcomes[pair.Outcome], c.covered[pair.Channel] = t.mean(from, to)
		}
	}
}

// distances fills what the recording says of the way covered. Without a speed
// channel the speed is the change of distance over the window; without a distance
// channel the distance is that of a speed that covers the block.
func (c *cutter) distances(b *trial.Block, s *Summary) {
	s.SensorDistanceM, s.DistanceSpeed = units.Missing, units.Missing
	if distance := c.tracks[trial.DistanceM]; distance != nil {
		s.SensorDistanceM, _ = distance.change(b.Start, b.End)
		if metres, seconds := distance.change(s.From, s.To); seconds > 0 {
			s.DistanceSpeed = metres / seconds
		}
	}
	speed := c.tracks[trial.SpeedMps]
	if speed == nil {
		s.Outcomes[trial.Speed] = s.DistanceSpeed
		return
	}
	if !units.Known(s.SensorDistanceM) {
		if mean, covered := speed.mean(b.Start, b.End); covered >= 0.99*b.Duration() {
			s.SensorDistanceM = float64(mean * b.Duration())
		}
	}
}

// fillMeasured takes from blocks.csv what no recording gave.
func (c *cutter) fillMeasured(b *trial.Block, s *Summary) {
	for m := range trial.MeasureCount {
		if !units.Known(s.Outcomes[m.Outcome()]) {
			s.Outcomes[m.Outcome()] = b.Measured[m]
		}
	}
	if !c.recorded && !units.Known(s.Outcomes[trial.Speed]) && b.Duration() > 0 {
		s.Outcomes[trial.Speed] = b.DistanceM / b.Duration()
	}
	s.Outcomes[trial.RPE], s.Outcomes[trial.Comfort] = b.RPE, b.ComfortMm
}

func meanEffort(effort trial.Effort, s *Summary) float64 {
	switch effort {
	case trial.Power:
		return s.Outcomes[trial.MeanPower]
	case trial.HeartRate:
		return s.Outcomes[trial.Heart]
	}
	return s.Outcomes[trial.PacePerKm]
}

// decisive lists the channels that the primary comparison of an effort needs.
func decisive(effort trial.Effort) []trial.Channel {
	if effort == trial.Power {
		return []trial.Channel{trial.PowerW, trial.SpeedMps}
	}
	return []trial.Channel{trial.HeartRateBpm, trial.SpeedMps}
}

// coverage returns the least share, percent, of the steady window with valid
// samples over the decisive channels that are recorded.
func (c *cutter) coverage(s *Summary) float64 {
	if !c.recorded {
		return units.Missing
	}
	least := units.Missing
	for _, channel := range decisive(c.session.Effort()) {
		if c.tracks[channel] == nil {
			continue
		}
		from, to := s.windowOf(channel)
		if to <= from {
			continue
		}
		if share := 100 * c.covered[channel] / (to - from); !(share >= least) {
			least = share
		}
		if c.covered[channel] == 0 && s.Unrecorded == "" {
			s.Unrecorded = channel.Info().Label
		}
	}
	if !units.Known(least) {
		return 0
	}
	return least
}
