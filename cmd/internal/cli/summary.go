package cli

import (
	"io"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/summary"
)

// summaryOptions are the flags of summary.
type summaryOptions struct {
	format, race string
	short        bool
}

func (a *app) summaryCommand() *cobra.Command {
	var o summaryOptions
	c := &cobra.Command{
		Use: "summary", Args: cobra.NoArgs,
		Short: "write the answer for a video's description or a post",
		Long: "summary writes one text to put under a video or into a post. It has the answer, a\n" +
			"table, the test in short, doubts, disclosure and cautions. The site's address and a\n" +
			"line to cite come last.",
		Example: "  soletrial summary --short --race half=1:45:00\n" +
			"  soletrial summary --format markdown > post.md",
		RunE: func(*cobra.Command, []string) error { return a.summary(o) },
	}
	f := c.Flags()
	f.StringVar(&o.format, "format", "text", "the `format`: text, markdown or html")
	f.StringVar(&o.race, "race", "",
		"show differences over this `race`, such as half=1:45:00; by default the longest race in dataset.yaml")
	f.BoolVar(&o.short, "short", false, "at most 1,500 characters as text")
	return c
}

// summaryFormats write a summary.
var summaryFormats = map[string]func(summary.Summary) string{
	"text": summary.Summary.Text, "markdown": summary.Summary.Markdown, "html": summary.Summary.HTML,
}

func (a *app) summary(o summaryOptions) error {
	write, known := summaryFormats[o.format]
	if !known {
		return voice.Usage("write text, markdown or html", "--format: %q is not known", o.format)
	}
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	speaker, err := speakerOver(result, o.race)
	if err != nil {
		return err
	}
	s := summary.New(result, speaker)
	if o.short {
		s = s.Short()
	}
	if a.JSON {
		return a.PrintJSON(map[string]any{"text": write(s)})
	}
	_, err = io.WriteString(a.Out, write(s))
	return err
}
