package quality

import "soletrial/pipeline/trial"

// The slugs of the rules over the whole dataset, in their documented order.
const (
	ShoesUnlinked     trial.RuleSlug = "shoes-unlinked"
	ReferenceNotRun   trial.RuleSlug = "reference-not-run"
	RecordingTwice    trial.RuleSlug = "recording-twice"
	EffortUneven      trial.RuleSlug = "effort-uneven"
	FirstShoeSame     trial.RuleSlug = "first-shoe-same"
	CarryOver         trial.RuleSlug = "carry-over"
	PlanMissing       trial.RuleSlug = "plan-missing"
	SensorChanged     trial.RuleSlug = "sensor-changed"
	ConditionsChanged trial.RuleSlug = "conditions-changed"
	WearApart         trial.RuleSlug = "wear-apart"
	SizeDiffers       trial.RuleSlug = "size-differs"
	OneRunner         trial.RuleSlug = "one-runner"
	MassMissing       trial.RuleSlug = "mass-missing"
	LabelsAlike       trial.RuleSlug = "labels-alike"
	DateImplausible   trial.RuleSlug = "date-implausible"
	CellFormula       trial.RuleSlug = "cell-formula"
)

// sessionsNote is where several limits come from.
const sessionsNote = "shoes are compared within sessions, which takes out what a whole session shares " +
	"(arithmetic); the limit is an engineering choice"

// datasetRules is the rules over the whole dataset, in the order in which they run.
var datasetRules = []rule[datasetCheck]{
	{ShoesUnlinked, shoesUnlinked},
	{ReferenceNotRun, referenceNotRun},
	{RecordingTwice, recordingTwice},
	{EffortUneven, effortUneven},
	{FirstShoeSame, firstShoeSame},
	{CarryOver, carryOver},
	{PlanMissing, planMissing},
	{SensorChanged, sensorChanged},
	{ConditionsChanged, conditionsChanged},
	{WearApart, wearApart},
	{SizeDiffers, sizeDiffers},
	{OneRunner, oneRunner},
	{MassMissing, massMissing},
	{LabelsAlike, labelsAlike},
	{DateImplausible, dateImplausible},
	{CellFormula, cellFormula},
}

// datasetWords says the same rules in words, in the same order.
var datasetWords = []Rule{
	{
		Slug:  ShoesUnlinked,
		Title: "shoes without a common session", Brief: "shoes that share no session, even through other shoes",
		Severities: []trial.Severity{trial.Warn},
		Measures: "whether the shoes run at one effort and target are linked, directly or through others, by " +
			"common sessions",
		Limit:  "one group at each effort and target",
		Source: "without a common session a fast shoe and a good day look the same (arithmetic)",
		Fix:    "run a session with a shoe of each group",
		Hint:   "they are not compared; run one shoe of each group in the same session",
	},
	{
		Slug:  ReferenceNotRun,
		Title: "reference never run", Brief: "a reference shoe without blocks",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "whether method.reference, or the first shoe of the register, has a block that is compared",
		Limit:      "at least one",
		Source:     "rankings and forecasts are against that shoe",
		Fix:        "run it, or name another shoe in method.reference",
		Hint:       "run it, or name another in method.reference",
	},
	{
		Slug:  RecordingTwice,
		Title: "same recording twice", Brief: "one recording counted twice", Severities: []trial.Severity{trial.Stop},
		Measures: "equal source_sha256, or equal content, of two recordings",
		Limit:    "none allowed; the blocks of the later one are excluded",
		Source:   "a run that counts twice makes every interval too narrow (arithmetic)",
		Fix:      "remove one of the two, or import the file that belongs there",
		Hint:     "one run counts once: remove one of the two, or import the right file",
	},
	{
		Slug:  EffortUneven,
		Title: "effort differs between shoes", Brief: "one shoe run harder than another",
		Severities: []trial.Severity{trial.Warn},
		Measures: "by how much unequal effort changes the difference of two shoes, for the two furthest apart. It is " +
			"the mean difference of ln(held/target) over the sessions that have both, times the exponent " +
			"(method.prior.exponents)",
		Limit:  "half of method.worthwhile_pct",
		Source: engineering + "; the correction to equal effort is trusted for small differences only",
		Fix: "the answer corrects for it and says by how much. Hold the effort more closely, or follow a pacer who " +
			"does not know which shoe it is",
		Hint: "the answer corrects for it; hold the effort closer to its target, so that less depends on the " +
			"correction",
	},
	{
		Slug:  FirstShoeSame,
		Title: "same shoe first in every session", Brief: "one shoe that is always run first",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "the shoe of the first compared block of the sessions at one kind of effort with two shoes or more",
		Limit:      "not the same in all of two sessions or more",
		Source: "legs are fresh and cold in the first block, which looks like an effect of a shoe that is always " +
			"first (common practice, no source)",
		Fix:  "begin the next session in another shoe; plan draws the order",
		Hint: "fresh or cold legs then look like an effect of that shoe: begin the next session in another one",
	},
	{
		Slug:  CarryOver,
		Title: "carry-over", Brief: "an effect of one block on the next",
		Severities: []trial.Severity{trial.Warn, trial.Note},
		Measures: "the outcome at equal effort: the first block after a change of shoe against the next block in the " +
			"same shoe (from 4 such pairs). With three shoes or more also whether a change into a shoe was " +
			"always from the same other shoe (from 3 changes)",
		Limit: "half of method.worthwhile_pct, and a 95 % interval that excludes 0; another shoe before it at " +
			"least once",
		Source: "carry-over from one period to the next (Senn 2002, Cross-over Trials in Clinical Research, " +
			"chapter 3, from memory); the limits are engineering choices",
		Fix:  "rest longer and trim more at the start of a block; draw orders in which every shoe follows every other",
		Hint: "rest longer after a change, and let every shoe follow every other",
	},
	{
		Slug:  PlanMissing,
		Title: "plan missing", Brief: "sessions without a plan", Severities: []trial.Severity{trial.Note},
		Measures: "compared sessions without a plan.yaml",
		Limit:    "every session",
		Source: "order and outcome are set in advance (CENT 2015, doi 10.1136/bmj.h1738, " +
			"items 6a and 8a from memory)",
		Fix:  "write the plan and commit it before the run; it cannot be added afterwards",
		Hint: "an order that was committed before the run cannot have been chosen to favour a shoe",
	},
	{
		Slug:  SensorChanged,
		Title: "different sensor, mount or calibration", Brief: "another sensor, another place or a new calibration",
		Severities: []trial.Severity{trial.Note},
		Measures:   "device, mount and calibration of the recordings of compared sessions at one kind of effort",
		Limit:      "one kind",
		Source:     sessionsNote,
		Fix:        "keep the sensor and its place; write its calibration beside the recording in session.yaml",
		Hint:       "shoes are compared within sessions, so this does no harm alone; calibrate each sensor alike",
	},
	{
		Slug:  ConditionsChanged,
		Title: "conditions changed between sessions", Brief: "sessions in different air or wind, or on different " +
			"ground",
		Severities: []trial.Severity{trial.Note},
		Measures:   "air temperature, wind and surface of compared sessions at one kind of effort",
		Limit:      "{air_apart_c} °C; {wind_apart_mps} m/s; one surface",
		Source:     sessionsNote,
		Fix:        "look at the sessions one by one: a shoe may be better in some conditions only",
		Hint: "shoes are compared within sessions; a difference that depends on conditions shows as one " +
			"that varies from session to session",
	},
	{
		Slug:  WearApart,
		Title: "wear far apart", Brief: "pairs worn very differently", Severities: []trial.Severity{trial.Note},
		Measures: "worn_km of the shoes that are compared",
		Limit:    "{wear_apart_km} km",
		Source:   engineering,
		Fix:      "compare pairs with similar wear, or say that the answer is about these pairs as they are",
		Hint:     "the comparison is of these pairs as they are, not of the models; compare pairs with similar wear",
	},
	{
		Slug:  SizeDiffers,
		Title: "sizes differ", Brief: "pairs of different size", Severities: []trial.Severity{trial.Note},
		Measures: "size_eu of the shoes that are compared",
		Limit:    "one size",
		Source: "mass depends on size (common practice, no source); no exact conversion between size systems " +
			"exists (ISO 19407)",
		Fix:  "compare the same size where it fits; weigh every pair as worn",
		Hint: "mass and fit depend on size; compare shoes in the same size where they fit",
	},
	{
		Slug:  OneRunner,
		Title: "one runner only", Brief: "an answer for one person", Severities: []trial.Severity{trial.Note},
		Measures: "the runners of the compared sessions",
		Limit:    "two runners, for an answer about more than one person",
		Source:   "a trial of one person answers for that person (CENT 2015, doi 10.1136/bmj.h1738)",
		Fix:      "say so where you publish; pool with others who ran the same shoes",
		Hint:     "the answer holds for that runner; runners differ in what a shoe does for them",
	},
	{
		Slug:  MassMissing,
		Title: "shoe mass missing", Brief: "a shoe that was not weighed", Severities: []trial.Severity{trial.Warn},
		Measures: "shoes that are compared and have no mass_g",
		Limit:    "every shoe that is compared",
		Source: "about 1 % per 100 g per shoe (Frederick 1984; Franz 2012, doi 10.1249/MSS.0b013e3182514a88): " +
			"without the mass, the part of weight is not known",
		Fix:  "weigh both shoes of the pair as worn, write the mean into shoes.csv",
		Hint: "weigh both shoes of the pair as worn and write the mean into shoes.csv",
	},
	{
		Slug:  LabelsAlike,
		Title: "labels that look the same", Brief: "two shoes, runners or venues under one name",
		Severities: []trial.Severity{trial.Warn},
		Measures: "labels of a register that are equal but for capitals, spaces and characters that are not seen " +
			"(zero-width spaces, marks of writing direction)",
		Limit:  "every label once",
		Source: "nobody can say which of two rows under one name is meant, in a table or a figure (arithmetic)",
		Fix:    "give one of them another label, such as the year of the pair",
		Hint:   "in tables and figures they look the same: change one label",
	},
	{
		Slug:  DateImplausible,
		Title: "date implausible", Brief: "a date that looks mistyped", Severities: []trial.Severity{trial.Warn},
		Measures: "a session's date against the date that its name begins with, and against those of the other " +
			"sessions",
		Limit: "the same day as in the name; years from 2000 to 2099; another session within 5 years",
		Source: engineering + ": two digits of a year that change places, or a clock that was never set, go " +
			"further than that",
		Fix:  "correct date in session.yaml, or rename the session's folder",
		Hint: "correct date in session.yaml, or rename the session's folder",
	},
	{
		Slug:  CellFormula,
		Title: "text that a spreadsheet runs", Brief: "a cell that a spreadsheet takes for a formula",
		Severities: []trial.Severity{trial.Note},
		Measures:   "labels, notes, reasons and other texts in CSV files that begin with =, +, - or @",
		Limit:      "none",
		Source: "spreadsheets take such a cell for a formula (common practice; the signs are those that the OWASP " +
			"page on CSV injection lists, from memory)",
		Fix:  "begin the text with a word",
		Hint: "a spreadsheet runs it or shows an error: begin the text with a word",
	},
}
