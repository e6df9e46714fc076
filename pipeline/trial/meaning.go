package trial

import (
	"cmp"
	"fmt"
	"reflect"
	"strings"
)

// defaultMark stands in a meaning for the default of the key, which is written in
// [DefaultMethod] and [DefaultLimits] only.
const defaultMark = "{default}"

// Meaning says what a key of a YAML file means, its default included, for the
// template of dataset.yaml and the JSON Schemas. Holder is the struct type that the
// key is a field of, such as [Limits]. It is "" for a key that there is none of.
func Meaning(holder reflect.Type, key string) string {
	text := cmp.Or(meanings[holder.Name()+"."+key], fieldLogMeanings[holder.Name()+"."+key])
	if !strings.Contains(text, defaultMark) {
		return text
	}
	return strings.ReplaceAll(text, defaultMark, defaultOf(holder, key))
}

// defaultOf writes the default of a key of a struct type that has defaults.
func defaultOf(holder reflect.Type, key string) string {
	method := DefaultMethod()
	for _, defaults := range []any{method, method.Trim, method.Prior, DefaultLimits()} {
		values := reflect.ValueOf(defaults)
		for i := range values.NumField() {
			if values.Type() == holder && KeyOf(holder.Field(i)) == key {
				return fmt.Sprint(values.Field(i))
			}
		}
	}
	return ""
}

// KeyOf returns the key that a struct field has in a YAML file.
func KeyOf(field reflect.StructField) string {
	key, _, _ := strings.Cut(field.Tag.Get("json"), ",")
	return key
}

// meanings is what every key means, by the name of the struct that holds it and the
// key. A key is a field of a struct and a line here.
var meanings = map[string]string{
	"DatasetFacts.title":       "One line that names the dataset.",
	"DatasetFacts.description": "What was tried, by whom, and for what question.",
	"DatasetFacts.invented": "True when the data are made up (a demonstration); every page and table " +
		"heading then says so.",
	"DatasetFacts.licence":  "SPDX identifier of the licence of the data, such as CC-BY-4.0.",
	"DatasetFacts.keywords": "Words that people would search for to find such data.",
	"DatasetFacts.version": "Version of the data, such as 1.0.0, for those who cite it. Without it a version is " +
		"named by " +
		"the hash of its files.",
	"DatasetFacts.doi": "Digital object identifier that an archive gave to the dataset, such as " +
		"10.5281/zenodo.1234567, without an address before it.",
	"DatasetFacts.contributors": "Who made the data: a name each, or `name`, `role` and `orcid`.",
	"DatasetFacts.site_url": "Address of the folder of the site, with a slash at its end. The site works without; " +
		"with it, the feed and the citation name it.",
	"DatasetFacts.disclosure": "How the shoes were obtained and any tie to those who sell them.",
	"DatasetFacts.method":     "How blocks are cut and shoes compared.",
	"DatasetFacts.limits":     "Limits of the quality rules; each has a default.",
	"DatasetFacts.imports":    "Column maps remembered by import, one for each device whose CSV needs one.",

	"Contributor.name": "Name or pseudonym.",
	"Contributor.role": "What they did: runner, timekeeper, analysis.",
	"Contributor.orcid": "Their ORCID iD, 16 digits such as 0000-0002-1825-0097, the last of which checks the others " +
		"and may be X.",

	"Method.reference": "Shoe id that the others are compared with; by default the first id of shoes.csv.",
	"Method.primary": "Outcome that decides. By default it follows from the effort: power or heart rate " +
		"held -> speed, pace held -> heart_rate.",
	"Method.trim": "Seconds trimmed at both ends of every block.",
	"Method.power_exponent": "Fixes the exponent of speed at the same power, k in ln(speed) - k ln(held/target); 0 " +
		"switches the correction off. By default it is estimated (prior.exponents).",
	"Method.confidence": "Confidence level of the intervals. Default {default}.",
	"Method.drift":      "Whether a straight drift over the session is removed. Default {default}.",
	"Method.worthwhile_pct": "Smallest difference that would matter to the runner, percent. Default " +
		"{default}: 0.3 times a race-to-race variation of 2.5 % (Hopkins & Hewson 2001).",
	"Method.weight_pct_per_100g": "Energy cost of 100 g more on each shoe, percent. Default {default} " +
		"(Frederick 1984; Franz 2012; Hoogkamer 2016).",
	"Method.channels": "Which device each channel is taken from, such as power_w: foot_sensor. Otherwise the " +
		"first recording listed that has the channel.",
	"Method.races": "Races to forecast: a distance and the time expected in the reference shoe.",

	"Method.headline": "Effort whose answer is shown at the top. By default the one with most sessions.",
	"Method.sensor_by_shoe_pct": "How much a sensor on the shoe may read differently from shoe to shoe, " +
		"percent (one standard deviation). Default {default}, an engineering choice.",
	"Method.prior": "What the decision assumes of such trials in general before it sees a block. Every " +
		"number is an engineering choice.",

	"Prior.block_pct": "How much steady blocks of one shoe differ within a session, percent; 0.5 to 1.5 is usual.",
	"Prior.block_df": "How much weight block_pct has, in blocks. Default {default}: " +
		"a handful of blocks overrules it.",
	"Prior.day_pct":    "How much the effect of a shoe varies from day to day, percent.",
	"Prior.runner_pct": "How much the effect of a shoe varies between runners, percent. Default {default}.",
	"Prior.drift_pct_per_h": "How fast an outcome may drift over a session, percent per hour. The second " +
		"holds where heart rate is held or compared.",
	"Prior.exponents": "By how many percent the outcome follows 1 % more effort, for each pair of what was " +
		"held and what is compared.",
	"PriorByOutcome.speed":       "For speed.",
	"PriorByOutcome.heart_rate":  "For heart rate.",
	"PriorExponents.power_speed": "Power held, speed compared. Published cost-speed curves give 0.69 to 1.07.",
	"PriorExponents.pace_heart_rate": "Pace held, heart rate compared. Near threshold heart rate rises by " +
		"about 0.7 % for 1 % more speed.",
	"PriorExponents.heart_rate_speed": "Heart rate held, speed compared: the other way round.",
	"PriorExponents.power_heart_rate": "Power held, heart rate compared, which is a check.",
	"PriorExponent.mean":              "The exponent.",
	"PriorExponent.sd":                "How far it may be off (one standard deviation); 0 fixes it.",

	"Trim.head_s": "Trimmed at the start. Default {default}.",
	"Trim.tail_s": "Trimmed at the end. Default {default}.",
	"Trim.heart_rate_head_s": "Trimmed at the start for heart rate, which needs longer to settle. Default " +
		"{default} (Hunt 2015: tau 57.6 s).",
	"Trim.laps": "Write whole to cut each block to the whole laps after its start, so that wind and bends cancel. " +
		"Needs the lap of the venue; seconds otherwise.",

	"Race.distance_m": "Distance in metres.",
	"Race.time":       "Time expected in the reference shoe, h:mm:ss.",

	"ImportMap.device":  "The name given with --device.",
	"ImportMap.columns": "Channel (such as power_w) to column heading.",

	"SessionFacts.date": "Local date, YYYY-MM-DD.",
	"SessionFacts.start": "Clock time at which the session clock reads 0: HH:MM or HH:MM:SS, with an " +
		"offset such as +02:00 where known.",
	"SessionFacts.runner":     "Id from runners.csv; may be blank when there is only one runner.",
	"SessionFacts.venue":      "Id from venues.csv.",
	"SessionFacts.effort":     "What was held.",
	"SessionFacts.target":     "Watts, beats per minute, or a pace such as 4:30.",
	"SessionFacts.protocol":   "How the session was meant to be run.",
	"SessionFacts.conditions": "Weather and ground.",
	"SessionFacts.recordings": "The recordings beside this file; import writes them.",
	"SessionFacts.overrides":  "Stops that are overridden, each with a reason.",
	"SessionFacts.deviations": "What was not as planned.",
	"SessionFacts.notes":      "Anything else a reader should know.",

	"Protocol.block_s":   "Length of a block, seconds.",
	"Protocol.rest_s":    "Rest between blocks, seconds.",
	"Protocol.warm_up_s": "Warm-up before the first block, seconds.",
	"Protocol.display":   "What the runner could see while running.",
	"Protocol.sensor":    "Where the sensor was worn, and whether it moved between shoes.",

	"Conditions.air_c":        "Air temperature, degrees Celsius.",
	"Conditions.humidity_pct": "Relative humidity, percent.",
	"Conditions.pressure_hpa": "Air pressure at the venue, hPa.",
	"Conditions.wind_mps":     "Wind speed, m/s.",
	"Conditions.wbgt_c":       "Wet-bulb globe temperature, degrees Celsius.",
	"Conditions.sky":          "Sun, cloud, rain.",
	"Conditions.surface":      "Dry, damp, wet; soft, hard.",

	"RecordingFact.file":   "File name beside session.yaml.",
	"RecordingFact.device": "What recorded it, in words such as foot_sensor or watch.",
	"RecordingFact.mount":  "Where it was worn.",
	"RecordingFact.calibration": "To what the sensor was calibrated, and when; one that changes between " +
		"sessions is noted.",
	"RecordingFact.offset_s":      "Added to elapsed_s to give session time. Default 0.",
	"RecordingFact.source_sha256": "SHA-256 of the file it was imported from.",
	"RecordingFact.source_format": "Format of the file it was imported from.",

	"Override.rule":   "The rule's name.",
	"Override.block":  "The block; blank for the whole session.",
	"Override.reason": "Why it is overridden; shown beside every result.",

	"Limits.gap_s":             "Longest time between two samples that is not a gap, seconds. Default {default}.",
	"Limits.coverage_pct":      "Least share of the steady window with valid samples, percent. Default {default}.",
	"Limits.coverage_stop_pct": "Below this share the block is excluded. Default {default}.",
	"Limits.block_min_s":       "Shortest useful block, seconds. Default {default}.",
	"Limits.window_min_s": "Shortest steady window, seconds; below it the block is excluded. Default " +
		"{default}.",
	"Limits.effort_off_pct":      "The effort may differ from its target by this much, percent. Default {default}.",
	"Limits.effort_off_stop_pct": "Beyond this the block is excluded, percent. Default {default}.",
	"Limits.step_product_pct": "Cadence times step length may differ from speed by this much, percent. " +
		"Default {default}; rounding explains 0.7.",
	"Limits.step_product_stop_pct": "Beyond this the block is excluded, percent. Default {default}.",
	"Limits.order_correlation": "Correlation between a shoe and the clock beyond which tiredness could pass for a " +
		"shoe effect. Default {default}.",
	"Limits.frozen_s": "Longest time a channel may read the same number within a block, seconds. Default {default}.",
	"Limits.frozen_coarse_s": "The same for cadence, step length and heart rate, which come in coarse " +
		"steps. Default {default}.",
	"Limits.spike_pct": "A single sample may differ from both its neighbours by this much, percent. Default " +
		"{default}.",
	"Limits.speed_distance_pct": "Recorded distance per second may differ from recorded speed by this " +
		"much, percent. Default {default}.",
	"Limits.ground_distance_pct": "Recorded distance may differ from the ground by this much, percent. " +
		"Default {default}; running 1 m wide explains 1.6.",
	"Limits.ground_distance_stop_pct": "Beyond this the block is excluded, percent. Default {default}.",
	"Limits.effort_variation_pct": "The effort may vary within the steady window by this much (coefficient of " +
		"variation), percent. Default {default}.",
	"Limits.effort_change_pct": "The effort may change along a straight line over the steady window by this much, " +
		"percent. Default {default}.",
	"Limits.heart_slope_bpm_min": "Heart rate may still rise or fall by this much at the end of the window, " +
		"bpm per minute. Default {default}; a first-order response gives 1.8 after 180 s (Hunt 2015).",
	"Limits.sensor_between_pct": "A sensor check may differ between two shoes of a session by this much, " +
		"percent. Default {default}.",
	"Limits.balance_ratio": "In a session, the shoe with most blocks has fewer than this many times those of the " +
		"shoe with fewest. Default {default}.",
	"Limits.rest_apart_s": "Rests of a session may differ by this much, seconds. Default {default}.",
	"Limits.warm_up_s":    "Shortest warm-up before the first block, seconds. Default {default}.",
	"Limits.heat_wbgt_c": "Wet-bulb globe temperature from which heat is noted. Default {default} (ACSM " +
		"2007: risk begins to rise).",
	"Limits.heat_wbgt_warn_c": "Wet-bulb globe temperature from which there is a warning. Default {default} (ACSM " +
		"2007: risk is raised for everyone).",
	"Limits.heat_air_c": "Air temperature from which heat is noted where no wet-bulb globe temperature " +
		"was measured. Default {default}.",
	"Limits.wind_mps": "Wind from which there is a warning, m/s. Default {default}.",
	"Limits.air_apart_c": "Air temperature may differ between sessions by this much, degrees Celsius. " +
		"Default {default}.",
	"Limits.air_within_c": "Air temperature may differ between blocks of a session by this much, degrees " +
		"Celsius. Default {default}.",
	"Limits.wind_apart_mps": "Wind may differ between sessions by this much, m/s. Default {default}.",
	"Limits.wear_apart_km":  "Distance worn before may differ between shoes by this much, km. Default {default}.",
	"Limits.ranges":         "Plausible ranges by channel, each with warn and stop.",

	"Range.warn": "Low and high of what is usual.",
	"Range.stop": "Low and high of what is possible.",

	"PlanFacts.shoes":     "Ids of the shoes that are compared, from shoes.csv.",
	"PlanFacts.order":     "The shoe of every block, in the order of the run.",
	"PlanFacts.effort":    "What is to be held.",
	"PlanFacts.target":    "Watts, beats per minute, or a pace such as 4:30.",
	"PlanFacts.block_s":   "Length of every block, seconds.",
	"PlanFacts.rest_s":    "Rest between blocks, seconds.",
	"PlanFacts.warm_up_s": "Warm-up before the first block, seconds.",
	"PlanFacts.start": "Time at which the warm-up is to start, HH:MM, by the clock on the wall at the " +
		"venue; no zone is assumed.",
	"PlanFacts.draw":  "How the order was drawn, so that the orders it was drawn from can be listed again.",
	"PlanFacts.rules": "What was decided in advance about the analysis.",
	"PlanFacts.aim":   "When to stop, decided in advance; the answer says whether it was kept.",

	"PlanAim.width_pct": "Whole width of the 95 % interval of the leading shoe against the second, percent.",
	"PlanAim.sessions":  "How many sessions at this effort to stop after.",

	"PlanDraw.seed":       "Seed of the draw (PCG of Go's math/rand/v2).",
	"PlanDraw.place":      "Which of the orders was drawn, from 1, in lexicographic order of the shoes as listed.",
	"PlanDraw.orders":     "How many orders it was drawn from, each as likely as the other.",
	"PlanDraw.considered": "How many orders were scored to find them.",
	"PlanDraw.candidates": "Whether those were all orders there are, or a sample drawn by the seed " +
		"because there are too many to try all. Balanced: those with the closest mean places of the shoes were taken " +
		"first. Even: those with the narrowest interval first.",
	"PlanDraw.earlier": "The shoes of each earlier session, separated by spaces; the orders even them out.",

	"PlanRules.reference":      "Shoe that the others are compared with.",
	"PlanRules.primary":        "Outcome that decides.",
	"PlanRules.trim":           "Seconds trimmed at both ends of every block.",
	"PlanRules.power_exponent": "Exponent k of the correction to equal effort.",
	"PlanRules.confidence":     "Confidence level of the intervals.",
	"PlanRules.drift":          "Whether a straight drift over the session is removed.",
	"PlanRules.worthwhile_pct": "Smallest difference that would matter, percent.",
}
