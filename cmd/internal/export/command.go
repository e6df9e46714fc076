package export

import (
	"errors"
	"io"
	"runtime/debug"
	"slices"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/cmd/internal/notices"
)

// options are the flags.
type options struct {
	folder   string // for partitioned Parquet
	samples  string // file of the flat table
	licences bool
}

const long = "soletrial-export writes the samples of datasets for other programs: one row for each\n" +
	"sample, with its dataset, runner, session, device, block and shoe. With -o it writes\n" +
	"Parquet files into folders dataset=/runner=/session=/device=, which query engines read\n" +
	"as one table; with --samples it writes one flat table. Several datasets may have folders\n" +
	"of the same name: give each a name of its own, as in ann=ann/data."

const examples = "  soletrial-export data -o lake\n" +
	"  soletrial-export ann=ann/data bea=bea/data -o lake\n" +
	"  soletrial-export data --samples samples.csv"

// Main runs the program and returns its exit code, one of those of the package voice.
func Main(args []string, stdout, stderr io.Writer) int {
	debug.SetGCPercent(400) // tables are written once and let go
	console := voice.Console{Out: stdout, Err: stderr}
	command := newCommand(&console)
	command.SetArgs(args)
	command.SetOut(stdout)
	command.SetErr(stderr)
	err := command.Execute()
	var failure *voice.Failure
	switch {
	case err == nil:
		return voice.ExitOK
	case !errors.As(err, &failure):
		failure = voice.Misuse(command, err)
		console.JSON = console.JSON || slices.Contains(args, "--json") // flags after a wrong one are not read
	}
	console.PrintFailure(failure)
	return failure.Code
}

// Command is the program's command with its flags, for what describes it. To run it, call [Main].
func Command() *cobra.Command { return newCommand(&voice.Console{}) }

func newCommand(console *voice.Console) *cobra.Command {
	var o options
	command := &cobra.Command{
		Use: "soletrial-export [NAME=]FOLDER... (-o FOLDER | --samples FILE)", Args: cobra.ArbitraryArgs,
		Short: "write the samples of datasets as Parquet or as one flat table",
		Long:  long, Example: examples, SilenceErrors: true, SilenceUsage: true, DisableSuggestions: true,
		RunE: func(_ *cobra.Command, folders []string) error { return o.run(console, folders) },
	}
	f := command.Flags()
	f.StringVarP(&o.folder, "output", "o", "", "write Parquet files into this `folder`, new or from an earlier export")
	f.StringVar(&o.samples, "samples", "", "write one flat table into this `file`, .csv or .parquet")
	f.BoolVar(&console.JSON, "json", false, "print JSON instead of text")
	f.BoolVar(&o.licences, "licences", false, "print the licences of the software by others inside it")
	return command
}

func (o *options) run(console *voice.Console, folders []string) error {
	if o.licences {
		console.Printf("%s", notices.Export)
		return nil
	}
	switch {
	// What is wrong with the command line.
	case len(folders) == 0:
		return voice.Usage("name one, such as `soletrial-export data -o lake`", "which datasets?")
	case o.folder == "" && o.samples == "":
		return voice.Usage("give -o FOLDER for Parquet, or --samples FILE for one flat table", "write where?")
	case o.folder != "" && o.samples != "":
		return voice.Usage("run it once for each", "-o and --samples go different ways")
	}
	// Partitions of Parquet, or one flat table.
	sources, err := namedSources(folders)
	if err != nil {
		return err
	}
	var done summary
	if o.folder != "" {
		done, err = writePartitions(console, sources, o.folder)
	} else {
		done, err = writeTable(console, sources, o.samples)
	}
	if err != nil {
		return err
	}
	return done.print(console)
}
