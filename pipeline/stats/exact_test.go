package stats

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// Sums and products without error, against arbitrary precision.
func TestExactOperations(t *testing.T) {
	wide := func(x float64) *big.Float { return new(big.Float).SetPrec(2000).SetFloat64(x) }
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-1e20, 1e20).Draw(t, "a")
		b := rapid.Float64Range(-1e3, 1e3).Draw(t, "b")
		s, e := twoSum(a, b)
		if got, want := new(big.Float).Add(wide(s), wide(e)), new(big.Float).Add(wide(a),
			wide(b)); got.Cmp(want) != 0 || s != a+b {
			t.Fatalf("%v + %v = %v + %v", a, b, s, e)
		}
		p, e := twoProduct(a, b)
		if x := new(big.Float).Mul(wide(a), wide(b)); p == 0 || x.Cmp(big.NewFloat(1e-250)) < 0 {
			return // underflow
		}
		if got, want := new(big.Float).Add(wide(p), wide(e)), new(big.Float).Mul(wide(a), wide(b)); got.Cmp(want) != 0 {
			t.Fatalf("%v x %v = %v + %v", a, b, p, e)
		}
	})
}

// Products of numbers whose every bit is in use.
func TestTwoProductFullWidth(t *testing.T) {
	for i := range 3000 {
		a, b := math.Sqrt(float64(i+2)), math.Sqrt(float64(i*7919%10007+3))
		p, e := twoProduct(a, b)
		got := new(big.Float).SetPrec(200).Add(big.NewFloat(p).SetPrec(200), big.NewFloat(e).SetPrec(200))
		want := new(big.Float).SetPrec(200).Mul(big.NewFloat(a).SetPrec(200), big.NewFloat(b).SetPrec(200))
		if got.Cmp(want) != 0 || p != a*b {
			t.Fatalf("%v x %v = %v + %v", a, b, p, e)
		}
	}
}

// A sum that plain addition gets wrong entirely.
func TestExactSum(t *testing.T) {
	var s exactSum
	for _, v := range []float64{1e16, 1, -1e16, 3} {
		s.add(v)
	}
	near(t, "sum", s.value(), 4, 0)
	s = exactSum{hi: -1}
	s.addProduct(1+0x1p-30, 1-0x1p-30) // 1 - 2^-60
	near(t, "what a product rounds away", s.value(), -0x1p-60, 0)
}
