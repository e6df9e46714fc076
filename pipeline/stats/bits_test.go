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
const bitsOfOutputs = "1b85f399bb9df6e1687f9e38224bd03ccae2f7ccee8f67fd571641efded6f87c"

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
		w.put(IncompleteBeta(p, df, 3), ChiSquareTail(x, df))
	}
	x, y := bitsRegression()
	f, _ := leastSquares(x, y)
	w.put(f.Coef...)
	w.put(f.Residuals...)
	w.put(f.Leverages...)
	e := f.Contrast([]float64{0, 1, -1, 0.3})
	w.put(f.Sigma, e.Value, e.SE, e.P(), Mean(y), Variance(y), Quantile(y, 0.3))
	writeMixedBits(w, x, y)
	writeTestBits(w, y)
}

func writeMixedBits(w *bitWriter, x Matrix, y []float64) {
	a := Absorbed{Y: y, Classes: 3, Covariates: NewMatrix(len(y), 1)}
	for i := range y {
		a.Level = append(a.Level, i/8)
		a.Class = append(a.Class, i%3)
		a.Group = append(a.Group, i/8*3+i%3)
		a.Covariates.Set(i, 0, math.Sqrt(float64(i)))
	}
	dense, _ := denseREML(x, y, a.Group)
	fast, _ := REMLAbsorbed(a)
	for _, m := range []*Mixed{dense, fast} {
		w.put(float64(m.Status), m.Lambda, m.Sigma2, m.SigmaB2, m.Criterion)
		w.put(m.Coef...)
		w.put(m.Effects...)
		w.put(m.Observed.BB, m.Observed.BW, m.Observed.WW, m.Expected.BB, m.Expected.BW, m.Expected.WW)
		for _, method := range []DFMethod{Satterthwaite, KenwardRoger} {
			e := m.Contrast([]float64{0, 1, -1, 0}, method)
			lo, hi := e.Interval(0.95)
			w.put(e.Value, e.SE, e.DF, e.P(), lo, hi)
		}
	}
}

func writeTestBits(w *bitWriter, y []float64) {
	d := make([]float64, len(y))
	v := make([]float64, len(y))
	for i := range y {
		d[i] = y[i] - 6
		v[i] = 0.1 + y[i]/9
	}
	for _, m := range []PoolMethod{PoolREML, DerSimonianLaird, PauleMandel} {
		p, _ := Pool(d, v, m)
		lo, hi := p.Tau2Interval(0.9)
		w.put(p.Q, p.QP, p.Tau2, p.Safe.Value, p.Safe.SE, p.Safe.P(), lo, hi)
	}
	b, r := BlandAltman(d, 0.95), signFlip(d, 3)
	w.put(b.Lower.Value, b.Upper.SE, Lag1(d), EffectiveN(40, 0.31), r.P, r.PUpper, r.PLower)
	w.put(Holm([]float64{b.Bias.P(), 0.2, r.P})...)
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
