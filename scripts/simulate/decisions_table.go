package main

import (
	"fmt"
	"io"

	"soletrial/pipeline/decide"
)

// decisions prints the table of decisions and returns the limits that are broken.
func decisions(out io.Writer, n int, seed uint64, flush func() error) []string {
	fmt.Fprintln(out, "| design | block SD, day SD, % | false claims of a pair, % | of any pair, "+
		"% | false *fastest*, % | power at 2 %; of a t test, % | coverage, % | half-width, % "+
		"| stated less true chance, points: true differences of SD 1, 2, 3 % "+
		"| equal shoes: same, fastest, leading, open, % | 2 %: same, fastest, leading, open, % |")
	fmt.Fprintln(out, "|---|---|---|---|---|---|---|---|---|---|---|")
	var broken []string
	for i, d := range decisionDesigns {
		for j, v := range noises {
			row := decisionRowOf(d, v, n, seed, uint64(i*len(noises)+j))
			row.print(out)
			broken = append(broken, row.broken()...)
			if err := flush(); err != nil {
				return append(broken, err.Error())
			}
		}
	}
	return broken
}

func (r decisionRow) print(out io.Writer) {
	fmt.Fprintf(out,
		"| %s | %.1f, %.1f | %.1f | %.1f | %.1f | %.1f; %s | %.1f | %.2f | %+.1f, %+.1f, %+.1f | %s | %s |\n",
		r.design.name, 100*r.noise.block, 100*r.noise.day, 100*r.falseClaim, 100*r.anyClaim, 100*r.falseWinner,
		100*r.power, r.powerByT(), 100*r.coverage, 100*r.halfWidth, 100*r.over[0], 100*r.over[1], 100*r.over[2],
		statusRates(r.equal), statusRates(r.different))
}

func statusRates(rates map[decide.Status]float64) string {
	return fmt.Sprintf("%.0f, %.0f, %.0f, %.0f", 100*rates[decide.Same], 100*rates[decide.Fastest],
		100*rates[decide.Leading], 100*rates[decide.Open])
}

// powerByT is that of the t test on the sessions' differences, for which one session is too few.
func (r decisionRow) powerByT() string {
	if r.design.sessions < 2 {
		return "none"
	}
	return fmt.Sprintf("%.1f", 100*r.byT)
}
