// Package notices holds the licences of the software of others that goes along
// with the programs and with the explorer. The texts are generated:
//
//	go run ./scripts/licences
package notices

import _ "embed"

// Program is what is inside the program, the explorer included: a list, and the
// texts that have to go along.
//
//go:embed program.txt
var Program string

// Export is the same of the program soletrial-export.
//
//go:embed export.txt
var Export string

// Explorer is the same of the explorer alone, to publish beside it.
//
//go:embed explorer.txt
var Explorer string
