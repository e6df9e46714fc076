package derive_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"soletrial/pipeline/derive"
)

// leastSquares is a method in which the decision model knows nothing beforehand: its limit is
// least squares (decision.md: within 1 %).
const leastSquares = `  power_exponent: 0
  sensor_by_shoe_pct: 0
  prior:
    block_pct: {speed: %g}
    block_df: 0.01
    day_pct: {speed: 0.0001}
    drift_pct_per_h: {speed: 1000}
`

// published makes a trial of published numbers: one session for each of those who tried both,
// whose log speed is the number over scale, so that a difference in percent of speed is one in
// the published unit.
func published(method string, scale float64, orders []string, values [][2]float64) lab {
	l := lab{method: method}
	for i, order := range orders {
		v := values[i]
		l.sessions = append(l.sessions, labSession{blocks: worn(order, 4*math.Exp(v[0]/scale), 4*math.Exp(v[1]/scale))})
	}
	return l
}

// held compares both analyses of birch against alder with what is published: the estimate with
// its standard error, degrees of freedom and two-sided p, on the log scale times scale.
func held(t *testing.T, r *derive.Result, scale, estimate, se, df, p, low, high float64) {
	t.Helper()
	// The analysis without assumptions, to the digits that are published.
	c := speed(t, r, "b", "a")
	near(t, "estimate", scale*c.LogEstimate, estimate, 5e-3*math.Abs(estimate))
	near(t, "standard error", scale*c.LogSE, se, 5e-3*se)
	near(t, "degrees of freedom", c.DF, df, 1e-9)
	near(t, "p", c.P, p, 0.01*p)
	// The decision, from its table: 1 % of the interval, and the chance that goes with p.
	row := rows(t, r, "decisions.csv")[0]
	if row["shoe"] != "b" || row["reference"] != "a" {
		t.Fatalf("%v", row)
	}
	log := func(column string) float64 { return scale * math.Log1p(numberIn(t, row, column)/100) }
	near(t, "decided estimate", log("estimate"), estimate, 0.01*(high-low))
	near(t, "decided low", log("low"), low, 0.01*(high-low))
	near(t, "decided high", log("high"), high, 0.01*(high-low))
	near(t, "chance", numberIn(t, row, "chance_better"), 1-p/2, 1e-3)
}

// Two materials of shoe soles, A and B, worn by ten boys, one on each foot: Box, Hunter &
// Hunter 1978, Statistics for Experimenters, section 4.2 (data from memory). Published: mean
// difference 0.41, its standard error 0.12, t = 3.4 with 9 degrees of freedom, 0.4 % one-sided;
// by R 4, t.test of the same data (shoes in its library MASS): t = 3.3489, p = 0.008539,
// 0.1330461 to 0.6869539.
func TestShoeSolesOfTenBoys(t *testing.T) {
	wear := [][2]float64{{13.2, 14.0}, {8.2, 8.8}, {10.9, 11.2}, {14.3, 14.2}, {10.7, 11.8}, {6.6, 6.4}, {9.5, 9.8},
		{10.8, 11.3}, {8.8, 9.3}, {13.3, 13.6}}
	const scale = 100
	method := fmt.Sprintf("  drift: none\n"+leastSquares, 0.4)
	r := published(method, scale, strings.Split(strings.Repeat("AB ", 9)+"AB", " "), wear).derive(t)
	held(t, r, scale, 0.41, 0.41/3.3489, 9, 0.008539, 0.1330461, 0.6869539)
}

// Peak expiratory flow after two drugs in a two-period crossover of thirteen children: Senn
// 2002, Cross-over Trials in Clinical Research, table 3.1 (data from memory). Seven had b
// (formoterol) first. Published, adjusted for the period: 46.6 l/min with a standard error of
// 10.8 and 11 degrees of freedom; the test does the same sums: half the sum of the mean
// differences of the two sequences, with their pooled variance. The period is the drift here.
func TestTwoPeriodCrossover(t *testing.T) {
	formoterolFirst := [][2]float64{{310, 270}, {310, 260}, {370, 300}, {410, 390}, {250, 210}, {380, 350}, {330, 365}}
	salbutamolFirst := [][2]float64{{370, 385}, {310, 400}, {380, 410}, {290, 320}, {260, 340}, {90, 220}}
	mean1, squares1 := differences(formoterolFirst, -1)
	mean2, squares2 := differences(salbutamolFirst, 1)
	estimate, se := (mean1+mean2)/2, math.Sqrt((squares1+squares2)/11*(1./7+1./6))/2
	near(t, "published estimate", estimate, 46.6, 0.05)
	near(t, "published standard error", se, 10.8, 0.05)
	const scale, quantile, p = 10000, 2.200985, 0.001210 // Student's t with 11 degrees of freedom: 97.5 %, and of 4.324
	var orders []string
	for range formoterolFirst {
		orders = append(orders, "BA")
	}
	for range salbutamolFirst {
		orders = append(orders, "AB")
	}
	method := fmt.Sprintf(leastSquares, 0.3)
	r := published(method, scale, orders, append(formoterolFirst, salbutamolFirst...)).derive(t)
	held(t, r, scale, estimate, se, 11, p, estimate-quantile*se, estimate+quantile*se)
}

// differences returns the mean of second less first, times sign, and the sum of squares about
// it.
func differences(periods [][2]float64, sign float64) (mean, squares float64) {
	for _, v := range periods {
		mean += sign * (v[1] - v[0]) / float64(len(periods))
	}
	for _, v := range periods {
		squares += math.Pow(sign*(v[1]-v[0])-mean, 2)
	}
	return mean, squares
}

// With what the model knows of such trials by default the published trials come out with the
// same sign, and never surer: blocks and days vary more in a field than these do.
func TestPublishedTrialsByDefault(t *testing.T) {
	wear := [][2]float64{{13.2, 14.0}, {8.2, 8.8}, {10.9, 11.2}, {14.3, 14.2}, {10.7, 11.8}, {6.6, 6.4}, {9.5, 9.8},
		{10.8, 11.3}, {8.8, 9.3}, {13.3, 13.6}}
	r := published("", 100, strings.Split(strings.Repeat("AB BA ", 4)+"AB BA", " "), flipped(wear)).derive(t)
	row := rows(t, r, "decisions.csv")[0]
	chance, _ := strconv.ParseFloat(row["chance_better"], 64)
	if row["shoe"] != "b" || chance < 0.7 || chance > 0.99573 {
		t.Errorf("%v", row)
	}
}

// flipped swaps every second pair, for orders that alternate.
func flipped(values [][2]float64) (all [][2]float64) {
	for i, v := range values {
		if i%2 == 1 {
			v[0], v[1] = v[1], v[0]
		}
		all = append(all, v)
	}
	return all
}
