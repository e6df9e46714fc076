package cli

import (
	"errors"
	"io/fs"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/report"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/checksum"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/pool"
	"soletrial/pipeline/trial"
)

// poolOptions are the flags of pool.
type poolOptions struct {
	outcome, effort, reference string
	verify                     bool
}

// The derived tables that pooling reads: the decisions, and the comparisons for an outcome
// that no decision was made in.
const (
	decisionsFile   = dataset.DerivedFolder + "/decisions.csv"
	comparisonsFile = dataset.DerivedFolder + "/comparisons.csv"
)

// poolConfidence is the level of the pooled intervals, and of the runners' own
// beside them, whatever each dataset chose.
const poolConfidence = 0.95

func (a *app) poolCommand() *cobra.Command {
	var o poolOptions
	c := &cobra.Command{
		Use: "pool FOLDER...", Args: cobra.ArbitraryArgs,
		Short: "pool the answers of several datasets, one runner each",
		Long: "pool takes the derived tables of several datasets, one runner each, and gives one\n" +
			"answer. It prints every runner's own estimate, the mean over runners, what a new\n" +
			"runner may expect, and how much runners differ. It reads dataset.yaml, shoes.csv,\n" +
			"derived/decisions.csv and derived/comparisons.csv of each, and writes nothing.",
		Example: "  soletrial pool ada ben\n" +
			"  soletrial pool ada ben --outcome heart_rate --reference quenby",
		RunE: func(_ *cobra.Command, folders []string) error { return a.pool(o, folders) },
	}
	f := c.Flags()
	f.StringVar(&o.outcome, "outcome", "speed", "the `outcome`, such as heart_rate")
	f.StringVar(&o.effort, "effort", "",
		"the effort held: power, pace or heart_rate; by default the one most datasets have")
	f.StringVar(&o.reference, "reference", "", "the shoe that others are compared with, by `id`")
	f.BoolVar(&o.verify, "verify", false, "exit 1 when the derived tables of a dataset are stale")
	return c
}

func (a *app) pool(o poolOptions, folders []string) error {
	outcome, named := trial.OutcomeNamed(o.outcome)
	switch {
	case !named:
		return voice.Usage(outcomeHint(o.outcome), "no outcome %q", o.outcome)
	case o.effort != "" && !slices.Contains(trial.Efforts, trial.Effort(o.effort)):
		return voice.Usage("write power, pace or heart_rate", "--effort: %q is not known", o.effort)
	case len(folders) < 2:
		return voice.Usage("name two or more, such as `soletrial pool ann bea`",
			"pool takes the folders of several datasets")
	}
	studies, err := readStudies(folders, outcome, o.verify)
	if err != nil {
		return err
	}
	// Of several datasets the largest threshold and the widest prior hold.
	answer := pool.Run(studies, pool.Options{Outcome: outcome, Effort: trial.Effort(o.effort),
		Reference: o.reference, Confidence: poolConfidence,
		WorthwhilePct: largest(studies, func(m *trial.Method) float64 { return m.WorthwhilePct }),
		RunnerPct:     largest(studies, func(m *trial.Method) float64 { return m.Prior.RunnerPct })})
	if len(answer.Pairs) == 0 {
		why := "no dataset compares two shoes"
		if len(answer.LeftOut) > 0 {
			why = studies[answer.LeftOut[0].Study].Name + ": " + answer.LeftOut[0].Why
		}
		return voice.Usage("look at each with `soletrial compare`", "nothing can be pooled: %s", why)
	}
	if a.JSON {
		return a.PrintJSON(report.PoolAsJSON(&answer))
	}
	report.PrintPool(&a.Console, &answer)
	return nil
}

// largest is the largest of a number of the datasets' methods: where they differ, the pool takes
// the most that one of them counts as no difference, and lets runners differ by the most.
func largest(studies []pool.Study, number func(*trial.Method) float64) float64 {
	pct := 0.0
	for i := range studies {
		pct = max(pct, number(&studies[i].Facts.Method))
	}
	return pct
}

// studyRead is one folder as it was read.
type studyRead struct {
	study    pool.Study
	problems []trial.Problem
	stale    bool
	err      error
}

// readStudies reads all folders, several at a time, and reports the problems of
// all in one run, in the order of the folders.
func readStudies(folders []string, outcome trial.Outcome, verify bool) ([]pool.Study, error) {
	// Read several folders at a time, each into its own place.
	read := make([]studyRead, len(folders))
	next := make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range next {
				read[i] = readStudy(folders[i], outcome, verify)
			}
		})
	}
	for i := range folders {
		next <- i
	}
	close(next)
	workers.Wait()
	// Gather in the order of the folders: one that cannot be read stops all.
	var studies []pool.Study
	var problems []trial.Problem
	var stale []string
	for i := range read {
		if read[i].err != nil {
			return nil, read[i].err
		}
		problems = append(problems, read[i].problems...)
		if read[i].stale {
			stale = append(stale, folders[i])
		}
		studies = append(studies, read[i].study)
	}
	switch {
	case len(problems) > 0:
		return nil, voice.Unreadable(problems)
	case len(stale) > 0:
		return nil, voice.Stopped("run `soletrial derive` there", "the derived tables are stale: %s",
			strings.Join(stale, ", "))
	}
	return studies, nil
}

func readStudy(folder string, outcome trial.Outcome, verify bool) (r studyRead) {
	fsys, err := dataset.Open(folder)
	if err != nil {
		r.err = voice.Usage("pool takes folders of datasets", "cannot open %q: %v", folder, voice.Reason(err))
		return r
	}
	defer fsys.Close()
	head, problems := plaintext.ReadOverview(fsys, yamltext.Read)
	text, err := fs.ReadFile(fsys, comparisonsFile)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		r.err = voice.Usage("", "cannot read %q: %v", filepath.Join(folder, comparisonsFile), voice.Reason(err))
		return r
	}
	if err != nil {
		problems = append(problems, trial.Problem{At: trial.Position{File: comparisonsFile}, Message: "is missing",
			Hint: "run `soletrial derive` there"})
	}
	// The rows, and whether they are derived from what is in the folder now.
	r.study = pool.Study{Name: folder, Facts: head.Facts, Shoes: head.Shoes, Digest: checksum.SHA256(text)}
	if err == nil {
		problems = append(problems, readRows(&r.study, fsys, text, outcome)...)
	}
	if verify && len(problems) == 0 {
		r.stale, problems = otherInputs(fsys)
	}
	for _, p := range problems {
		p.At.File = path.Join(filepath.ToSlash(folder), p.At.File)
		r.problems = append(r.problems, p)
	}
	return r
}

// readRows takes the rows of the outcome from the decisions where they hold some, else from
// the text of the comparisons.
func readRows(study *pool.Study, fsys fs.FS, comparisons []byte, outcome trial.Outcome) []trial.Problem {
	if text, err := fs.ReadFile(fsys, decisionsFile); err == nil {
		rows, problems := pool.ReadDecisions(decisionsFile, text, outcome)
		if study.Rows, study.Decided = rows, true; len(rows) > 0 || len(problems) > 0 {
			return problems
		}
	}
	var problems []trial.Problem
	study.Decided = false
	study.Rows, problems = pool.ReadComparisons(comparisonsFile, comparisons, outcome)
	return problems
}

// otherInputs reports whether the dataset's files are not those that its tables
// say they were derived from. The tables are not derived anew.
func otherInputs(fsys fs.FS) (bool, []trial.Problem) {
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		return false, problems
	}
	inputs, err := folder.Inputs()
	if err != nil {
		return true, nil
	}
	var want strings.Builder
	for _, in := range inputs {
		want.WriteString(in.SHA256 + "  " + in.Path + "\n")
	}
	listed, err := fs.ReadFile(fsys, dataset.DerivedFolder+"/inputs.sha256")
	return err != nil || string(listed) != want.String(), nil
}
