package quality

import "soletrial/pipeline/trial"

const (
	byShoeNote   = "an engineering choice: a sensor error that differs by shoe is a shoe effect of that size that is not there"
	sessionsNote = "shoes are compared within sessions, which takes out what a whole session shares (arithmetic); the limit is an engineering choice"
)

// wide is the rules about shoes within a session, about a session, and about the
// dataset, in their documented order.
var wide = []Rule{
	{
		Slug: "effort-uneven", Title: "mean effort differs between shoes", Scope: OfSession, Severities: []trial.Severity{trial.Warn},
		Looks:  "the mean of what was held divided by its target over each shoe's blocks; the two shoes furthest apart",
		Limit:  "limits.effort_between_pct, default 2 %",
		Source: engineering + "; the equal-effort adjustment is trusted for small differences only",
		Fix:    "the adjustment takes it into account and says by how much; hide the shoe from whoever holds the effort, or hold it tighter",
	},
	{
		Slug: "ground-by-shoe", Title: "sensor against ground differs by shoe", Scope: OfSession, Severities: []trial.Severity{trial.Warn},
		Looks:  "the mean of sensor distance over ground distance of each shoe's blocks; the two shoes furthest apart",
		Limit:  "limits.sensor_between_pct, default 1 %",
		Source: byShoeNote,
		Fix:    "fix the sensor the same way on every shoe, and take speed from measured laps where you can",
	},
	{
		Slug: "step-by-shoe", Title: "cadence times step length differs by shoe", Scope: OfSession, Severities: []trial.Severity{trial.Warn},
		Looks:  "the mean of cadence x step length over speed of each shoe's blocks; the two shoes furthest apart",
		Limit:  "limits.sensor_between_pct, default 1 %",
		Source: byShoeNote,
		Fix:    "fix the sensor the same way on every shoe; measured laps show which of the three is off",
	},
	{
		Slug: "order-confounded", Title: "order confounded with time", Scope: OfSession, Severities: []trial.Severity{trial.Warn},
		Looks:  "how much of the spread of the blocks' times the shoes explain, as a correlation (0 for A B B A, 0.45 for A B A B, 0.89 for A A B B)",
		Limit:  "limits.order_correlation, default 0.7",
		Source: "arithmetic: the drift and the shoes cannot be told apart when the shoes follow the clock; the limit is an engineering choice",
		Fix:    "no analysis mends it: run another session in the opposite order, or in a balanced one",
	},
	{
		Slug: "one-block-per-shoe", Title: "one block per shoe", Scope: OfSession, Severities: []trial.Severity{trial.Note},
		Looks:  "sessions of two or more shoes in which no shoe has a second block",
		Limit:  "two blocks of at least one shoe",
		Source: "without a repeat nothing tells a shoe from a block (common practice, no source)",
		Fix:    "such a session gives no interval by itself; it still counts together with others",
	},
	{
		Slug: "blocks-unbalanced", Title: "shoes run unequally often", Scope: OfSession, Severities: []trial.Severity{trial.Note},
		Looks:  "the most blocks of a shoe divided by the fewest of another",
		Limit:  "limits.balance_ratio, default 2",
		Source: "the variance of a difference goes with 1/n + 1/m blocks, least for n = m (arithmetic); the limit is an engineering choice",
		Fix:    "the interval takes it into account; plan equal numbers",
	},
	{
		Slug: "rest-unequal", Title: "rests unequal", Scope: OfSession, Severities: []trial.Severity{trial.Note},
		Looks:  "the longest and the shortest time from the end of a block to the start of the next",
		Limit:  "limits.rest_apart_s, default 60 s",
		Source: "equal rests, or rest to a set heart rate (common practice, no source); the limit is an engineering choice",
		Fix:    "say why in the notes; keep rests equal next time",
	},
	{
		Slug: "warm-up-short", Title: "no warm-up", Scope: OfSession, Severities: []trial.Severity{trial.Note},
		Looks:  "protocol.warm_up_s, or what the recording holds before the first block where that is blank",
		Limit:  "limits.warm_up_s, default 300 s",
		Source: "common practice, no source: the first blocks of a cold runner drift",
		Fix:    "write the warm-up down if there was one; with a balanced order the drift of the first blocks falls on every shoe",
	},
	{
		Slug: "heat-caution", Title: "heat", Scope: OfSession, Severities: []trial.Severity{trial.Warn, trial.Note},
		Looks:  "conditions.wbgt_c, or conditions.air_c where that is blank",
		Limit:  "note from limits.heat_wbgt_c, default 18.4 °C, warning from limits.heat_wbgt_warn_c, default 22.3 °C; without it, note from limits.heat_air_c, default 25 °C of air",
		Source: "levels of the American College of Sports Medicine, position stand 2007 (as in doi 10.1186/s12199-017-0675-y); heat enlarges the drift of heart rate (Wingo 2012, doi 10.1097/JES.0b013e31824c43af); the limit for air is an engineering choice",
		Fix:    "reference levels, no clearance: local rules, event medics and licensed clinicians decide. Stop at dizziness, confusion or loss of coordination; suspected heat stroke is an emergency",
	},
	{
		Slug: "wind-strong", Title: "strong wind", Scope: OfSession, Severities: []trial.Severity{trial.Warn},
		Looks:  "conditions.wind_mps",
		Limit:  "limits.wind_mps, default 3 m/s",
		Source: "drag goes with the square of the air's speed (Pugh 1970), so wind does not cancel over a lap; 6.13 % of cost per 1 % of body weight (da Silva 2022), with a large spread between runners; the limit is an engineering choice",
		Fix:    "run whole laps and more blocks, or wait for a calmer day; storms and lightning end a session",
	},
	{
		Slug: "deviation-listed", Title: "deviation from the plan", Scope: OfSession, Severities: []trial.Severity{trial.Note},
		Looks:  "deviations in session.yaml",
		Limit:  "any",
		Source: "departures from the planned sequence are reported (CENT 2015, doi 10.1136/bmj.h1738, item 13a from memory)",
		Fix:    "nothing: they are shown so that a reader can judge them",
	},
	{
		Slug: "shoes-unlinked", Title: "shoes never linked", Scope: OfDataset, Severities: []trial.Severity{trial.Warn},
		Looks:  "whether the shoes run at one effort and target are linked, directly or through others, by common sessions",
		Limit:  "one group at each effort and target",
		Source: "without a common session nothing tells a shoe from a day (arithmetic)",
		Fix:    "run a session with a shoe of each group",
	},
	{
		Slug: "reference-not-run", Title: "reference never run", Scope: OfDataset, Severities: []trial.Severity{trial.Warn},
		Looks:  "whether method.reference, or the first shoe of the register, has a block that is compared",
		Limit:  "at least one",
		Source: "rankings and forecasts are against that shoe",
		Fix:    "run it, or name another shoe in method.reference",
	},
	{
		Slug: "recording-twice", Title: "same recording twice", Scope: OfDataset, Severities: []trial.Severity{trial.Stop},
		Looks:  "equal source_sha256, or equal content, of two recordings",
		Limit:  "none allowed; the later one's blocks are kept out",
		Source: "a run that counts twice narrows every interval for nothing (arithmetic)",
		Fix:    "remove one of the two, or import the file that belongs there",
	},
	{
		Slug: "plan-missing", Title: "plan missing", Scope: OfDataset, Severities: []trial.Severity{trial.Note},
		Looks:  "compared sessions without a plan.yaml",
		Limit:  "every session",
		Source: "order and outcome are set in advance (CENT 2015, doi 10.1136/bmj.h1738, items 6a and 8a from memory)",
		Fix:    "write the plan and commit it before the run; it cannot be added afterwards",
	},
	{
		Slug: "sensor-changed", Title: "different sensor or mount", Scope: OfDataset, Severities: []trial.Severity{trial.Note},
		Looks:  "device and mount of the recordings of compared sessions at one kind of effort",
		Limit:  "one kind",
		Source: sessionsNote,
		Fix:    "keep the sensor and its place; write into the notes when it was calibrated anew",
	},
	{
		Slug: "conditions-changed", Title: "conditions changed between sessions", Scope: OfDataset, Severities: []trial.Severity{trial.Note},
		Looks:  "air temperature, wind and surface of compared sessions at one kind of effort",
		Limit:  "limits.air_apart_c, default 10 °C; limits.wind_apart_mps, default 2 m/s; one surface",
		Source: sessionsNote,
		Fix:    "look at the sessions one by one: a shoe may be better in some conditions only",
	},
	{
		Slug: "wear-apart", Title: "wear far apart", Scope: OfDataset, Severities: []trial.Severity{trial.Note},
		Looks:  "worn_km of the shoes that are compared",
		Limit:  "limits.wear_apart_km, default 300 km",
		Source: engineering,
		Fix:    "compare pairs with similar wear, or say that the answer is about these pairs as they are",
	},
	{
		Slug: "size-differs", Title: "sizes differ", Scope: OfDataset, Severities: []trial.Severity{trial.Note},
		Looks:  "size_eu of the shoes that are compared",
		Limit:  "one size",
		Source: "mass goes with size (common practice, no source); no exact conversion between size systems exists (ISO 19407)",
		Fix:    "compare the same size where it fits; weigh every pair as worn",
	},
	{
		Slug: "one-runner", Title: "one runner only", Scope: OfDataset, Severities: []trial.Severity{trial.Note},
		Looks:  "the runners of the compared sessions",
		Limit:  "two for an answer that is about more than one person",
		Source: "a trial of one person answers for that person (CENT 2015, doi 10.1136/bmj.h1738)",
		Fix:    "say so where you publish; pool with others who ran the same shoes",
	},
	{
		Slug: "mass-missing", Title: "shoe mass missing", Scope: OfDataset, Severities: []trial.Severity{trial.Warn},
		Looks:  "shoes that are compared and have no mass_g",
		Limit:  "every shoe that is compared",
		Source: "about 1 % per 100 g per shoe (Frederick 1984; Franz 2012, doi 10.1249/MSS.0b013e3182514a88): without the mass its part cannot be named",
		Fix:    "weigh both shoes of the pair as worn, write the mean into shoes.csv",
	},
}
