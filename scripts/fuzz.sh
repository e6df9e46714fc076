#!/bin/sh
# Runs every fuzz target of the module for the given time each (default 30s).
set -eu
time=${1:-30s}
found=0
for dir in $(go list -f '{{.Dir}}' ./...); do
	for target in $(grep -ho '^func Fuzz[A-Za-z0-9_]*' "$dir"/*_test.go 2>/dev/null | sed 's/^func //'); do
		found=$((found + 1))
		echo "== $target in ${dir#"$PWD"/}"
		(cd "$dir" && go test -run '^$' -fuzz "^$target\$" -fuzztime "$time" .)
	done
done
[ "$found" -gt 0 ] || { echo "fuzz.sh: no fuzz target found" >&2; exit 1; }
echo "$found fuzz targets, $time each"
