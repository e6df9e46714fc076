#!/bin/sh
# rename-module.sh PATH makes this clone ready to be hosted: it turns the module's path into
# PATH, the place it can be fetched from, such as example.org/you/soletrial, so that
#
#	go install PATH/cmd/soletrial@VERSION
#
# works there. Such an install runs no generator, so the explorer has to be in the commit that
# is tagged: the script builds it and adds it to git, although .gitignore keeps it out otherwise.
# It changes files and the index and commits nothing. Run it in the repository's root, once.
set -eu

fail() { echo "rename-module.sh: $*" >&2; exit 2; }
[ $# -eq 1 ] || fail "name one path, such as example.org/you/soletrial"
new=$1
case $new in
*/*) ;;
*) fail "\"$new\" is no path to fetch a module from: write HOST/OWNER/NAME" ;;
esac
printf '%s' "$new" | grep -Eq '^[a-z0-9][-a-z0-9.]*\.[a-z]+(/[-a-zA-Z0-9._~]+)+$' ||
	fail "\"$new\" cannot be the path of a module: write HOST/OWNER/NAME"
[ -f go.mod ] && [ -d cmd/soletrial ] || fail "run this in the repository's root"
old=$(sed -n 's/^module //p' go.mod)
[ "$old" != "$new" ] || fail "the module's path is $new already"
[ -z "$(git status --porcelain)" ] || fail "commit or put away your changes first"

# Imports, and the patterns by which scripts name packages, begin with the path after a quote
# or an equals sign.
escaped=$(printf '%s' "$old" | sed 's/[.]/\\./g')
git grep -lE "[\"=]$escaped/" -- '*.go' | while read -r path; do
	sed -E "s#([\"=])$escaped/#\\1$new/#g" "$path" >"$path.new"
	cat "$path.new" >"$path"
	rm "$path.new"
done
sed "s#^module .*#module $new#" go.mod >go.mod.new
cat go.mod.new >go.mod
rm go.mod.new
# Imports are sorted by path.
gofmt -w $(git diff --name-only -- '*.go')
go run ./scripts/viewer
git add -A
git add -f viewer/bundle/dist
echo "the module is $new, with the explorer inside: look at \`git diff --cached\`, commit, and tag the commit"
