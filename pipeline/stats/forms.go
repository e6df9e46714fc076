package stats

// Quadratic forms and traces of square matrices stored by rows. A stride beyond the part
// used skips the response column at the end of each row.

// times returns S v for the leading part of S that v covers, by rows of the given stride.
func times(s, v []float64, stride int) []float64 {
	out := make([]float64, stride)
	for i := range out {
		out[i] = dot(v, s[i*stride:])
	}
	return out
}

// bilinear returns a'S b.
func bilinear(a, s, b []float64, stride int) float64 {
	sum := 0.0
	for ; len(a) >= 4; a, s = a[4:], s[4*stride:] {
		s0, s1, s2, s3 := dot4(b, s, stride)
		sum += float64(a[0] * s0)
		sum += float64(a[1] * s1)
		sum += float64(a[2] * s2)
		sum += float64(a[3] * s3)
	}
	for i, v := range a {
		sum += float64(v * dot(b, s[i*stride:]))
	}
	return sum
}

// quadraticForm returns v'S v for S as wide as v is long.
func quadraticForm(v, s []float64) float64 { return bilinear(v, s, v, len(v)) }

// traceOfProduct returns tr(A S) for a p by p A and the leading part of S.
func traceOfProduct(a, s []float64, p, stride int) float64 {
	sum := 0.0
	for i := range p {
		for j := range p {
			sum += float64(a[i*p+j] * s[j*stride+i])
		}
	}
	return sum
}

// product returns A S, p by p.
func product(a, s []float64, p, stride int) []float64 {
	out := make([]float64, p*p)
	for i := range p {
		for j := range p {
			addScaled(out[i*p:], a[i*p+j], s[j*stride:j*stride+p])
		}
	}
	return out
}

// traceOfSquare returns tr(A B) for p by p matrices.
func traceOfSquare(a, b []float64, p int) float64 { return traceOfProduct(a, b, p, p) }
