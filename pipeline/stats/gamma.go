package stats

import "math"

const (
	lnSqrt2Pi = 0.91893853320467274178
	sqrt2Pi   = 2.50662827463100050242
	// oneMinusEuler is 1 minus Euler's constant.
	oneMinusEuler = 0.42278433509846713939
)

// zetaMinusOne holds zeta(k) - 1 for k = 2, 3, ... (DLMF 25.6; computed to 20 digits).
var zetaMinusOne = [...]float64{
	0.64493406684822643647, 0.2020569031595942854, 0.082323233711138191516, 0.036927755143369926331,
	0.017343061984449139715, 0.0083492773819228268398, 0.0040773561979443393787, 0.0020083928260822144179,
	0.00099457512781808533715, 0.0004941886041194645587, 0.00024608655330804829864, 0.00012271334757848914675,
	0.000061248135058704829259, 0.000030588236307020493552, 0.000015282259408651871733, 7.6371976378997622736e-6,
	3.8172932649998398565e-6, 1.9082127165539389257e-6, 9.5396203387279611315e-7, 4.7693298678780646312e-7,
	2.3845050272773299e-7, 1.1921992596531107307e-7, 5.9608189051259479612e-8, 2.9803503514652280186e-8,
}

// LogGamma returns ln Γ(x) for x > 0, with an error of a few units in the last
// place (absolute, near the zeros at 1 and 2: relative).
//
// LogGamma(0) = +Inf, LogGamma(+Inf) = +Inf, LogGamma(x<0) = NaN.
//
// Method: Stirling's series for x >= 15 (DLMF 5.11.1), below that the recurrence
// down to [1.5, 2.5) and the series in zeta(k)-1 about 2 (DLMF 5.7.3).
func LogGamma(x float64) float64 {
	switch {
	case math.IsNaN(x) || x < 0:
		return math.NaN()
	case x == 0 || math.IsInf(x, 1):
		return math.Inf(1)
	case x >= 15:
		return float64((x-0.5)*Log(x)) - x + lnSqrt2Pi + stirlingSeries(x)
	case x < 0.5:
		return logGammaNear2(x) - Log1p(x) - Log(x)
	case x < 1.5:
		return logGammaNear2(x-1) - Log1p(x-1)
	}
	product := 1.0
	for x >= 2.5 {
		x--
		product = float64(product * x)
	}
	return Log(product) + logGammaNear2(x-2)
}

// logGammaNear2 returns ln Γ(2+t) for |t| <= 1/2.
func logGammaNear2(t float64) float64 {
	s := 0.0
	for i := len(zetaMinusOne) - 1; i >= 0; i-- {
		s = zetaMinusOne[i]/float64(i+2) - float64(t*s)
	}
	return float64(t * (oneMinusEuler + float64(t*s)))
}

// stirlingError returns ln Γ(x) - ((x-1/2) ln x - x + ln sqrt(2π)), which falls
// from about -ln(x)/2 near 0 to 1/(12x) for large x.
func stirlingError(x float64) float64 {
	if x >= 15 {
		return stirlingSeries(x)
	}
	return LogGamma(x) - float64((x-0.5)*Log(x)) + x - lnSqrt2Pi
}

// stirlingSeries sums B_2k/(2k(2k-1) x^(2k-1)) to seven terms: 1e-17 at x = 15.
func stirlingSeries(x float64) float64 {
	z := 1 / float64(x*x)
	s := 0.0
	for _, c := range [...]float64{1.0 / 156, -691.0 / 360360, 1.0 / 1188, -1.0 / 1680, 1.0 / 1260, -1.0 / 360,
		1.0 / 12} {
		s = float64(s*z) + c
	}
	return s / x
}
