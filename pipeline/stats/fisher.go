package stats

import "math"

// FTail returns P(F >= f) of Fisher's F with df1 and df2 > 0 degrees of freedom,
// accurate in the upper tail; df2 = +Inf is chi-square over df1.
//
//	P(F >= f) = I_y(df2/2, df1/2),  y = df2/(df2 + df1 f)   (DLMF 8.17)
func FTail(f, df1, df2 float64) float64 {
	switch {
	case math.IsNaN(f) || !(df1 > 0) || !(df2 > 0) || math.IsInf(df1, 1):
		return math.NaN()
	case f <= 0:
		return 1
	case math.IsInf(f, 1):
		return 0
	case math.IsInf(df2, 1):
		return ChiSquareTail(float64(df1*f), df1)
	}
	r := float64(df1 / df2 * f)
	return betaLower(1/(1+r), r/(1+r), df2/2, df1/2)
}
