package voice

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/pipeline/english"
)

// Misuse says in the program's voice what the library for command lines found wrong with one of
// cmd. An error that it does not know keeps its text. The hint is a flag or command that is spelled
// nearly so, or else where help is.
func Misuse(cmd *cobra.Command, err error) *Failure {
	f := &Failure{Code: ExitUsage, Message: err.Error(), Hint: fmt.Sprintf("see `%s --help`",
		cmd.CommandPath())}
	var word string
	switch {
	case scanned(err, "unknown command %q", &word) && cmd.HasSubCommands():
		return UnknownCommand(cmd, word)
	case scanned(err, "unknown command %q", &word):
		f.Message = fmt.Sprintf("%s takes no argument, but got %q", commandName(cmd), word)
	case scanned(err, "unknown flag: --%s", &word):
		f.Message = fmt.Sprintf("unknown flag %q", "--"+word)
		if near := english.Suggest("--"+word, flagNames(cmd)); near != "" {
			f.Hint = near
		}
	default:
		for _, text := range libraryTexts {
			if parts := text.found.FindStringSubmatch(err.Error()); parts != nil {
				f.Message = text.say(cmd, parts)
				break
			}
		}
	}
	return f
}

// libraryTexts are what the library says of a wrong command line, and how the program says it.
var libraryTexts = []struct {
	found *regexp.Regexp
	say   func(cmd *cobra.Command, parts []string) string
}{
	{regexp.MustCompile(`^accepts (\d+) arg\(s\), received (\d+)$`), func(cmd *cobra.Command, parts []string) string {
		return fmt.Sprintf("%s takes %s, but got %s", commandName(cmd), argumentCount(parts[1]), parts[2])
	}},
	{regexp.MustCompile(`^accepts at most (\d+) arg\(s\), received (\d+)$`),
		func(cmd *cobra.Command, parts []string) string {
			return fmt.Sprintf("%s takes at most %s, but got %s", commandName(cmd), argumentCount(parts[1]), parts[2])
		}},
	{regexp.MustCompile(`^requires at least (\d+) arg\(s\), only received (\d+)$`),
		func(cmd *cobra.Command, parts []string) string {
			return fmt.Sprintf("%s takes %s or more, but got %s", commandName(cmd), argumentCount(parts[1]), parts[2])
		}},
	{regexp.MustCompile(`^required flag\(s\) "([a-z0-9-]+)"`), func(_ *cobra.Command, parts []string) string {
		return "--" + parts[1] + " is missing"
	}},
	{regexp.MustCompile(`^flag needs an argument: (?:'.' in )?(-{1,2}[a-z0-9-]+)$`),
		func(_ *cobra.Command, parts []string) string { return parts[1] + " needs a value" }},
	{regexp.MustCompile(`(?s)^unknown shorthand flag: .* in (-.+)$`), func(_ *cobra.Command, parts []string) string {
		return fmt.Sprintf("unknown flag %q", parts[1])
	}},
	{regexp.MustCompile(`^bad flag syntax: (.+)$`), func(_ *cobra.Command, parts []string) string {
		return fmt.Sprintf("%q is not a flag", parts[1])
	}},
	{regexp.MustCompile(`(?s)^invalid argument (".*") for "(?:-., )?--([a-z0-9-]+)" flag: `), wrongValue},
}

// commandName is the name of a command as it is typed, such as "rename shoe".
func commandName(cmd *cobra.Command) string {
	return strings.TrimPrefix(cmd.CommandPath(), cmd.Root().Name()+" ")
}

// argumentCount says how many arguments there are.
func argumentCount(count string) string {
	if count == "1" {
		return "1 argument"
	}
	return count + " arguments"
}

// wrongValue says what a flag takes instead of what it was given, which is quoted.
func wrongValue(cmd *cobra.Command, parts []string) string {
	takes := "cannot be read"
	if flag := cmd.Flag(parts[2]); flag != nil {
		switch flag.Value.Type() {
		case "int", "int64":
			takes = "is not a whole number, or is too large"
		case "float64":
			takes = "is not a number, such as 2.5"
		case "bool":
			takes = "is neither true nor false"
		case "stringToString":
			takes = "is not of the form NAME=VALUE"
		}
	}
	return fmt.Sprintf("--%s: %s %s", parts[2], parts[1], takes)
}

func scanned(err error, format string, word *string) bool {
	_, failed := fmt.Sscanf(err.Error(), format, word)
	return failed == nil
}

// UnknownCommand is the failure of a word that is none of cmd's commands.
func UnknownCommand(cmd *cobra.Command, word string) *Failure {
	f := &Failure{Code: ExitUsage, Message: fmt.Sprintf("unknown command %q", word),
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

var flagWord = regexp.MustCompile(`--[a-z][a-z0-9-]*`)

// flagNames lists the flags of a command, read off its usage text, which spares
// a direct dependency on the flag library.
func flagNames(cmd *cobra.Command) []string {
	return flagWord.FindAllString(cmd.LocalFlags().FlagUsages()+cmd.InheritedFlags().FlagUsages(), -1)
}
