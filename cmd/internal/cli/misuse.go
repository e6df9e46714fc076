package cli

import (
	"fmt"
	"regexp"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/english"
)

// misused says in the program's voice what the library found wrong with a
// command line of cmd.
func misused(cmd *cobra.Command, err error) *voice.Failure {
	f := &voice.Failure{Code: voice.ExitUsage, Message: err.Error(), Hint: fmt.Sprintf("see `%s --help`",
		cmd.CommandPath())}
	var word string
	switch {
	case scanned(err, "unknown command %q", &word) && cmd.HasSubCommands():
		return unknownCommand(cmd, word)
	case scanned(err, "unknown command %q", &word):
		f.Message = fmt.Sprintf("%s takes no argument, but got %q", cmd.Name(), word)
	case scanned(err, "unknown flag: --%s", &word):
		f.Message = fmt.Sprintf("unknown flag %q", "--"+word)
		if near := english.Suggest("--"+word, flagNames(cmd)); near != "" {
			f.Hint = near
		}
	}
	return f
}

func scanned(err error, format string, word *string) bool {
	_, failed := fmt.Sscanf(err.Error(), format, word)
	return failed == nil
}

// unknownCommand is the failure of a word that is none of cmd's commands.
func unknownCommand(cmd *cobra.Command, word string) *voice.Failure {
	f := &voice.Failure{Code: voice.ExitUsage, Message: fmt.Sprintf("unknown command %q", word),
		Hint: fmt.Sprintf("`%s --help` lists the commands", cmd.CommandPath())}
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	if near := english.Suggest(word, names); near != "" {
		f.Hint = near
	}
	return f
}

var flagWord = regexp.MustCompile(`--[a-z][a-z-]*`)

// flagNames lists the flags of a command, read off its usage text, which spares
// a direct dependency on the flag library.
func flagNames(cmd *cobra.Command) []string {
	return flagWord.FindAllString(cmd.LocalFlags().FlagUsages()+cmd.InheritedFlags().FlagUsages(), -1)
}

// helpCommand is the library's help, but for a word that is no command it fails.
func (a *app) helpCommand() *cobra.Command {
	return &cobra.Command{
		Use: "help [COMMAND]", Short: "say what a command does",
		Example: "  soletrial help import\n  soletrial help rename shoe",
		RunE: func(cmd *cobra.Command, args []string) error {
			asked, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return unknownCommand(asked, rest[0])
			}
			asked.InitDefaultHelpFlag()
			return asked.Help()
		},
		ValidArgsFunction: func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
			var names []string
			for _, c := range cmd.Root().Commands() {
				if c.IsAvailableCommand() {
					names = append(names, c.Name())
				}
			}
			return names, cobra.ShellCompDirectiveNoFileComp
		},
	}
}

// addCompletion adds the library's completion command, but without a shell it
// fails.
func addCompletion(root *cobra.Command) {
	root.InitDefaultCompletionCmd()
	completion, _, err := root.Find([]string{"completion"})
	if err != nil {
		return // the library has renamed it; its own default then stands
	}
	completion.Use, completion.Short = "completion SHELL", "write a script that completes commands in your shell"
	completion.Example = "  soletrial completion bash > soletrial.bash\n" +
		"  soletrial completion zsh > _soletrial"
	for _, shell := range completion.Commands() {
		shell.Example = fmt.Sprintf("  soletrial completion %[1]s\n  soletrial completion %[1]s --no-descriptions",
			shell.Name())
	}
	completion.RunE = func(cmd *cobra.Command, _ []string) error {
		return voice.Usage("the shells are bash, fish, powershell and zsh", "completion for which shell?")
	}
}
