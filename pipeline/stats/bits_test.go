package stats

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash"
	"math"
	"testing"
)

// bitsOfOutputs is the SHA-256 of the outputs of writeBits. It is the same on every
// platform; a change means that published numbers change.
const bitsOfOutputs = "f780dcd4f811c2d364818b74715a8d67baddeda27bb98fbf653beb8a2ba459e5"

// TestBits holds every processor to the same bits: run it with GOAMD64=v1 and v3, on
// arm64 and under wasm.
func TestBits(t *testing.T) {
	h := sha256.New()
	writeBits(&bitWriter{h})
	if got := hex.EncodeToString(h.Sum(nil)); got != bitsOfOutputs {
		t.Errorf("outputs hash to %s, want %s", got, bitsOfOutputs)
	}
}

type bitWriter struct{ h hash.Hash }

func (w *bitWriter) put(values ...float64) {
	for _, v := range values {
		if math.IsNaN(v) {
			v = math.NaN() // the payload of a NaN is the processor's business
		}
		binary.Write(w.h, binary.LittleEndian, math.Float64bits(v))
	}
}

func writeBits(w *bitWriter) {
	for i := range 400 {
		x := float64(float64(i)*0.37) + 0.013
		w.put(Exp(x), Exp(-x), Expm1(x/500), Log(x), Log1p(x/100), Pow(x, x/10), LogGamma(x))
		df := 0.3 + x/4
		p := (float64(i) + 0.5) / 400
		w.put(StudentTail(x/8, df), StudentQuantile(p, df), NormalCDF(x/20-3), NormalQuantile(p))
		w.put(FTail(x/30, df, 2*df), IncompleteBeta(p, df, 3), ChiSquareTail(x, df))
	}
	x, y := bitsRegression()
	f, _ := LeastSquares(x, y)
	w.put(f.Coef...)
	w.put(f.Residuals...)
	w.put(f.Leverages...)
	e := f.Contrast([]float64{0, 1, -1, 0.3})
	w.put(f.Sigma, e.Value, e.SE, e.P(), Mean(y), Variance(y), Quantile(y, 0.3))
}

// bitsRegression is an arbitrary regression of 40 rows without exact numbers in it.
func bitsRegression() (Matrix, []float64) {
	x, y := NewMatrix(40, 4), make([]float64, 40)
	for i := range y {
		v := float64(i)
		copy(x.Row(i), []float64{1, math.Sqrt(v + 1), v / 7, float64((i*i)%11) / 3})
		y[i] = math.Sqrt(float64((i*7919)%101)) + v/13
	}
	return x, y
}
