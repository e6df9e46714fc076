package app

import (
	"fmt"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/sums"
	"soletrial/pipeline/trial"
)

// ReadSums reads the 5-second sums of a bundle, at the first change or before, so that it is answered
// before the samples are there. It reports whether they can be used; what is wrong with them is
// said in m.Failed.
func (m *Model) ReadSums() bool {
	if len(m.sums) > 0 || !m.Bundle.HasSums() || m.sumsBroken {
		return len(m.sums) > 0
	}
	for _, file := range m.Bundle.Index.Sums { // in the order of the years
		blocks, err := sums.Read(m.Bundle.Sums[file.Path])
		if err != nil {
			m.sums, m.sumsBroken, m.Failed = nil, true, fmt.Sprintf("%s: %s.", file.Path, err)
			return false
		}
		m.sums = append(m.sums, blocks...)
	}
	return len(m.sums) > 0
}

// Prepare does before the first change what that takes besides: it reads the sums and answers from them
// as published. A browser compiles most of the decision then, on a slow one the longer part of a first
// change. Many sums are only read: a reader may begin in the middle of the rest.
func (m *Model) Prepare() {
	if m.ReadSums() && m.published.Answers == nil && sumsAreSmall(m.Bundle.Index) {
		m.publishedFromSums()
	}
}

// publishedFromSums are the published answers, worked out from the sums.
func (m *Model) publishedFromSums() *answer.Answers {
	if m.fromSums == nil {
		m.fromSums = m.answersFromSums(m.Dataset, AsPublished(), decide.Coarse)
	}
	return m.fromSums
}

// FromSums reports whether what is shown as the reader's is made from the 5-second sums.
func (m *Model) FromSums() bool { return m.yours != m.published && !m.Bundle.Complete() }

// answersFromSums answers under a choice: the published blocks, with their means over the
// chosen window.
func (m *Model) answersFromSums(ds *trial.Dataset, c Choice, accuracy decide.Accuracy) *answer.Answers {
	blocks := make([]answer.Block, 0, len(m.sums))
	for i := range m.sums {
		b := &m.sums[i]
		included := b.Included
		if choice := c.BlockChoice(b.Session, b.ID); choice != nil {
			included = choice.Included
		}
		if !included {
			continue
		}
		moved := b.Block
		moved.Windows = []answer.Means{b.Means(ds.Facts.Method.Trim)}
		blocks = append(blocks, moved)
	}
	return answer.Decide(answer.Inputs{Dataset: ds, Blocks: blocks, Accuracy: accuracy})
}

// quickResult is the result under the choice from the sums; the sessions stay as published.
func (m *Model) quickResult() *derive.Result {
	ds := m.chosenDataset()
	return &derive.Result{Dataset: ds, Sessions: m.published.Sessions,
		Answers: m.answersFromSums(ds, m.choice, decide.Coarse)}
}

// maxIdleBytes is how much is fetched in idle time without being asked for.
const maxIdleBytes = 24_000_000

// CanBeExact reports whether the samples are there or come by themselves: a dataset that is too
// large, or to a browser that saves data, is fetched when the reader asks for it.
func (m *Model) CanBeExact() bool {
	return m.Bundle.Complete() || !m.SavesData && m.Bundle.BytesMissing() <= maxIdleBytes
}
