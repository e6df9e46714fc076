#!/bin/sh
# lint-man.sh writes the manual pages and has mandoc look for what man(7) does not allow. Lines
# longer than 80 bytes in the source are no fault: nobody reads the source.
set -eu
mandoc=$(sh "$(dirname "$0")/need.sh" mandoc)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
go run ./cmd/internal/manual -o "$work"
"$mandoc" -Tlint -Wwarning "$work"/man/man1/*.1
ls "$work"/man/man1 | wc -l | sed 's/^ */manual pages without a fault: /'
