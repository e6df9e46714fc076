// Command manual writes what describes the program's commands, from the commands themselves:
// manual pages (that of soletrial-export too) and completion scripts for a release, and the
// list in cmd/README.md. It is not part of the program, which stays smaller for it. In the
// repository's root:
//
//	go run ./cmd/internal/manual -o FOLDER    man/man1/*.1 and completions/*
//	go run ./cmd/internal/manual -readme      the list in cmd/README.md
//
// The pages are dated by SOURCE_DATE_EPOCH (seconds since 1970), as other programs that build
// reproducibly are, and without it by the first day of 1970.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"soletrial/cmd/internal/cli"
	"soletrial/cmd/internal/export"
)

func main() {
	out := flag.String("o", "", "the `folder` for manual pages and completion scripts")
	readme := flag.Bool("readme", false, "write the list of commands into cmd/README.md")
	flag.Parse()
	err := fmt.Errorf("name a folder with -o, or give -readme")
	switch {
	case *readme:
		err = updateReadme("cmd/README.md")
	case *out != "":
		err = write(*out)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "manual:", err)
		os.Exit(1)
	}
}

// write writes the manual pages and the completion scripts into a folder.
func write(folder string) error {
	date, err := sourceDate()
	if err != nil {
		return err
	}
	root := cli.Command()
	pages := filepath.Join(folder, "man", "man1")
	if err := os.MkdirAll(pages, 0o755); err != nil {
		return err
	}
	for _, command := range []*cobra.Command{root, export.Command()} {
		command.DisableAutoGenTag = true // its date would be today's
		header := doc.GenManHeader{Section: "1", Date: &date, Source: "soletrial " + cli.Version, Manual: "Soletrial"}
		if err := doc.GenManTree(command, &header, pages); err != nil {
			return err
		}
	}
	if err := mendPages(pages, date); err != nil {
		return err
	}
	return writeCompletions(root, filepath.Join(folder, "completions"))
}

// sourceDate is the day that pages are dated with.
func sourceDate() (time.Time, error) {
	text := os.Getenv("SOURCE_DATE_EPOCH")
	if text == "" {
		text = "0"
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return time.Time{}, fmt.Errorf("SOURCE_DATE_EPOCH is %q, not a number of seconds", text)
	}
	return time.Unix(seconds, 0).UTC(), nil
}

// writeCompletions writes one script for each shell, under the name that the shell looks
// for.
func writeCompletions(root *cobra.Command, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for name, write := range map[string]func(string) error{
		"soletrial.bash": func(path string) error { return root.GenBashCompletionFileV2(path, true) },
		"soletrial.fish": func(path string) error { return root.GenFishCompletionFile(path, true) },
		"_soletrial":     root.GenZshCompletionFile,
		"soletrial.ps1":  root.GenPowerShellCompletionFileWithDesc,
	} {
		if err := write(filepath.Join(folder, name)); err != nil {
			return err
		}
	}
	return nil
}
