package cli

import (
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/english"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/picture"
	"soletrial/pipeline/units"
)

// picturesOptions are the flags of pictures.
type picturesOptions struct {
	out, race, title, session string
	figures, sizes, grounds   []string
	pair                      []string
	fontSize                  float64
}

// grounds say whether a picture is transparent.
var grounds = map[string]bool{"light": false, "transparent": true}

func (a *app) picturesCommand() *cobra.Command {
	var o picturesOptions
	c := &cobra.Command{
		Use: "pictures -o DIR", Args: cobra.NoArgs,
		Short: "draw the answer for a video or a post",
		Long: "pictures draws the answer, the ranking, two shoes side by side, the traces and the\n" +
			"order of a session, and what weight explains. It writes each as SVG and PNG in three\n" +
			"sizes: for a video, for an upright video and for link previews. The background is\n" +
			"light or transparent. It writes a text alternative beside each.",
		Example: "  soletrial pictures -o pictures --race half=1:45:00\n" +
			"  soletrial pictures -o pictures --figure ranking --size 1920x1080 --title 'Four shoes, five days'",
		RunE: func(*cobra.Command, []string) error { return a.pictures(o) },
	}
	// The flags, in the order in which help lists them.
	f := c.Flags()
	f.StringVarP(&o.out, "out", "o", "", "the `folder` to write them into; files of the same name are replaced")
	f.StringSliceVar(&o.figures, "figure", nil, "only these `figures`: "+strings.Join(figureNames(), ", "))
	f.StringSliceVar(&o.sizes, "size", nil, "only these `sizes`: "+strings.Join(sizeNames(), ", "))
	f.StringSliceVar(&o.grounds, "ground", nil, "only this `background`: light or transparent")
	f.StringVar(&o.title, "title", "", "your own `title` in place of each figure's")
	f.Float64Var(&o.fontSize, "font-size", 0, fmt.Sprintf(
		"size of plain text at 1920 x 1080, %g to %g `pixels` (default 36)",
		picture.SmallestFont, picture.LargestFont))
	f.StringSliceVar(&o.pair, "pair", nil, "the two `shoes` to show side by side, by id; by default the two that "+
		"lead")
	f.StringVarP(&o.session, "session", "s", "",
		"the `session` whose order and traces are drawn; by default the last of the effort that decides")
	f.StringVar(&o.race, "race", "", "show differences over this `race`, such as half=1:45:00")
	return c
}

func figureNames() (names []string) {
	for _, f := range picture.Figures {
		names = append(names, f.Name)
	}
	return names
}

func sizeNames() (names []string) {
	for _, s := range picture.Sizes {
		names = append(names, s.Name())
	}
	return names
}

// pictureJob is one figure in one size on one ground.
type pictureJob struct {
	figure picture.Figure
	picture.Options
}

// name is that of the job's files without their ending.
func (j pictureJob) name() string {
	if j.Transparent {
		return j.figure.Name + "-" + j.Size.Name() + "-transparent"
	}
	return j.figure.Name + "-" + j.Size.Name()
}

func (a *app) pictures(o picturesOptions) error {
	switch {
	case o.out == "":
		return voice.Usage("such as `soletrial pictures -o pictures`", "say with -o where to write the pictures")
	case dataset.Exists(filepath.Join(o.out, "dataset.yaml")):
		return voice.Usage("give -o a folder of its own", "%q is a dataset", o.out)
	}
	jobs, err := o.jobs()
	if err != nil {
		return err
	}
	folder, result, err := a.derived()
	if err != nil {
		return err
	}
	in := picture.Input{Result: result, Recordings: folder.Recordings, Session: o.session}
	if in.Speaker, err = speakerOver(result, o.race); err != nil {
		return err
	}
	if err := o.name(&in); err != nil {
		return err
	}
	// What cannot be drawn is left out and said, unless it was asked for.
	jobs = slices.DeleteFunc(jobs, func(j pictureJob) bool { return j.figure.Missing(&in) != "" })
	for _, f := range picture.Figures {
		why := f.Missing(&in)
		switch {
		case why != "" && slices.Contains(o.figures, f.Name):
			return voice.Stopped("", "the figure %q cannot be drawn: %s", f.Name, why)
		case why != "" && len(o.figures) == 0:
			a.Remark("no figure %q: %s", f.Name, why)
		}
	}
	if len(jobs) == 0 {
		return voice.Stopped("see `soletrial compare`", "there is nothing to draw")
	}
	drawn := parallel.Map(runtime.GOMAXPROCS(0), len(jobs), func(i int) [3][]byte {
		d := jobs[i].figure.Draw(&in, jobs[i].Options)
		return [3][]byte{d.SVG(), d.PNG(), []byte(d.Title + "\n\n" + d.Alt + "\n")}
	})
	files := map[string][]byte{}
	for i := range jobs {
		for k, end := range []string{".svg", ".png", ".txt"} {
			files[jobs[i].name()+end] = drawn[i][k]
		}
	}
	release, err := dataset.LockSite(o.out, "pictures", a.sayWaiting(o.out))
	if err != nil {
		return err
	}
	defer release()
	written, err := dataset.Write(o.out, files, a.folder.Unchanged)
	switch {
	case err != nil:
		return err
	case a.JSON:
		return a.PrintJSON(map[string]any{"folder": o.out, "pictures": len(jobs),
			"written": append([]string{}, written...)})
	}
	a.Printf("%s as SVG and PNG, with text alternatives, in %s\n", units.Count(len(jobs), "picture"), o.out)
	return nil
}

// jobs are what the flags ask for.
func (o *picturesOptions) jobs() ([]pictureJob, error) {
	if o.fontSize != 0 && !(o.fontSize >= picture.SmallestFont && o.fontSize <= picture.LargestFont) {
		return nil, voice.Usage(fmt.Sprintf("from %g to %g", picture.SmallestFont, picture.LargestFont),
			"--font-size: %g is out of range", o.fontSize)
	}
	for _, asked := range []struct {
		flag         string
		given, known []string
	}{{"--figure", o.figures, figureNames()}, {"--size", o.sizes, sizeNames()},
		{"--ground", o.grounds, []string{"light", "transparent"}}} {
		for _, name := range asked.given {
			if !slices.Contains(asked.known, name) {
				return nil, voice.Usage("there are "+strings.Join(asked.known, ", "), "%s: %q is not known", asked.flag,
					name)
			}
		}
	}
	// Every combination of what was asked for; nothing named is everything.
	var jobs []pictureJob
	wanted := func(given []string, name string) bool { return len(given) == 0 || slices.Contains(given, name) }
	for _, f := range picture.Figures {
		for _, s := range picture.Sizes {
			for _, ground := range []string{"light", "transparent"} {
				if wanted(o.figures, f.Name) && wanted(o.sizes, s.Name()) && wanted(o.grounds, ground) {
					jobs = append(jobs, pictureJob{f, picture.Options{Size: s, Transparent: grounds[ground],
						Title: o.title, FontSize: o.fontSize}})
				}
			}
		}
	}
	return jobs, nil
}

// name takes the session and the pair that were named, if the dataset has them.
func (o *picturesOptions) name(in *picture.Input) error {
	ds := in.Result.Dataset
	// The session whose order and traces are drawn.
	if o.session != "" && ds.Session(o.session) == nil {
		var ids []string
		for i := range ds.Sessions {
			ids = append(ids, ds.Sessions[i].ID)
		}
		return voice.Usage(english.Suggest(o.session, ids), "--session: there is no session %q", o.session)
	}
	// The pair that is shown side by side.
	if len(o.pair) == 0 {
		return nil
	}
	if len(o.pair) != 2 || o.pair[0] == o.pair[1] {
		return voice.Usage("such as --pair fennock,quenby", "--pair takes two shoes")
	}
	for _, shoe := range o.pair {
		if ds.Shoe(shoe) == nil {
			var ids []string
			for i := range ds.Shoes {
				ids = append(ids, ds.Shoes[i].ID)
			}
			return voice.Usage(english.Suggest(shoe, ids), "--pair: %q is not in the register", shoe)
		}
	}
	in.Pair = [2]string{o.pair[0], o.pair[1]}
	return nil
}
