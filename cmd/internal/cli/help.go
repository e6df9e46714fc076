package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
)

// helpCommand is the library's help, but for a word that is no command it fails.
func (a *app) helpCommand() *cobra.Command {
	return &cobra.Command{
		Use: "help [COMMAND]", Short: "say what a command does",
		Example: "  soletrial help import\n  soletrial help rename shoe",
		RunE: func(cmd *cobra.Command, args []string) error {
			asked, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return voice.UnknownCommand(asked, rest[0])
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

// shellLoads are how a shell loads the script, and the file that it reads when it starts.
var shellLoads = map[string]struct{ line, file string }{
	"bash":       {"source <(soletrial completion bash)", "~/.bashrc. It needs the package bash-completion"},
	"zsh":        {"source <(soletrial completion zsh)", "~/.zshrc, below the line `autoload -U compinit; compinit`"},
	"fish":       {"soletrial completion fish | source", "~/.config/fish/config.fish"},
	"powershell": {"soletrial completion powershell | Out-String | Invoke-Expression", "the file that $PROFILE names"},
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
		load := shellLoads[shell.Name()]
		shell.Use, shell.Short = shell.Name(), "write the script for "+shell.Name()
		shell.Long = fmt.Sprintf("completion %s prints a script that completes commands, flags and ids. To use it in\n"+
			"this shell:\n\n  %s\n\nTo have it in every new shell, put that line into %s.", shell.Name(),
			load.line, load.file)
		if flag := shell.Flags().Lookup("no-descriptions"); flag != nil {
			flag.Usage = "leave out what each word means"
		}
		shell.Example = fmt.Sprintf("  soletrial completion %[1]s\n  soletrial completion %[1]s --no-descriptions",
			shell.Name())
	}
	completion.RunE = func(cmd *cobra.Command, _ []string) error {
		return voice.Usage("the shells are bash, fish, powershell and zsh", "completion for which shell?")
	}
}
