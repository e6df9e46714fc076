// Command derived prints the SHA-256 of every table derived from a dataset. It
// is the program that parity builds for each target.
package main

import (
	"crypto/sha256"
	"fmt"
	"os"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

func main() {
	folder, problems := plaintext.Read(os.DirFS(os.Args[1]), yamltext.Read)
	stopAt(problems, nil)
	result, problems, err := derive.Run(folder)
	stopAt(problems, err)
	for _, t := range result.Tables {
		fmt.Printf("%x  %s\n", sha256.Sum256(t.Text), t.Name)
	}
}

func stopAt(problems []trial.Problem, err error) {
	for _, p := range problems {
		fmt.Fprintln(os.Stderr, p)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	if len(problems) > 0 || err != nil {
		os.Exit(1)
	}
}
