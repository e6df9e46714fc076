package cli

import (
	"encoding/csv"
	"io/fs"
	"maps"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/history"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/cmd/internal/notices"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/picture"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/schema"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/site"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/bundle"
)

func (a *app) publishCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use: "publish", Args: cobra.NoArgs,
		Short: "write the site",
		Long: "publish writes a static site: the answer, every shoe and session, the method,\n" +
			"the data, and the explorer. It needs no server; any static host will do.",
		Example: "  soletrial publish\n" +
			"  soletrial publish -o site",
		RunE: func(*cobra.Command, []string) error {
			// The site, and what changed in the answer since the last one.
			pages, change, err := a.publish(out)
			switch {
			case err != nil:
				return err
			case a.JSON:
				return a.PrintJSON(map[string]any{"files": len(pages), "folder": out,
					"changed": change})
			}
			a.Printf("%d files in %s\n", len(pages), out)
			if change != "" {
				a.PrintHanging("", "Since the last time: "+change)
			}
			return nil
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "public",
		"the `folder` to write; an earlier site there is replaced")
	return c
}

// publish writes the site into a new folder, puts it in the place of the old one
// and returns it, with what changed in the answer since. It refuses while the derived tables on
// disk are stale, so that what is published is what is committed.
func (a *app) publish(out string) (pages []site.File, change string, err error) {
	a.remarkExplorer()
	release, err := dataset.LockSite(out, "publish", a.sayWaiting(out))
	if err != nil {
		return nil, "", err
	}
	defer release()
	if err := dataset.RestoreSite(out); err != nil {
		return nil, "", err
	}
	if _, err := a.openDataset(); err != nil {
		return nil, "", err
	}
	if err := dataset.CheckSite(a.Dataset, out); err != nil {
		return nil, "", err
	}
	folder, result, err := a.derived()
	if err != nil {
		return nil, "", err
	}
	stale, err := a.stale(result)
	if err != nil {
		return nil, "", err
	}
	if len(stale) > 0 {
		return nil, "", voice.Stopped("run "+a.NextCommand("derive")+" first", "%s stale, such as %s",
			units.Plural(len(stale), "derived table is", "derived tables are"), stale[0].name)
	}
	if pages, err = a.pages(folder, result); err != nil {
		return nil, "", err
	}
	// Nothing has been written yet; the old site is replaced only by pages of one state.
	if err := a.folder.Unchanged(); err != nil {
		return nil, "", err
	}
	change = changeSince(out, result)
	return pages, change, dataset.ReplaceSite(a.Dataset, out, pages)
}

// remarkExplorer says before anything else that this program cannot publish all of a site.
func (a *app) remarkExplorer() {
	if !bundle.Built() {
		a.Remark("this program was built without the explorer: the site will have neither explorer nor track page")
		a.Remark("hint: build it with `make build`, or take a released program")
	}
}

// siteMemory is the bound of [boundMemory] for a site, whose archive is in memory beside the
// results: that of 3,000 sessions takes 60 MB.
const siteMemory = 350 << 20

// pages makes the site. An explorer that was not built into the program is left
// out; [app.remarkExplorer] says so.
func (a *app) pages(folder *plaintext.Folder, result *derive.Result) ([]site.File, error) {
	boundMemory(siteMemory)
	in := site.Input{Result: result, Recordings: folder.Recordings, Workers: runtime.GOMAXPROCS(0),
		Plans: history.Plans(a.Dataset, result.Dataset)}
	var err error
	if in.Program, err = siteProgram(); err != nil {
		return nil, voice.Usage("", "cannot say which program this is: %v", err)
	}
	if in.Files, in.Twins, err = a.datasetFiles(result.Inputs); err != nil {
		return nil, err
	}
	schemas := schema.Files()
	for _, name := range slices.Sorted(maps.Keys(schemas)) {
		in.Schemas = append(in.Schemas, site.File{Path: "schemas/" + name, Text: schemas[name]})
	}
	viewer, err := bundle.Files()
	if err != nil {
		viewer = nil // remarked when the command began
	}
	for _, path := range slices.Sorted(maps.Keys(viewer)) {
		if name, ofTrack := strings.CutPrefix(path, "track/"); ofTrack {
			in.Track = append(in.Track, site.File{Path: name, Text: viewer[path]})
			continue
		}
		in.Explorer = append(in.Explorer, site.File{Path: path, Text: viewer[path]})
	}
	if len(viewer) > 0 {
		licences := site.File{Path: site.Licences, Text: []byte(notices.Explorer)}
		in.Explorer, in.Track = append(in.Explorer, licences), append(in.Track, licences)
	}
	in.Pictures = previews(folder, result)
	files, err := site.Pages(in)
	if err != nil {
		return nil, voice.Usage("", "cannot make the site: %v", err)
	}
	return files, nil
}

// maxPreviews is how many shoes have a picture of their own.
const maxPreviews = 12

// previews are the pictures that other sites show beside a link: the answer, where there is
// one, and each shoe beside the best other one.
func previews(folder *plaintext.Folder, result *derive.Result) []site.File {
	in := picture.Input{Result: result, Speaker: answer.NewSpeaker(result.Dataset, result.Answers),
		Recordings: folder.Recordings}
	whole, ok := picture.Find("answer")
	if !ok || whole.Missing(&in) != "" {
		return nil
	}
	drawings := []site.File{site.Generated("home.png", func() []byte {
		return whole.Draw(&in, picture.Options{Size: picture.Preview}).PNG()
	})}
	pair, ok := picture.Find("pair")
	_, group := in.Speaker.Answers.Top()
	for i := 0; ok && i < min(len(group.Places), maxPreviews) && len(group.Places) > 1; i++ {
		of := in
		of.Pair = [2]string{group.Places[0].Shoe, group.Places[max(i, 1)].Shoe}
		if pair.Missing(&of) == "" {
			drawings = append(drawings, site.Generated(site.ShoePicture(group.Places[i].Shoe), func() []byte {
				return pair.Draw(&of, picture.Options{Size: picture.Preview}).PNG()
			}))
		}
	}
	return drawings
}

// datasetFiles returns the dataset's inputs as they stand, and a JSON twin of
// each YAML file for readers that have no YAML.
func (a *app) datasetFiles(inputs []plaintext.Input) (files, twins []site.File, err error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, nil, err
	}
	for _, input := range inputs {
		text, err := fs.ReadFile(fsys, input.Path)
		if err != nil {
			return nil, nil, voice.Usage("", "cannot read %q: %v", input.Path, err)
		}
		files = append(files, site.Deferred(input.Path, text,
			func() ([]byte, error) { return fs.ReadFile(fsys, input.Path) }))
		if stem, isYAML := strings.CutSuffix(input.Path, ".yaml"); isYAML {
			node, problems := yamltext.Read(fsys, input.Path)
			if len(problems) > 0 {
				return nil, nil, voice.Unreadable(problems)
			}
			twins = append(twins, site.File{Path: stem + ".json", Text: node.JSON()})
		}
	}
	return files, twins, nil
}

// maxRankingBytes is how large the ranking of a published site may be.
const maxRankingBytes = 10 << 20

// changeSince says what changed in the answer since the site that stands in a folder; ""
// where none does, or where it is of a version that had no ranking.
func changeSince(out string, result *derive.Result) string {
	path := filepath.Join(out, "data", "derived", "ranking.csv")
	if !dataset.Exists(path) {
		return ""
	}
	text, err := dataset.ReadOutside(path, maxRankingBytes)
	if err != nil {
		return ""
	}
	return answer.NewSpeaker(result.Dataset, result.Answers).Change(earlierRanking(string(text)))
}

// earlierRanking reads what a published ranking.csv says, by the names of its columns; of
// a table without them it returns nothing.
func earlierRanking(text string) (earlier []answer.Earlier) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil
	}
	at := map[string]int{}
	for _, name := range []string{"effort", "group", "status", "place", "shoe", "chance_best"} {
		if at[name] = slices.Index(rows[0], name); at[name] < 0 {
			return nil
		}
	}
	for _, row := range rows[1:] {
		group, err := strconv.Atoi(row[at["group"]])
		place, other := strconv.Atoi(row[at["place"]])
		best, odd := units.ParseDecimal(row[at["chance_best"]])
		if err != nil || other != nil || odd != nil {
			continue
		}
		earlier = append(earlier, answer.Earlier{Effort: trial.Effort(row[at["effort"]]), Group: group,
			Status: decide.Status(row[at["status"]]), Place: place, Shoe: row[at["shoe"]], Best: best})
	}
	return earlier
}
