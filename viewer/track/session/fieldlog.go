package session

import (
	"math"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// FieldLog returns the log of the session as far as it went.
func (s *State) FieldLog() *trial.FieldLog {
	log := &trial.FieldLog{Form: trial.FieldLogForm, Program: s.Program, Session: s.Plan.Session,
		Began: s.Began.Clock(), EndedS: units.Missing, Plan: s.logPlan(), Sensor: plain(s.SensorPlace),
		Conditions: s.Conditions, WarmUp: span(s.WarmStart, s.WarmEnd), Clock: s.Changes, Notes: plain(s.Remark)}
	if s.Ended != nil {
		log.Ended, log.EndedS = s.Ended.Clock(), tenths(s.Ended.S)
	}
	for _, shoe := range s.Plan.Shoes {
		w, weighed := s.Weights[shoe.ID]
		if !weighed {
			w = Weights{units.Missing, units.Missing}
		}
		log.Shoes = append(log.Shoes, trial.LogShoe{Shoe: shoe.ID, Label: plain(shoe.Label), LeftG: w.Left,
			RightG: w.Right})
	}
	for i := range s.Blocks {
		log.Blocks = append(log.Blocks, s.Blocks[i].log())
	}
	for _, d := range s.Deviations {
		d.Reason = plain(d.Reason)
		log.Deviations = append(log.Deviations, d)
	}
	return log
}

// Text returns fieldlog.yaml.
func (s *State) Text() []byte { return plaintext.AppendFieldLog(nil, s.FieldLog()) }

func (s *State) logPlan() trial.LogPlan {
	p := &s.Plan
	return trial.LogPlan{Source: p.Source, Order: p.Order, Effort: string(p.Effort), Target: p.Target,
		BlockS: p.BlockS, RestS: p.RestS, WarmUpS: p.WarmUpS, Draw: p.Draw}
}

func span(start, end *Moment) trial.LogSpan {
	log := trial.LogSpan{StartS: units.Missing, EndS: units.Missing}
	if start != nil {
		log.Start, log.StartS = start.Clock(), tenths(start.S)
	}
	if end != nil {
		log.End, log.EndS = end.Clock(), tenths(end.S)
	}
	return log
}

// log returns the block as the log writes it. Laps that were typed in count more
// than laps that were tapped, of which one may have been missed.
func (b *Block) log() trial.LogBlock {
	log := trial.LogBlock{Block: b.Name, Place: float64(b.Place + 1), Shoe: b.Shoe, Laps: b.LapsNoted,
		DistanceM: b.Metres, RPE: b.RPE, ComfortMm: b.ComfortMm, Note: plain(b.Note), Excluded: plain(b.Excluded)}
	var end *Moment
	if b.Ended {
		end = &b.End
	}
	times := span(&b.Start, end)
	log.Start, log.StartS, log.End, log.EndS = times.Start, times.StartS, times.End, times.EndS
	if b.Ended && log.EndS <= log.StartS { // two taps within a tenth of a second
		log.EndS = tenths(log.StartS + 0.1)
	}
	for _, lap := range b.Laps {
		log.LapS = append(log.LapS, math.Min(tenths(lap.S), orInf(log.EndS)))
	}
	if !units.Known(log.Laps) && len(b.Laps) > 0 {
		log.Laps = float64(len(b.Laps))
	}
	return log
}

func orInf(x float64) float64 {
	if !units.Known(x) {
		return math.Inf(1)
	}
	return x
}

// plain drops the control characters that a keyboard may put into a text.
func plain(text string) string {
	out := make([]rune, 0, len(text))
	for _, c := range text {
		if c == '\n' || c == '\t' {
			c = ' '
		}
		if c >= ' ' && (c < 0x7f || c > 0x9f) {
			out = append(out, c)
		}
	}
	return string(out)
}
