package cli

import (
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/report"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func (a *app) tryCommand() *cobra.Command {
	o := intake.Options{Session: trySession, NextCommand: a.NextCommand}
	c := &cobra.Command{
		Use: "try FILE[=SHOE]... [--shoes A,B,B,A]", Args: cobra.MinimumNArgs(1),
		Short: "answer from recordings alone, and write nothing",
		Long: "try reads recordings (FIT, GPX, CSV; .gz and .zip too) and finds the blocks. Name\n" +
			"the shoe of each block with --shoes, in the order of the run, and it compares them.\n" +
			"It writes nothing. The last lines say how to keep the recording as a session.",
		Example: "  soletrial try morning.fit\n" +
			"  soletrial try morning.fit --shoes fennock,quenby,quenby,fennock",
		RunE: func(_ *cobra.Command, files []string) error { return a.try(o, files) },
	}
	f := c.Flags()
	f.StringSliceVar(&o.Shoes, "shoes", nil,
		"the `shoe` of every block in the order of the run, such as blue,grey,grey,blue")
	f.StringVar(&o.Effort, "effort", "", "what was held: power, pace or heart_rate; by default guessed from the "+
		"blocks")
	f.StringVar(&o.Target, "target", "",
		"the `target`, such as 268, 4:02/km, 6:30/mi or 154; by default guessed from the blocks")
	f.StringToStringVar(&o.Columns, "map", nil, "which column of a CSV is which channel, such as `power_w=COLUMN`")
	f.Lookup("map").DefValue = "" // none, of which help is silent
	f.IntVar(&o.Part, "part", 0, "which session of a FIT file with several, from 1")
	f.StringVar(&o.Zone, "zone", "", "local time where it was run, as an `offset` from UTC such as +02:00")
	f.BoolVar(&o.NoLaps, "ignore-laps", false, "find the blocks by effort alone")
	f.BoolVar(&o.Force, "force", false, "accept a doubtful recording")
	return c
}

// trySession is the id of the session that is never written, noDay its day where no
// recording tells it.
const (
	trySession = "try"
	noDay      = "2000-01-01"
)

// try answers from recordings in a dataset that is in memory only.
func (a *app) try(o intake.Options, arguments []string) error {
	// The dataset that init would write, with the shoes that are named.
	shoes, err := tryShoes(&o, arguments)
	if err != nil {
		return err
	}
	files := startingFiles()
	files["shoes.csv"] = plaintext.AppendShoes(nil, shoes)
	o.Date = noDay
	o.AnyDay = true
	in, err := intake.Read(dataset.Overlay(nil, files), o, arguments)
	if !a.JSON {
		a.printTryReports(in)
		report.PrintBlocks(&a.Console, in.Blocks, in.Evidence, in.Found.Channel)
	}
	for _, remark := range in.Remarks {
		if !strings.HasPrefix(remark, "found ") && !strings.HasPrefix(remark, "no block found") {
			a.Remark("%s", remark)
		}
	}
	if n := in.Found.Automatic; n > 0 {
		a.Remark("%s ignored", units.Count(n, "automatic lap"))
	}
	if err != nil {
		return err
	}
	return a.answerTry(dataset.Overlay(dataset.Overlay(nil, files), in.Files), in, o, shoes, arguments)
}

// answerTry compares the shoes, where they are known, and says what comes next.
func (a *app) answerTry(fsys fs.FS, in *intake.Import, o intake.Options, shoes []trial.Shoe,
	arguments []string) error {
	if len(in.Blocks) == 0 {
		return voice.Stopped("a block is a minute or more at one effort, clearly harder than the running before and "+
			"after", "no block was found: the recording has no clear effort of a minute or more")
	}
	if len(in.Blocks) == 1 {
		a.Remark("one block compares nothing: name the files of all blocks, each with its shoe, such as " +
			"first.fit=blue second.fit=grey")
		return a.printFound(in)
	}
	if len(shoes) < 2 {
		a.Remark("name the shoe of every block to compare them: --shoes %s", exampleShoes(len(in.Blocks)))
		return a.printFound(in)
	}
	// The same chain as that of a dataset on disk.
	folder, problems := plaintext.Open(fsys, yamltext.Read, 1)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{Workers: runtime.GOMAXPROCS(0)})
	if err != nil || len(problems) > 0 {
		return voice.Unreadable(problems)
	}
	if in.Session.Facts.Date == noDay {
		for i := range result.Answers.Efforts {
			result.Answers.Efforts[i].First, result.Answers.Efforts[i].Last = "", ""
		}
	}
	speaker := answer.NewSpeaker(result.Dataset, result.Answers)
	if a.JSON {
		values := report.AnswerAsJSON(&a.Console, result, speaker)
		values.Recordings = in.Reports
		return a.PrintJSON(values)
	}
	a.Printf("\n")
	a.printTryFindings(result)
	report.PrintAnswer(&a.Console, result, speaker, false)
	a.printKeep(in, o, shoes, arguments)
	return nil
}

// printFound ends a try without an answer: as JSON it lists the blocks, which are a table
// otherwise.
func (a *app) printFound(in *intake.Import) error {
	if !a.JSON {
		return nil
	}
	return a.PrintJSON(map[string]any{"recordings": in.Reports, "blocks": foundJSON(in.Blocks)})
}

// printTryReports says in a line each what was read.
func (a *app) printTryReports(in *intake.Import) {
	for i := range in.Reports {
		r := &in.Reports[i]
		what := strings.Join(r.Files, ", ")
		if len(r.Files) > 3 {
			what = units.Count(len(r.Files), "file")
		}
		a.Printf("%s: %s, %s long", what, r.Format, units.FormatClock(r.LengthS))
		if r.Start != "" {
			a.Printf(", from %s", strings.Replace(r.Start, "T", " ", 1))
		}
		a.Printf("\n")
	}
}

// printTryFindings prints what speaks against the recordings: stops and warnings.
func (a *app) printTryFindings(result *derive.Result) {
	printed := false
	for _, f := range result.Findings {
		if f.Severity == trial.Note || f.Session == "" {
			continue
		}
		where := ""
		if f.Block != "" {
			where = "block " + f.Block + ": "
		}
		a.PrintHanging(fmt.Sprintf("  %-4s ", f.Severity), where+derive.FindingText(f))
		printed = true
	}
	if printed {
		a.Printf("\n")
	}
}

// printKeep prints the two commands that make a session of it.
func (a *app) printKeep(in *intake.Import, o intake.Options, register []trial.Shoe, arguments []string) {
	facts := &in.Session.Facts
	day, how := facts.Date, "To keep it"
	if day == noDay {
		day, how = "DAY", "To keep it (write its day, such as 2026-05-02, in place of DAY)"
	}
	var line strings.Builder
	fmt.Fprintf(&line, "soletrial -d mytrial import -s %s-%s --effort %s --target %s", day,
		strings.ReplaceAll(facts.Effort, "_", "-"), facts.Effort, facts.Target)
	line.WriteString(howRead(o))
	// The register's rows, and the shoe of every block.
	var shoes []string
	for _, b := range in.Blocks {
		shoes = append(shoes, b.Shoe)
	}
	register = slices.Clone(register)
	stable.Sort(register, func(a, b trial.Shoe) int { return strings.Compare(a.ID, b.ID) })
	for _, shoe := range register {
		row := shoe.ID
		if shoe.Label != shoe.ID {
			row += ":" + shoe.Label
		}
		fmt.Fprintf(&line, " --new-shoe %s", shellWord(row))
	}
	fmt.Fprintf(&line, " --shoes %s", strings.Join(shoes, ","))
	for _, argument := range arguments {
		file := argument
		if !dataset.Exists(argument) {
			file, _, _ = strings.Cut(argument, "=")
		}
		line.WriteString(" " + shellWord(file))
	}
	a.Printf("\nnothing was written. %s:\n  soletrial init mytrial\n  %s\n", how, line.String())
}

// howRead are the flags by which recordings were read that import takes too.
func howRead(o intake.Options) string {
	var text strings.Builder
	for _, channel := range slices.Sorted(maps.Keys(o.Columns)) {
		text.WriteString(" --map " + shellWord(channel+"="+o.Columns[channel]))
	}
	if o.Part != 0 {
		fmt.Fprintf(&text, " --part %d", o.Part)
	}
	if o.Zone != "" {
		text.WriteString(" --zone " + o.Zone)
	}
	if o.NoLaps {
		text.WriteString(" --ignore-laps")
	}
	if o.Force {
		text.WriteString(" --force")
	}
	return text.String()
}

// shellWord writes a file name for a shell.
func shellWord(name string) string {
	name = filepath.ToSlash(name)
	if strings.ContainsAny(name, " '\"$&;|<>()*?") {
		return "'" + strings.ReplaceAll(name, "'", `'\''`) + "'"
	}
	return name
}

// exampleShoes is what --shoes could look like for so many blocks.
func exampleShoes(blocks int) string {
	names := []string{"a", "b", "b", "a"}
	list := make([]string, min(blocks, 60))
	for i := range list {
		list[i] = names[i%len(names)]
	}
	return strings.Join(list, ",")
}

var notID = regexp.MustCompile(`[^a-z0-9._-]+`)

// tryShoes are the shoes that the command line names, each with an id that a dataset
// may have; the options and arguments then name them by it.
func tryShoes(o *intake.Options, arguments []string) ([]trial.Shoe, error) {
	var shoes []trial.Shoe
	// A label becomes a shoe of its own id; the same label is the same shoe.
	add := func(label string) (string, error) {
		id := strings.Trim(notID.ReplaceAllString(strings.ToLower(label), "-"), "-._")
		shoe, err := intake.ParseShoe("--shoes", id+":"+strings.ReplaceAll(label, ":", " "))
		if err != nil {
			return "", voice.Usage("name shoes with letters and digits",
				"--shoes: %q cannot be the name of a shoe", label)
		}
		if !slices.ContainsFunc(shoes, func(s trial.Shoe) bool { return s.ID == id }) {
			shoes = append(shoes, shoe)
		}
		return id, nil
	}
	var err error
	o.Shoes = slices.Clone(o.Shoes)
	// Shoes in the order of the blocks, and shoes named after a file.
	for i, label := range o.Shoes {
		if o.Shoes[i], err = add(strings.TrimSpace(label)); err != nil {
			return nil, err
		}
	}
	for i, argument := range arguments {
		if file, label, named := strings.Cut(argument, "="); named && !dataset.Exists(argument) {
			id, err := add(label)
			if err != nil {
				return nil, err
			}
			arguments[i] = file + "=" + id
		}
	}
	return shoes, nil
}

// foundJSON lists blocks that were found in a recording: their names and times on its clock.
func foundJSON(blocks []trial.Block) []map[string]any {
	list := make([]map[string]any, len(blocks))
	for i := range blocks {
		list[i] = map[string]any{"block": blocks[i].ID, "start_s": blocks[i].Start, "end_s": blocks[i].End}
	}
	return list
}
