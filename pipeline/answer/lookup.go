package answer

import "soletrial/pipeline/trial"

// Top returns the effort and the group of the headline, nil where nothing can be answered.
func (a *Answers) Top() (*Effort, *Group) {
	if a.Headline < 0 {
		return nil, nil
	}
	e := &a.Efforts[a.Headline]
	return e, e.Main()
}

// Find returns the answer at an effort, or nil.
func (a *Answers) Find(effort trial.Effort) *Effort {
	for i := range a.Efforts {
		if a.Efforts[i].Effort == effort {
			return &a.Efforts[i]
		}
	}
	return nil
}

// Pair returns the comparison of two shoes, the better first, or nil where they were not
// compared.
func (e *Effort) Pair(shoe, other string) *Pair {
	for g := range e.Groups {
		for i := range e.Groups[g].Pairs {
			p := &e.Groups[g].Pairs[i]
			if p.Shoe == shoe && p.Reference == other || p.Shoe == other && p.Reference == shoe {
				return p
			}
		}
	}
	return nil
}
