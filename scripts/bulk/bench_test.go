package main

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// BenchmarkScale derives datasets of sessions of a quarter of an hour by as many
// workers as there are processors, from text to tables.
// ns/session tells how close to linear it is; x-hashing is the time against that of
// hashing the same bytes once, the least that any run takes.
func BenchmarkScale(b *testing.B) {
	for _, sessions := range []int{10, 100, 1000, 3000} {
		b.Run(fmt.Sprint(sessions), func(b *testing.B) {
			dir := filepath.Join(b.TempDir(), "data")
			bytes, err := write(dir, size{sessions, 15, 6, 3}, 1)
			if err != nil {
				b.Fatal(err)
			}
			hashing := hash(b, dir, sessions)
			b.SetBytes(bytes)
			for b.Loop() {
				folder, problems := plaintext.Open(os.DirFS(dir), yamltext.Read, runtime.GOMAXPROCS(0))
				_, problems, err := derive.FromFolder(folder, problems, derive.Options{Workers: runtime.GOMAXPROCS(0)})
				if err != nil || len(problems) > 0 {
					b.Fatal(err, problems)
				}
			}
			each := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
			b.ReportMetric(each/float64(sessions), "ns/session")
			b.ReportMetric(each/float64(hashing.Nanoseconds()), "x-hashing")
		})
	}
}

// hash reads and hashes all files of the sessions and returns the least time of
// three.
func hash(b *testing.B, dir string, sessions int) time.Duration {
	paths, err := filepath.Glob(filepath.Join(dir, "sessions", "*", "*"))
	if err != nil || len(paths) != 3*sessions {
		b.Fatal(len(paths), err)
	}
	least := time.Duration(1 << 62)
	for range 3 {
		start := time.Now()
		parallel.Map(runtime.GOMAXPROCS(0), len(paths), func(i int) [sha256.Size]byte {
			text, err := os.ReadFile(paths[i])
			if err != nil {
				b.Error(err)
			}
			return sha256.Sum256(text)
		})
		least = min(least, time.Since(start))
	}
	return least
}
