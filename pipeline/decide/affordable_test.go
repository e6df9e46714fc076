package decide

import (
	"math/rand/v2"
	"strconv"
	"testing"
)

// large is a dataset of 60 shoes and 3,000 sessions, two shoes of A B B A each.
func large(runners int) []Block {
	r := rand.New(rand.NewPCG(1, 2))
	var blocks []Block
	for s := range 3000 {
		a, b := r.IntN(60), r.IntN(59)
		if b >= a {
			b++
		}
		for i, j := range []int{a, b, b, a} {
			blocks = append(blocks, Block{Session: strconv.Itoa(s), Runner: strconv.Itoa(s % runners),
				Shoe: strconv.Itoa(100 + j),
				Y:    0.001*float64(j) + 0.009*r.NormFloat64(), TimeH: 0.15 * float64(i), X: 0.005 * r.NormFloat64()})
		}
	}
	return blocks
}

// Sixty shoes in 3,000 sessions must stay affordable: no more than a few hundred nodes, and
// an answer that has all of the shoes.
func TestManyShoesAndSessions(t *testing.T) {
	if testing.Short() {
		t.Skip("seconds")
	}
	p := fit(t, large(1), speedAtPower(), Exact)
	if len(p.Groups) != 1 || len(p.Shoes) != 60 || len(p.nodes) > 1000 {
		t.Fatalf("%d groups, %d shoes, %d nodes", len(p.Groups), len(p.Shoes), len(p.nodes))
	}
	a, ok := p.Answer(0, Sensor{})
	if !ok || p.Shoes[a.Leader] < "150" {
		t.Errorf("leader %s; shoe 159 is the fastest by design", p.Shoes[a.Leader])
	}
	within(t, "block spread", p.Spreads.Sigma.Mean, 0.009, 3e-4)
}

func BenchmarkLarge(b *testing.B) {
	blocks := large(1)
	b.Run("fit", func(b *testing.B) {
		for b.Loop() {
			fit(b, blocks, speedAtPower(), Exact)
		}
	})
	p := fit(b, blocks, speedAtPower(), Exact)
	b.Run("pairs", func(b *testing.B) {
		for b.Loop() {
			p.Pairs(Sensor{})
		}
	})
	b.Run("best", func(b *testing.B) {
		for b.Loop() {
			p.best(Sensor{})
		}
	})
	runners := large(2)
	b.Run("two runners", func(b *testing.B) {
		for b.Loop() {
			fit(b, runners, speedAtPower(), Exact)
		}
	})
}
