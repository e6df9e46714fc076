package flat

import (
	"iter"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Recording is one recording of a session as a part of the table.
type Recording struct {
	Dataset string // what the dataset is called among others
	Session *trial.Session
	Fact    trial.RecordingFact

	recording *trial.Recording
	derived   []derive.Block // of the session, in block order
	weights   [][]steady.Weight
}

// Recordings returns the parts of the table that a session makes, in the order that
// session.yaml lists its recordings. The result is that of the session.
func Recordings(
	dataset string, ds *trial.Dataset, session *trial.Session, result *derive.SessionResult,
	recordings []trial.Recording,
) []Recording {
	weights := steady.Prepare(ds, recordings).Weights(ds, session)
	parts := make([]Recording, len(recordings))
	for i := range recordings {
		parts[i] = Recording{dataset, session, recordings[i].Fact, &recordings[i], result.Blocks, weights}
	}
	return parts
}

// Row is a sample in a block, or in none.
type Row struct {
	of      *Recording
	sample  int
	block   int // in block order, -1 for none
	weights [trial.ChannelCount]float64
}

// Rows yields a row for each sample in the order of the file, under a block where the sample
// begins in it or counts in one of its means. A sample that belongs to two blocks, such as
// one that lasts from the end of a block into the next, has a row for each; the weights then
// are those of the block. The row is valid until the next one.
func (r *Recording) Rows() iter.Seq[*Row] {
	return func(yield func(*Row) bool) {
		samples, offset := r.recording.Samples, r.recording.Offset()
		for i := range samples.Len() {
			row := Row{of: r, sample: i, block: -1}
			at, found := samples.Elapsed[i]+offset, false
			// Once for each block that it lies in or counts for.
			for b := range r.derived {
				row.block = b
				counts := r.fillWeights(&row)
				if block := &r.derived[b]; counts || at >= block.Start && at < block.End {
					found = true
					if !yield(&row) {
						return
					}
				}
			}
			// Outside every block.
			if found {
				continue
			}
			row.block = -1
			r.fillWeights(&row)
			if !yield(&row) {
				return
			}
		}
	}
}

// Block is the name of the row's block, "" between blocks.
func (r *Row) Block() string {
	if r.block < 0 {
		return ""
	}
	return r.of.derived[r.block].Block
}

// fillWeights sets what the sample counts for in the means of the row's block, and reports
// whether it counts in any.
func (r *Recording) fillWeights(row *Row) (counts bool) {
	for c := range row.weights {
		row.weights[c] = units.Missing
	}
	if row.block < 0 {
		return false
	}
	for _, w := range r.weights[row.block] {
		if i := row.sample - w.First; w.Samples == r.recording.Samples && i >= 0 && i < len(w.Seconds) &&
			w.Seconds[i] > 0 {
			row.weights[w.Channel], counts = w.Seconds[i], true
		}
	}
	return counts
}
