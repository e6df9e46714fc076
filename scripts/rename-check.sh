#!/bin/sh
# rename-check.sh turns the module's path in a clone of the last commit, with rename-module.sh,
# and shows that what is committed there can be built from a fresh clone, as a host's `go
# install` would: the tests of three packages pass, one of them that of the rules, and the
# program has the explorer inside. A path that is none is refused, and changes nothing.
set -eu

from=$(git rev-parse --show-toplevel)
work=$(mktemp -d)
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT INT TERM
fail() { echo "rename-check.sh: $*" >&2; exit 1; }
path=example.org/somebody/soletrial

git clone -q "$from" "$work/clone"
cd "$work/clone"
for wrong in soletrial 'example.org' 'example.org/a b' 'example.org/$(touch x)'; do
	if sh scripts/rename-module.sh "$wrong" 2>/dev/null; then
		fail "the path \"$wrong\" is taken"
	fi
	[ -z "$(git status --porcelain)" ] || fail "a path that is refused changes files"
done

# A program that is built without the explorer says so before anything else.
go build -o "$work/plain" ./cmd/soletrial
first=$("$work/plain" publish -o "$work/site" 2>&1 >/dev/null | head -n 1)
case $first in
*"built without the explorer"*) ;;
*) fail "without the explorer, publish begins with \"$first\"" ;;
esac

sh scripts/rename-module.sh "$path" >/dev/null
git -c user.name=test -c user.email=test@example.org commit -qm "Host at $path"
git clone -q "$work/clone" "$work/hosted"
cd "$work/hosted"
go vet ./cmd/... ./scripts/...
go test ./pipeline/units ./viewer/bundle ./scripts/rules
go build -o "$work/program" ./cmd/soletrial
"$work/program" version | grep -q '^explorer  *inside$' || fail "the program that is built there has no explorer"
if git grep -nE '"soletrial/' -- '*.go'; then
	fail "the old path still stands in the lines above"
fi
echo "rename-check.sh: a clone with the path $path builds, tests and has the explorer inside"
