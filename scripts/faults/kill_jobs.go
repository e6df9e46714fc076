package main

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/recording/fittest"
)

// demo is the demonstration dataset without its derived tables.
func (c *campaign) demo() (tree, error) {
	t, err := readTree(filepath.Join(c.root, "data"))
	whole := tree{}
	for name, text := range t {
		if !strings.HasPrefix(name, "derived/") {
			whole["data/"+name] = text
		}
	}
	return whole, err
}

// measuredJobs are the runs that are killed, with what each leaves undisturbed.
func (c *campaign) measuredJobs() ([]job, error) {
	if c.measured != nil {
		return c.measured, nil
	}
	jobs, err := c.jobs()
	if err != nil {
		return nil, err
	}
	for i := range jobs {
		if err := c.measure(&jobs[i]); err != nil {
			return nil, fmt.Errorf("%s: %w", jobs[i].name, err)
		}
	}
	c.measured = jobs
	return jobs, nil
}

// jobs are the runs that are killed, each with the folder it starts from.
func (c *campaign) jobs() ([]job, error) {
	demo, err := c.demo()
	if err != nil {
		return nil, err
	}
	derived, err := c.treeAfter(demo, "derive")
	if err != nil {
		return nil, err
	}

	// Older tables: the inputs changed after them.
	changed := maps.Clone(derived)
	const blocks = "data/sessions/2026-03-07-power/blocks.csv"
	changed[blocks] = strings.Replace(changed[blocks], ",yes,", ",,", 1)
	delete(changed, "data/sessions/2026-04-04-treadmill/session.yaml")
	delete(changed, "data/sessions/2026-04-04-treadmill/blocks.csv")

	// An older site.
	published, err := c.treeAfter(derived, "publish")
	if err != nil {
		return nil, err
	}
	newer, err := c.treeAfter(merged(changed, "public/", published.under("public")), "derive")
	if err != nil {
		return nil, err
	}
	imports, err := c.importJobs(demo)
	return append(append(imports, noteJobs(demo)...),
		job{name: "tidy", args: []string{"tidy"}, folder: "data", before: untidy(demo)},
		job{name: "derive, no tables yet", args: []string{"derive"}, folder: "data", before: demo},
		job{name: "derive, older tables there", args: []string{"derive"}, folder: "data", before: changed},
		job{name: "publish, no site yet", args: []string{"publish"}, before: derived},
		job{name: "publish, older site there", args: []string{"publish"}, before: newer},
	), err
}

// noteJobs are the other commands that write into a dataset, and the pictures of it.
func noteJobs(demo tree) []job {
	const shoes = "data/shoes.csv"
	row := demo[shoes][strings.Index(demo[shoes], "quenby,"):]
	row = row[:strings.Index(row, "\n")+1]
	both := strings.Replace(demo[shoes], row, row+strings.Replace(row, "quenby", "quenby-2026", 1), 1)
	// A second recording of a session, which no clock links to the first.
	const session = "data/sessions/2026-04-25-power/"
	second := merged(demo, session, tree{
		"second.csv": demo[session+"foot_sensor.csv"],
		"session.yaml": strings.Replace(demo[session+"session.yaml"], "  - {file: watch.csv",
			"  - {file: second.csv, device: second}\n  - {file: watch.csv", 1),
	})
	return []job{
		{name: "log", args: []string{"log", "-s", "2026-03-07-power", "--rpe", "5,5,6,6,6,6,7,7", "--weight",
			"quenby=213/215", "--air-c", "12.5"}, folder: "data", before: demo},
		{name: "rename shoe", args: []string{"rename", "shoe", "quenby", "quenby-2026"}, folder: "data", before: demo,
			between: tree{shoes: both}},
		{name: "plan", args: []string{"plan", "-s", "2026-06-01-power", "--shoes", "quenby,tarrow", "--target", "268",
			"--venue", "millmere-track", "--seed", "7"}, folder: "data", before: demo},
		{name: "align", args: []string{"align", "-s", "2026-04-25-power", "--device", "second"}, folder: "data",
			before: second},
		{name: "export, Parquet", args: []string{exporter, "data", "-o", "lake"}, before: demo},
		{name: "export, one table", args: []string{exporter, "data", "--samples", "samples.csv"}, before: demo},
		{name: "pictures", args: []string{"pictures", "-o", "pictures", "--figure", "answer"}, folder: "pictures",
			before: demo},
	}
}

// importJobs are a recording for a new session, one more for a session that is
// there, one in the place of another, and one with a column map to remember.
func (c *campaign) importJobs(demo tree) ([]job, error) {
	// Recordings in two forms.
	files := tree{
		"pod.fit":   string(fittest.Run(fittest.Spec{})),
		"other.fit": string(fittest.Run(fittest.Spec{NativePower: true, WarmUpS: 300})),
		"pod.csv":   "Seconds,Watts\n" + strings.Repeat("%,250\n", 1200),
	}
	for second := range 1200 {
		files["pod.csv"] = strings.Replace(files["pod.csv"], "%", strconv.Itoa(second), 1)
	}
	demo = merged(demo, "", files)
	// One import that is done, for those that come after it.
	one := []string{"import", "-s", "2026-05-01-power", "--target", "280", "--device", "pod"}
	imported, err := c.treeAfter(demo, append(slices.Clone(one), "pod.fit")...)
	return []job{
		{name: "import, new session", args: append(slices.Clone(one), "pod.fit"), folder: "data", before: demo},
		{
			name:   "import, one more device",
			args:   []string{"import", "-s", "2026-05-01-power", "--device", "watch", "other.fit"},
			folder: "data",
			before: imported,
		},
		{name: "import, in the place of another",
			args:   []string{"import", "-s", "2026-05-01-power", "--device", "pod", "--force", "other.fit"},
			folder: "data", before: imported},
		{name: "import, column map remembered",
			args: []string{"import", "-s", "2026-05-02-power", "--target", "250", "--device", "pod", "--map",
				"power_w=Watts", "--map", "elapsed_s=Seconds", "pod.csv"}, folder: "data", before: demo},
	}, err
}

// treeAfter returns what a folder holds after a run.
func (c *campaign) treeAfter(before tree, args ...string) (tree, error) {
	dir, err := c.newFolder(before)
	if err != nil {
		return nil, err
	}
	if err := c.must(dir, args...); err != nil {
		return nil, err
	}
	after, err := readTree(dir)
	return after, errors.Join(err, os.RemoveAll(dir))
}

// merged is a tree and another one below a prefix.
func merged(t tree, prefix string, more tree) tree {
	whole := maps.Clone(t)
	for name, text := range more {
		whole[prefix+name] = text
	}
	return whole
}

// untidy is a tree whose tables have other line ends and their rows turned round,
// where order is left to tidy.
func untidy(t tree) tree {
	other := maps.Clone(t)
	for name, text := range t {
		if !strings.HasSuffix(name, ".csv") {
			continue
		}
		lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
		if strings.Count(name, "/") == 1 || strings.HasSuffix(name, "/blocks.csv") {
			slices.Reverse(lines[1:])
		}
		other[name] = strings.Join(lines, "\r\n") + "\r\n"
	}
	return other
}
