package quality

import (
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

var sessionCases = []ruleCase{
	{"blocks-unbalanced", "A B B", func(w *fixture) { w.order("ABB") }, trial.Note, "", 2, 2},
	{"blocks-unbalanced", "A B B B with a block of B left out",
		func(w *fixture) { w.order("ABBB"); w.block(3).Excluded = true }, trial.Note, "", 2, 2},
	{"blocks-unbalanced", "A B B by a limit of 2.5", func(w *fixture) { w.order("ABB"); w.limits().BalanceRatio = 2.5 },
		"", "", none, none},
	{"blocks-unbalanced", "one of each", func(w *fixture) { w.order("ABC") }, "", "", none, none},
	{"blocks-unbalanced", "equal numbers by a limit of 1", func(w *fixture) { w.limits().BalanceRatio = 1 }, "", "",
		none, none},
	{"blocks-unbalanced", "no blocks", func(w *fixture) { w.order("") }, "", "", none, none},
	{"rest-unequal", "61 s apart", func(w *fixture) { w.block(1).Start -= 61 }, trial.Note, "", 61, 60},
	{"rest-unequal", "60 s apart", func(w *fixture) { w.block(1).Start -= 60 }, "", "", none, none},
	{"rest-unequal", "times that nobody wrote down", func(w *fixture) {
		w.recordings = nil
		w.block(1).Start, w.block(1).End = none, none
	}, "", "", none, none},
	{"block-none", "neither blocks nor a plan", func(w *fixture) { w.order(""); w.session().Plan = nil }, trial.Warn,
		"", 0, 1},
	{"block-none", "planned and not run yet", func(w *fixture) { w.order("") }, "", "", none, none},
	{"air-changing", "4 °C warmer in the last block", func(w *fixture) { w.air(15); w.fill(3, trial.AirC, 19) },
		trial.Note, "", 4, 3},
	{"air-changing", "3 °C warmer in the last block", func(w *fixture) { w.air(15); w.fill(3, trial.AirC, 18) }, "", "",
		none, none},
	{"air-changing", "warmer in a block that was left out",
		func(w *fixture) { w.air(15); w.fill(3, trial.AirC, 25); w.block(3).Excluded = true }, "", "", none, none},
	{"air-changing", "known in one block only", func(w *fixture) { w.air(none); w.fill(3, trial.AirC, 25) }, "", "",
		none, none},
	{"warm-up-short", "299 s", func(w *fixture) { w.facts().Protocol.WarmUpS = 299 }, trial.Note, "", 299, 300},
	{"warm-up-short", "nothing written down, 120 s recorded", func(w *fixture) { w.facts().Protocol.WarmUpS = none },
		trial.Note, "", 120, 300},
	{"warm-up-short", "300 s", func(w *fixture) { w.facts().Protocol.WarmUpS = 300 }, "", "", none, none},
	{"warm-up-short", "nothing written down, 300 s recorded", func(w *fixture) {
		w.facts().Protocol.WarmUpS, w.recordings[0].Fact.OffsetS = none, -180
	}, "", "", none, none},
	{"warm-up-short", "nothing written down, nothing recorded",
		func(w *fixture) { w.facts().Protocol.WarmUpS, w.recordings = none, nil }, "", "", none, none},
	{"heat-caution", "risk begins to rise", func(w *fixture) { w.facts().Conditions.WbgtC = 18.4 }, trial.Note, "",
		18.4, 18.4},
	{"heat-caution", "risk is raised", func(w *fixture) { w.facts().Conditions.WbgtC = 22.3 }, trial.Warn, "", 22.3,
		22.3},
	{"heat-caution", "25 °C and no globe", func(w *fixture) { w.facts().Conditions.AirC = 25 }, trial.Note, "", 25, 25},
	{"heat-caution", "18.3 °C", func(w *fixture) { w.facts().Conditions.WbgtC = 18.3 }, "", "", none, none},
	{"heat-caution", "30 °C of dry air that the globe finds cool",
		func(w *fixture) { w.facts().Conditions.AirC, w.facts().Conditions.WbgtC = 30, 18 }, "", "", none, none},
	{"heat-caution", "24.9 °C and no globe", func(w *fixture) { w.facts().Conditions.AirC = 24.9 }, "", "", none, none},
	{"wind-strong", "3 m/s", func(w *fixture) { w.facts().Conditions.WindMps = 3 }, trial.Warn, "", 3, 3},
	{"wind-strong", "2.9 m/s", func(w *fixture) { w.facts().Conditions.WindMps = 2.9 }, "", "", none, none},
	{"wind-strong", "nobody measured", func(w *fixture) { w.facts().Conditions.WindMps = none }, "", "", none, none},
	{"plan-departed", "another order", func(w *fixture) {
		w.planned()
		w.session().Plan.Order = []string{"birch",
			"alder", "alder", "birch"}
	}, trial.Warn, "", 4, 4},
	{"plan-departed", "a block longer by more than a tenth", func(w *fixture) { w.planned(); w.block(3).End += 33.5 },
		trial.Note, "4", 363.5, 330},
	{"plan-departed", "a block longer by a tenth", func(w *fixture) { w.planned(); w.block(3).End += 33 }, "", "", none,
		none},
	{"plan-departed", "another head of the trim",
		func(w *fixture) { w.planned(); w.session().Plan.Rules.Trim.HeadS = 90 }, trial.Note, "", none, none},
	{"plan-departed", "another target in one block", func(w *fixture) { w.planned(); w.block(2).Target = 255 },
		trial.Note, "3", 255, 250},
	{"plan-departed", "as planned", func(w *fixture) { w.planned() }, "", "", none, none},
	{"plan-departed", "planned and not run yet", func(w *fixture) { w.planned(); w.session().Blocks = nil }, "", "",
		none, none},
	{"plan-departed", "no plan", func(w *fixture) { w.session().Plan = nil }, "", "", none, none},
	{"deviation-listed", "one", func(w *fixture) { w.facts().Deviations = []string{"Lane 2 for a lap."} }, trial.Note,
		"", 1, 0},
	{"deviation-listed", "a note is no deviation", func(w *fixture) { w.facts().Notes = "Lane 2 for a lap." }, "", "",
		none, none},
}

var datasetCases = []ruleCase{
	{"mass-missing", "a shoe that was run once", func(w *fixture) {
		w.ds.Shoes[2].MassG, w.ds.Shoes[2].At = units.Missing, trial.Position{File: "shoes.csv", Line: 4, Column: 1}
		w.block(3).Shoe = "cedar"
	}, trial.Warn, "", none, none},
	{"shoes-unlinked", "each session a shoe of its own",
		func(w *fixture) { w.order("AA"); w.other().Blocks = lined("BB") }, trial.Warn, "", 2, 1},
	{"shoes-unlinked", "two groups", func(w *fixture) { w.order("AA"); w.other().Blocks = lined("BCB") }, trial.Warn,
		"", 2, 1},
	{"shoes-unlinked", "the block that linked was left out", func(w *fixture) {
		w.order("AAB")
		w.block(2).Excluded = true
		w.other().Blocks = lined("BB")
	}, trial.Warn, "", 2, 1},
	{"shoes-unlinked", "linked through a third", func(w *fixture) { w.order("AC"); w.other().Blocks = lined("CB") }, "",
		"", none, none},
	{"shoes-unlinked", "at different targets", func(w *fixture) {
		w.order("AA")
		w.other().Blocks = lined("BB")
		for i := range w.other().Blocks {
			w.other().Blocks[i].Target = 300
		}
	}, "", "", none, none},
	{"reference-not-run", "named and not run", func(w *fixture) { w.ds.Facts.Method.Reference = "cedar" }, trial.Warn,
		"", none, none},
	{"reference-not-run", "first of the register and not run",
		func(w *fixture) { w.order("BC"); w.other().Blocks = lined("BC") }, trial.Warn, "", none, none},
	{"reference-not-run", "named and run", func(w *fixture) { w.ds.Facts.Method.Reference = "birch" }, "", "", none,
		none},
	{"reference-not-run", "nothing was run", func(w *fixture) {
		w.ds.Facts.Method.Reference, w.session().Blocks, w.other().Blocks = "cedar", nil, nil
	}, "", "", none, none},
	{"recording-twice", "the same original", func(w *fixture) {
		w.facts().Recordings[0].SourceSha256, w.other().Facts.Recordings[0].SourceSha256 = "aa", "aa"
		w.content = map[string]string{"sessions/monday/pod.csv": "11", "sessions/tuesday/pod.csv": "22"}
	}, trial.Stop, "", none, none},
	{"recording-twice", "the same content", func(w *fixture) {
		w.content = map[string]string{"sessions/monday/pod.csv": "11", "sessions/tuesday/pod.csv": "11"}
	}, trial.Stop, "", none, none},
	{"recording-twice", "the same of both in one session", func(w *fixture) {
		w.facts().Recordings = []trial.RecordingFact{{File: "pod.csv", SourceSha256: "aa"},
			{File: "watch.csv", SourceSha256: "aa"}}
		w.content = map[string]string{"sessions/monday/pod.csv": "11", "sessions/monday/watch.csv": "11"}
	}, trial.Stop, "", none, none},
	{"recording-twice", "of one the original is not known, of the other the content", func(w *fixture) {
		w.facts().Recordings[0].SourceSha256 = "aa"
		w.content = map[string]string{"sessions/tuesday/pod.csv": "22"}
	}, "", "", none, none},
	{"recording-twice", "two of one day", func(w *fixture) {
		w.facts().Recordings = []trial.RecordingFact{{File: "pod.csv", SourceSha256: "aa"},
			{File: "watch.csv", SourceSha256: "bb"}}
		w.content = map[string]string{"sessions/monday/pod.csv": "11", "sessions/monday/watch.csv": "22"}
	}, "", "", none, none},
	{"plan-missing", "one of two", func(w *fixture) { w.other().Plan = nil }, trial.Note, "", 1, 0},
	{"plan-missing", "a session of which nothing is compared",
		func(w *fixture) { w.session().Plan, w.session().Blocks = nil, nil }, "", "", none, none},
	{"sensor-changed", "another device", func(w *fixture) { w.other().Facts.Recordings[0].Device = "watch" },
		trial.Note, "", 2, 1},
	{"sensor-changed", "another place", func(w *fixture) { w.other().Facts.Recordings[0].Mount = "right shoe" },
		trial.Note, "", 2, 1},
	{"sensor-changed", "calibrated anew", func(w *fixture) {
		w.facts().Recordings[0].Calibration, w.other().Facts.Recordings[0].Calibration = "on 400 m in March",
			"on 400 m in May"
	}, trial.Note, "", 2, 1},
	{"sensor-changed", "at another effort", func(w *fixture) {
		w.other().Facts.Recordings[0].Device, w.other().Facts.Effort = "watch", "pace"
	}, "", "", none, none},
	{"sensor-changed", "a session without recordings", func(w *fixture) { w.other().Facts.Recordings = nil }, "", "",
		none, none},
	{"conditions-changed", "11 °C warmer", func(w *fixture) { w.other().Facts.Conditions.AirC = 26 }, trial.Note, "",
		11, 10},
	{"conditions-changed", "2.5 m/s more wind", func(w *fixture) { w.other().Facts.Conditions.WindMps = 3.5 },
		trial.Note, "", 2.5, 2},
	{"conditions-changed", "wet ground", func(w *fixture) { w.other().Facts.Conditions.Surface = "wet" }, trial.Note,
		"", 2, 1},
	{"conditions-changed", "10 °C warmer, 2 m/s more wind, dry spelled otherwise", func(w *fixture) {
		w.other().Facts.Conditions = trial.Conditions{AirC: 25, WindMps: 3, Surface: " Dry"}
	}, "", "", none, none},
	{"conditions-changed", "nothing written down", func(w *fixture) {
		w.other().Facts.Conditions = trial.Conditions{AirC: none, WindMps: none}
	}, "", "", none, none},
	{"conditions-changed", "at another effort", func(w *fixture) {
		w.other().Facts.Conditions.AirC, w.other().Facts.Effort = 30, "heart_rate"
	}, "", "", none, none},
	{"wear-apart", "301 km", func(w *fixture) { w.ds.Shoes[1].WornKm = 301 }, trial.Note, "", 301, 300},
	{"wear-apart", "300 km", func(w *fixture) { w.ds.Shoes[1].WornKm = 300 }, "", "", none, none},
	{"wear-apart", "a shoe that was not run", func(w *fixture) { w.ds.Shoes[2].WornKm = 900 }, "", "", none, none},
	{"size-differs", "half a size", func(w *fixture) { w.ds.Shoes[0].SizeEU, w.ds.Shoes[1].SizeEU = 42.5, 43 },
		trial.Note, "", 0.5, 0},
	{"size-differs", "a size that nobody wrote down",
		func(w *fixture) { w.ds.Shoes[0].SizeEU, w.ds.Shoes[1].SizeEU = 43, units.Missing }, "", "", none, none},
	{"size-differs", "a shoe that was not run", func(w *fixture) { w.ds.Shoes[2].SizeEU = 45 }, "", "", none, none},
	{"one-runner", "both sessions by one", func(w *fixture) { w.other().Facts.Runner = "one" }, trial.Note, "", 1, 2},
	{"one-runner", "the other one's blocks are not compared", func(w *fixture) { w.other().Blocks = nil }, trial.Note,
		"", 1, 2},
	{"one-runner", "one runner in one shoe", func(w *fixture) { w.other().Blocks = nil; w.order("AAAA") }, "", "", none,
		none},
}
