// Command soletrial-export writes the samples of soletrial's datasets as Parquet or as one
// flat table, for programs of others. It is a program of its own so that soletrial stays
// small.
package main

import (
	"os"

	"soletrial/cmd/internal/export"
)

func main() { os.Exit(export.Main(os.Args[1:], os.Stdout, os.Stderr)) }
