package answer

import (
	"slices"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/parallel"
)

// The path to an answer has at most so many points, and so many places of shoes in all of them,
// which is 60 points of 25 shoes.
const (
	maxPoints = 60
	maxPlaces = 1500
)

// Point is the answer as it stood after a session.
type Point struct {
	Session, Date string
	Places        []Place // of the group that holds the leader of today, without their pairs
}

// Progress returns how the answer at an effort stood after each of its sessions, at most 60
// of them evenly spread, the last always there; fewer with more than 25 shoes, and then all but
// the last are [decide.Coarse]. Workers changes no number.
func (e *Effort) Progress(in Inputs, workers int) []Point {
	g := e.Main()
	if g == nil {
		return nil
	}
	sessions := e.sessions()
	points := spread(len(sessions), min(maxPoints, max(1, maxPlaces/len(g.Places))))
	accuracy := decide.Exact
	if maxPoints*len(g.Places) > maxPlaces {
		accuracy = decide.Coarse
	}
	before := len(points) - 1
	made := parallel.Map(workers, before, func(i int) *Point {
		if in.Step != nil {
			in.Step(i, len(points))
		}
		return e.pointAfter(in, g, sessions[:points[i]+1], accuracy)
	})
	var path []Point
	for _, p := range made {
		if p != nil {
			path = append(path, *p)
		}
	}
	return append(path, e.today(g))
}

// today is the last point: the answer itself.
func (e *Effort) today(g *Group) Point {
	last := &e.blocks[len(e.blocks)-1]
	p := Point{Session: last.Session, Date: last.Date, Places: slices.Clone(g.Places)}
	for i := range p.Places {
		p.Places[i].Pair = nil
	}
	return p
}

// sessions lists the sessions of the effort in their order.
func (e *Effort) sessions() (ids []string) {
	for i := range e.blocks {
		if id := e.blocks[i].Session; len(ids) == 0 || ids[len(ids)-1] != id {
			ids = append(ids, id)
		}
	}
	return ids
}

// spread returns at most so many of the numbers from 0 to n-1, evenly, the last among them.
func spread(n, most int) []int {
	if n <= most {
		most = n
	}
	chosen := make([]int, most)
	for i := range chosen {
		chosen[i] = (i+1)*n/most - 1
	}
	return chosen
}

// pointAfter is the answer of the first sessions, nil where they do not compare the leader.
func (e *Effort) pointAfter(in Inputs, g *Group, sessions []string, accuracy decide.Accuracy) *Point {
	last := sessions[len(sessions)-1]
	end := 0
	for i := range e.blocks {
		if e.blocks[i].Session == last {
			end = i + 1
		}
	}
	part := in
	part.Accuracy = accuracy
	before, _ := fitEffort(part, e.Effort, e.blocks[:end],
		func(blocks []decide.Block, s decide.Settings, a decide.Accuracy) (*decide.Posterior, error) {
			return decide.FitShoes(blocks, s, a, nil)
		})
	if before.Problem != "" {
		return nil
	}
	for i, shoes := range before.Posterior.Groups {
		if !slices.Contains(before.labels(shoes), g.Places[0].Shoe) {
			continue
		}
		if answer, ok := before.Posterior.Answer(i, before.Sensor); ok {
			return &Point{Session: last, Date: e.blocks[end-1].Date, Places: before.places(in, answer, nil)}
		}
	}
	return nil
}
