package stats

// lowest returns the x >= 0 with the smallest criterion: a candidate is every place where
// the derivative goes from negative to positive between neighbours on the grid (0 comes
// before its first point), and so are both ends. atEnd says that the last grid point won,
// several that there was more than one candidate.
func lowest(criterion, derivative func(float64) float64, grid []float64) (x float64, atEnd, several bool) {
	var best float64
	candidates := 0
	consider := func(at float64, end bool) {
		candidates++
		if c := criterion(at); candidates == 1 || c < best {
			best, x, atEnd = c, at, end
		}
	}
	before, falling := 0.0, derivative(0) < 0
	if !falling {
		consider(0, false)
	}
	for _, here := range grid {
		now := derivative(here) < 0
		if falling && !now {
			consider(crossing(derivative, before, here), false)
		}
		before, falling = here, now
	}
	if falling {
		consider(before, true)
	}
	return x, atEnd, candidates > 1
}

// crossing finds where f is zero between lo and hi, on a logarithmic axis unless lo is 0.
func crossing(f func(float64) float64, lo, hi float64) float64 {
	if lo == 0 {
		return findRoot(f, lo, hi)
	}
	onLog := func(u float64) float64 { x := Exp(u); return float64(f(x) * x) }
	return Exp(findRoot(onLog, Log(lo), Log(hi)))
}
