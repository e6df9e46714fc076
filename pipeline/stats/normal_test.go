package stats

import (
	"fmt"
	"testing"
)

// Oracle: mpmath 1.3 at 50 decimal digits, arguments taken as the exact binary numbers.
func TestNormalCDF(t *testing.T) {
	for _, c := range [][2]float64{
		{0.0, 0.5},
		{0.1, 0.460172162722971016},
		{1.0, 0.158655253931457051},
		{1.959963984540054, 0.0250000000000000109},
		{1.9999, 0.0227555315847671865},
		{2.0, 0.0227501319481792072},
		{2.0001, 0.0227447333914105471},
		{3.0, 0.00134989803163009453},
		{5.0, 2.86651571879193912e-7},
		{10.0, 7.61985302416052607e-24},
		{20.0, 2.7536241186062337e-89},
		{37.0, 5.72557122252457682e-300},
		{38.4, 6.60159985432676802e-323},
		{inf, 0}, {nan, nan},
	} {
		rel := 1e-14
		if c[1] < 1e-307 {
			rel = 0.1 // subnormal
		}
		near(t, fmt.Sprintf("NormalCDF(-%g)", c[0]), NormalCDF(-c[0]), c[1], rel)
		near(t, fmt.Sprintf("NormalCDF(%g)", c[0]), NormalCDF(c[0]), 1-c[1], 1e-15)
		near(t, fmt.Sprintf("NormalTwoSided(%g)", c[0]), NormalTwoSided(c[0]), 2*c[1], rel)
		near(t, fmt.Sprintf("NormalTwoSided(-%g)", c[0]), NormalTwoSided(-c[0]), 2*c[1], rel)
	}
	near(t, "normalTail(-1)", normalTail(-1), 0.841344746068542949, 1e-15)
}

func TestNormalQuantile(t *testing.T) {
	for _, c := range [][2]float64{
		{0.5, 0.0},
		{0.4999, -0.000250662830088007492},
		{0.3, -0.524400512708040816},
		{0.2501, -0.674175097074658937},
		{0.25, -0.674489750196081743},
		{0.2499, -0.674804470110609987},
		{0.1, -1.28155156554460044},
		{0.025, -1.95996398454005421},
		{0.05, -1.64485362695147269},
		{0.005, -2.57582930354890075},
		{0.001, -3.09023230616781354},
		{1e-10, -6.3613409024040562},
		{1e-50, -14.933337534788489},
		{1e-300, -37.0470962993611992},
		{0.975, 1.95996398454005386},
		{0.9999, 3.71901648545570839},
		{0, -inf}, {1, inf}, {-0.1, nan}, {1.1, nan}, {nan, nan},
	} {
		near(t, fmt.Sprintf("NormalQuantile(%g)", c[0]), NormalQuantile(c[0]), c[1], 2e-14)
	}
	near(t, "quantile of the smallest number", NormalQuantile(5e-324), -38.4674, 1e-2)
}
