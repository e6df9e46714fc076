// Command soletrial compares running shoes from a folder of plain text.
package main

import (
	"os"

	"soletrial/cmd/internal/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
