package segment

import "math"

// piece is a stretch in whole bins.
type piece struct {
	from, to int
	mean     float64
}

// merge joins neighbours that differ by less than a step of the usual effort,
// the most alike first: a long block that tires is still one block.
func (b *bins) merge(cuts []int, usual float64) (*bins, []piece) {
	var pieces []piece
	for i := 1; i < len(cuts); i++ {
		pieces = append(pieces, piece{cuts[i-1], cuts[i], b.mean(cuts[i-1], cuts[i])})
	}
	for {
		closest, at := float64(step*usual), -1
		for i := 1; i < len(pieces); i++ {
			if d := math.Abs(pieces[i].mean - pieces[i-1].mean); d < closest {
				closest, at = d, i
			}
		}
		if at < 0 {
			return b, pieces
		}
		from, to := pieces[at-1].from, pieces[at].to
		pieces[at-1] = piece{from, to, b.mean(from, to)}
		pieces = append(pieces[:at], pieces[at+1:]...)
	}
}

// sharpen moves every cut to the sample within a bin of it that parts the two
// means best, and gives the stretches their seconds.
func (r run) sharpen(b *bins, pieces []piece) []Stretch {
	out := make([]Stretch, len(pieces))
	for i, p := range pieces {
		out[i] = Stretch{EndS: r.at[len(r.at)-1], Mean: p.mean}
		if i == 0 {
			out[i].StartS = r.at[0]
			continue
		}
		at := r.edge(b.begin+float64(float64(p.from)*b.width), b.width, out[i-1].Mean, p.mean)
		out[i-1].EndS, out[i].StartS = at, at
	}
	return out
}

// edge is the time of the sample within width of near at which the effort passes
// from the mean before to the mean after, by least squares.
func (r run) edge(near, width, before, after float64) float64 {
	best, at, sum := 0.0, near, 0.0
	for i, t := range r.at {
		if t < near-width || t > near+width {
			continue
		}
		if sum < best || at == near && sum <= best {
			best, at = sum, t
		}
		d, e := r.value[i]-before, r.value[i]-after
		sum += float64(d*d) - float64(e*e) // the sample joins the stretch before
	}
	return at
}
