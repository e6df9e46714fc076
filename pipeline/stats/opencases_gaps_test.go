package stats

import (
	"strings"
	"testing"
)

// openCaseGaps lists every part of the collection that is not compared in full, and why.
var openCaseGaps = []struct{ folders, part, why string }{
	{
		"L", "lmm/lmer_default",
		"lme4's optimiser stops a few digits short of the maximum; the exact block beside it is compared",
	},
	{"L", "lmm/lme4_at_exact_theta", "the exact block again by numerical derivatives, fewer digits"},
	{
		"L",
		"anova",
		"sums of squares between and within cells; their degrees of freedom are compared as BetweenDF and WithinDF, " +
			"the sums follow from least squares",
	},
	{"L07", "lme4_message", "the text of another program's refusal; here the status is NoWithinDF"},
	{"L09", "REML_deviance_at_theta_0_0.5_1_2_10",
		"a flat criterion; here the status is NoBetweenDF and no ratio is searched"},
	{"M", "metafor", "the same numbers as the exact block to fewer digits"},
	{"M", "pooled_metafor", "the same numbers as pooled_exact to fewer digits"},
	{"O", "kappa", "a condition number, not computed here"},
	{"O", "vif_note", "a remark"},
	{"P", "coin_pratt_exact_p", "no rank test is part of this package"},
	{"P", "coin_pratt_Z", "as above"},
	{"P", "coin_wilcoxon_Z", "as above"},
	{"P", "wilcox.test_R", "as above"},
	{"P", "signrank_zero_dropped_midranks_exact", "no rank test is part of this package"},
	{"P", "wilcox.exact_package", "as above"},
	{"P", "coin_wilcoxon_zero_dropped_exact_p", "as above"},
	{"P", "hodges_lehmann", "as above"},
	{"P", "sign_test", "as above"},
	{"P", "tost", "no test of equivalence is part of this package; the decision model says what is the same"},
	{"P", "cohen_dz", "the mean in standard deviations, both of which are compared"},
	{"P", "exactRankTests_perm_p_two_sided", "the sign-flip p value again, compared from signflip_exact"},
	{"P04", "signflip_exact", "empty: 2^30 assignments were not enumerated"},
	{"R01", "data_order", "the observed order, read from the data"},
	{"R02", "pattern_observed", "read from the data"},
	{"R02", "statistic", "a description"},
	{"R03", "means", "the data"},
	{"R03", "friedman", "a rank test that is not part of this package"},
	{"R04", "wilcoxon_Z", "two independent groups: no rank test for them here"},
	{"R04", "wilcoxon_p_exact", "as above"},
	{
		"R04",
		"mean_diff_p_exact",
		"C(24,12) assignments are beyond enumeration: " +
			"the Monte Carlo p value must lie within four of its standard errors",
	},
	{"R04", "assignments", "as above"},
	{"R04", "group_levels", "labels"},
}

// openCaseCompared lists what the other tests of this file's siblings read.
var openCaseCompared = map[string][]string{
	"L": {"lmm", "ols", "fixed_columns"},
	"M": {"per_session", "pooled_exact", "exact"},
	"O": {"ols", "ols_without_drift"},
	"P": {"d", "mean", "sd", "se", "t", "signflip_exact"},
	"R": {
		"test", "observed", "assignments", "count_two_sided", "p_two_sided", "p_upper", "BA_obs", "BA_count_two_sided",
		"BA_p_two_sided", "omnibus_stat", "omnibus_count", "omnibus_p", "range_obs", "range_count", "range_p",
		"mean_diff_first_minus_second",
	},
}

// TestOpenCasesNothingSilent visits all 57 folders: every part of every result is compared
// or stands in openCaseGaps with a reason, and every gap exists.
func TestOpenCasesNothingSilent(t *testing.T) {
	used := make([]bool, len(openCaseGaps))
	visited := 0
	eachOpenCase(t, "[A-Z]", 57, func(c openCase) {
		visited++
		name := strings.TrimSuffix(c.results.path, "/results")
		for _, key := range c.results.keys() {
			known := contains(openCaseCompared[name[:1]], key)
			for i, gap := range openCaseGaps {
				if strings.HasPrefix(name, gap.folders) && (gap.part == key || strings.HasPrefix(gap.part, key+"/")) &&
					gap.why != "" {
					known, used[i] = true, true
				}
			}
			if !known {
				c.Errorf("%s: %s is neither compared nor explained", name, key)
			}
		}
	})
	if visited == 0 {
		return
	}
	for i, u := range used {
		if !u {
			t.Errorf("no folder has %s %s", openCaseGaps[i].folders, openCaseGaps[i].part)
		}
	}
}
