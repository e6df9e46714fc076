package answer

import "soletrial/pipeline/decide"

// ModelBlocks returns the blocks as the model of the effort takes them, corrected by the
// ground.
func (e *Effort) ModelBlocks() []decide.Block {
	sensed, _ := modelBlocks(e.blocks, 0, e.Outcome)
	return e.Sensing.Correct(sensed, decide.SharedUnknown)
}
