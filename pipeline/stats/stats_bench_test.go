package stats

import (
	"fmt"
	"math"
	"testing"
)

func BenchmarkLeastSquares(b *testing.B) {
	for _, rows := range []int{40, 1000} {
		b.Run(fmt.Sprint("rows=", rows), func(b *testing.B) {
			x, y := NewMatrix(rows, 10), make([]float64, rows)
			for i := range y {
				for j := range 10 {
					x.Set(i, j, math.Sqrt(float64((i*7919+j*104729)%1009)))
				}
				y[i] = float64(i % 13)
			}
			b.ReportAllocs()
			for b.Loop() {
				if f, err := leastSquares(x, y); err != nil || f.Rank != 10 {
					b.Fatal(f.Rank, err)
				}
			}
		})
	}
}

func BenchmarkDistributions(b *testing.B) {
	b.Run("StudentTwoSided", func(b *testing.B) {
		for b.Loop() {
			StudentTwoSided(2.3, 10.2)
		}
	})
	b.Run("StudentQuantile", func(b *testing.B) {
		for b.Loop() {
			StudentQuantile(0.975, 10.2)
		}
	})
}

func BenchmarkSignFlip(b *testing.B) {
	d := readTable(b, "testdata/darwin_maize_diffs.csv").num("diff_eighth_inch")
	for b.Loop() {
		if r := signFlip(d, 1); !r.Exact {
			b.Fatal(r)
		}
	}
}
