package stats

import "math"

// StudentTwoSided returns the two-sided p value P(|T| >= |t|), with about ten
// significant digits however small.
func StudentTwoSided(t, df float64) float64 { return float64(2 * StudentTail(math.Abs(t), df)) }

// normalDF is from how many degrees of freedom on t is taken for normal: far beyond where a float64
// could show the difference, and well before the series below overflow.
const normalDF = 1e100

// StudentTail returns P(T >= t) with full relative precision in the upper tail.
//
//	P(T >= t) = I_x(df/2, 1/2)/2,  x = df/(df+t²)   (DLMF 8.17; Student 1908)
func StudentTail(t, df float64) float64 {
	switch {
	case math.IsNaN(t) || !(df > 0):
		return math.NaN()
	case t < 0:
		return 1 - StudentTail(-t, df)
	case df > normalDF:
		return normalTail(t)
	case math.IsInf(t, 1):
		return 0
	}
	r := t / math.Sqrt(df)
	if r > 1e8 {
		return studentFarTail(t, df)
	}
	q := float64(r * r)
	return betaLower(1/(1+q), q/(1+q), df/2, 0.5) / 2
}

// studentFarTail is the leading term x^(df/2)/(df B(df/2,1/2)) with x = df/t², exact to
// working precision for t > 1e8 sqrt(df) and free of overflow.
func studentFarTail(t, df float64) float64 {
	lnBeta := LogGamma(df/2) + LogGamma(0.5) - LogGamma(float64(df/2)+0.5)
	lnRatio := Log(t) - float64(Log(df)/2)
	return Exp(-float64(df*lnRatio)-lnBeta) / df
}

// studentCentre is P(0 < T < t) for finite df.
func studentCentre(t, df float64) float64 {
	r := t / math.Sqrt(df)
	if r > 1e8 {
		return 0.5 - studentFarTail(t, df)
	}
	q := float64(r * r)
	return betaLower(q/(1+q), 1/(1+q), 0.5, df/2) / 2
}

// StudentQuantile returns t with P(T <= t) = p for real df > 0, small or huge, good
// to about 1e-13 relative where the quantile itself is that well defined.
// p = 0 and 1 give -Inf and +Inf; p outside [0, 1] or df <= 0 give NaN; a quantile
// beyond the largest float64 is infinite.
func StudentQuantile(p, df float64) float64 {
	switch {
	case !(p >= 0 && p <= 1) || !(df > 0):
		return math.NaN()
	case df > normalDF:
		return NormalQuantile(p)
	case p == 0:
		return math.Inf(-1)
	case p == 0.5:
		return 0
	case p > 0.5:
		return -StudentQuantile(1-p, df)
	case p > 0.25:
		return -solveLogLog(func(t float64) float64 { return studentCentre(t, df) }, 0.5-p)
	}
	return -solveLogLog(func(t float64) float64 { return StudentTail(t, df) }, p)
}

// solveLogLog finds t > 0 with f(t) = p for a monotone positive f, on logarithmic
// axes, where a distribution's centre and tail are both nearly straight. It returns
// +Inf when the solution exceeds the largest float64.
func solveLogLog(f func(float64) float64, p float64) float64 {
	lnP := Log(p)
	g := func(u float64) float64 { return Log(f(Exp(u))) - lnP }
	// the usual range first, then all that float64 can hold
	for _, ends := range [...][2]float64{{-2, 4}, {-745, 709}} {
		if (g(ends[0]) > 0) != (g(ends[1]) > 0) {
			return Exp(findRoot(g, ends[0], ends[1]))
		}
	}
	return math.Inf(1)
}
