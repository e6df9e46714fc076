package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// row is one line of the table.
type row struct {
	design                  design
	models                  map[string]float64
	longRun, longRunError   float64
	onTheDay, onTheDayError float64
	half                    float64
	byHolm                  float64 // share of trials
	trials                  float64
	oneSession              bool
}

// summarise averages over the trials that gave an interval. The Monte Carlo
// error is that of a mean over trials, since the pairs within one are not
// independent.
func summarise(d design, outcomes []outcome) row {
	r := row{design: d, models: map[string]float64{}}
	var long, day []float64
	pairs := 0
	for _, o := range outcomes {
		for model, n := range o.models {
			r.models[model] += float64(n)
			pairs += n
		}
		r.oneSession = o.oneSession
		r.trials++
		r.byHolm += indicator(o.byHolm)
		if o.pairs > 0 {
			long, day = append(long, o.longRun), append(day, o.onTheDay)
			r.half += o.half
		}
	}
	for model := range r.models {
		r.models[model] /= float64(pairs)
	}
	r.half /= float64(len(long))
	r.longRun, r.longRunError = meanAndError(long)
	r.onTheDay, r.onTheDayError = meanAndError(day)
	r.byHolm /= r.trials
	return r
}

func indicator(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

func meanAndError(x []float64) (mean, failing float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		failing += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(failing/float64(len(x)-1)) / math.Sqrt(float64(len(x)))
}

func heading(out io.Writer) {
	fmt.Fprintln(out, "| design | model chosen, % of pairs | coverage of the long-run difference, % | of that day's, "+
		"% | mean half-width, % | equal shoes with Holm p <= 0.05, % of trials |")
	fmt.Fprintln(out, "|---|---|---|---|---|---|")
}

func (r row) print(out io.Writer) {
	day := ""
	if r.oneSession {
		day = percent(r.onTheDay, r.onTheDayError)
	}
	fmt.Fprintf(out, "| %s | %s | %s | %s | %.2f | %s |\n", r.design.name, r.shares(),
		percent(r.longRun, r.longRunError), day, 100*r.half, r.rate(r.byHolm))
}

func (r row) shares() string {
	var names []string
	for name := range r.models {
		names = append(names, name)
	}
	slices.Sort(names)
	for i, name := range names {
		names[i] = fmt.Sprintf("%s %.1f", strings.ReplaceAll(name, "_", " "), 100*r.models[name])
	}
	return strings.Join(names, ", ")
}

// rate prints a share of all trials with its Monte Carlo error.
func (r row) rate(share float64) string {
	return percent(share, math.Sqrt(share*(1-share)/r.trials))
}

func percent(share, failing float64) string {
	return fmt.Sprintf("%.1f +- %.1f", 100*share, 100*failing)
}

func footnotes(out io.Writer) {
	fmt.Fprintf(out, `
Blocks vary by %.1f %% about their mean, held power by %.0f %%. Heterogeneity is how a shoe's mean varies
from session to session: %.1f %%, much %.1f %%.
+- is one Monte Carlo standard error. "mixed at zero" is the mixed model whose estimate of the heterogeneity is zero.
The estimand is the runner's long-run mean difference. One session cannot show it where shoes vary from day to day: its
interval is for that day, and the product says so.
`, 100*blockSD, 100*powerSD, 100*some, 100*much)
}
