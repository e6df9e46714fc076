package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli"
	"soletrial/pipeline/english"
)

// Between these lines of cmd/README.md stands what the commands say of themselves.
const (
	listStart = "<!-- commands: go run ./cmd/internal/manual -readme -->\n"
	listEnd   = "<!-- end of commands -->\n"
)

// updateReadme writes the list of commands into a file, between its marks.
func updateReadme(path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	updated, err := withList(string(text))
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return os.WriteFile(path, []byte(updated), 0o644)
}

// withList returns a text with the list of commands as it is now between the marks.
func withList(text string) (string, error) {
	before, rest, started := strings.Cut(text, listStart)
	_, after, ended := strings.Cut(rest, listEnd)
	if !started || !ended {
		return "", fmt.Errorf("there is no list between %q and %q", listStart, listEnd)
	}
	return before + listStart + commandList(cli.Command()) + listEnd + after, nil
}

// commandList is a section for each command: what it does, how it is called, every flag,
// examples, which a test of the program runs; and before them what all commands take.
func commandList(root *cobra.Command) string {
	var b bytes.Buffer
	fmt.Fprintf(&b, "\nEvery command takes these flags:\n\n```text\n%s```\n", root.PersistentFlags().FlagUsages())
	for _, c := range root.Commands() {
		if !c.IsAvailableCommand() || c.Name() == "help" {
			continue
		}
		fmt.Fprintf(&b, "\n### `%s`\n\n%s.\n", c.Name(), english.Capitalise(c.Short))
		if c.Long != "" {
			fmt.Fprintf(&b, "\n%s\n", strings.TrimSpace(c.Long))
		}
		// How it is called; a command with others below it is called by theirs.
		fmt.Fprintf(&b, "\n```text\n%s\n", c.UseLine())
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() {
				fmt.Fprintf(&b, "%s\n", sub.UseLine())
			}
		}
		if flags := c.LocalNonPersistentFlags().FlagUsages(); flags != "" {
			fmt.Fprintf(&b, "\n%s", flags)
		}
		b.WriteString("```\n")
		if c.Example != "" {
			fmt.Fprintf(&b, "\n```shell\n%s\n```\n", outdented(c.Example))
		}
	}
	b.WriteString("\n")
	return b.String()
}

// outdented takes the indent of a help text off its lines.
func outdented(text string) string {
	lines := strings.Split(strings.Trim(text, "\n"), "\n")
	for i, line := range lines {
		lines[i] = strings.TrimPrefix(line, "  ")
	}
	return strings.Join(lines, "\n")
}
