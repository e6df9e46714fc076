package randomise

import (
	"fmt"
	"testing"
)

// The largest set that is examined order by order, one that is sampled, and one
// that makes up for forty sessions.
func BenchmarkSet(b *testing.B) {
	var earlier [][]string
	for i := range 40 {
		earlier = append(earlier, []string{"a", "b", "c", "d", "e", "a", "b", "c"}[i%3:])
	}
	for _, c := range []struct {
		shoes, blocks int
		earlier       [][]string
	}{{2, 8, nil}, {2, 20, nil}, {5, 10, nil}, {4, 8, earlier}, {6, 12, earlier}, {2, 20, earlier}} {
		b.Run(fmt.Sprintf("%d shoes %d blocks after %d", c.shoes, c.blocks, len(c.earlier)), func(b *testing.B) {
			d, err := New(named(c.shoes), c.blocks, c.earlier, 1)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				d.Set()
			}
		})
	}
}
