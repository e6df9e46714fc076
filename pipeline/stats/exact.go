package stats

// twoSum returns s and e with s = fl(a+b) and s+e = a+b exactly (Knuth 1969).
func twoSum(a, b float64) (s, e float64) {
	s = a + b
	t := s - a
	e = (a - (s - t)) + (b - t)
	return s, e
}

// twoProduct returns p and e with p = fl(a*b) and p+e = a*b exactly, barring
// overflow beyond about 1e300 and underflow (Dekker 1971, split by 2^27+1).
func twoProduct(a, b float64) (p, e float64) {
	p = float64(a * b)
	ah, al := split(a)
	bh, bl := split(b)
	e = float64(ah*bh) - p
	e += float64(ah * bl)
	e += float64(al * bh)
	e += float64(al * bl)
	return p, e
}

// split cuts a into two halves of at most 26 bits with hi+lo = a.
func split(a float64) (hi, lo float64) {
	const factor = 1<<27 + 1
	c := float64(factor * a)
	hi = c - (c - a)
	return hi, a - hi
}

// exactSum adds terms as if in twice the working precision and rounds once: the
// compensated sum of Ogita, Rump and Oishi (2005).
type exactSum struct{ hi, lo float64 }

func (s *exactSum) add(x float64) {
	var e float64
	s.hi, e = twoSum(s.hi, x)
	s.lo += e
}

func (s *exactSum) addProduct(a, b float64) {
	p, e := twoProduct(a, b)
	s.add(p)
	s.lo += e
}

func (s *exactSum) value() float64 { return s.hi + s.lo }
