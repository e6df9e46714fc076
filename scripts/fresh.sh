#!/bin/sh
# fresh.sh makes a release for this machine alone, unpacks it in an empty folder as somebody
# would who has nothing else, and goes from a FIT file to a site by the first commands that
# README shows: those in its first block marked sh, as they stand there, and then serve. It
# exits 1 where one fails or the site lacks something. BUILD_FLAGS are those of the Makefile,
# which calls this as `make fresh`; the explorer must be built.
set -eu

root=$(git rev-parse --show-toplevel)
cd "$root"
work=$(mktemp -d)
server=
trap '[ -z "$server" ] || kill "$server" 2>/dev/null; rm -rf "$work"' EXIT INT TERM
fail() { echo "fresh.sh: $*" >&2; exit 1; }

# Make the archive, and check and unpack it as README says.
system=$(go env GOOS)/$(go env GOARCH)
case $system in windows/*) fail "this script needs a system with sh and tar" ;; esac
eval "go run ./scripts/release -o \"\$work/release\" -for \"\$system\" -- ${BUILD_FLAGS:?}"
mkdir "$work/home"
cd "$work/release"
sum() { if command -v sha256sum >/dev/null 2>&1; then sha256sum "$@"; else shasum -a 256 "$@"; fi; }
sum -c SHA256SUMS >/dev/null || fail "an archive is not what SHA256SUMS says"
for packed in *.tar.gz; do tar -xzf "$packed" -C "$work/home"; done
archive=$(basename "$work/home"/soletrial_*)
(cd "$work/home" && sum -c "$work/release/programs.sha256" >/dev/null) || fail "the program is not what programs.sha256 says"

# Run what README says, with nothing of this repository in reach but the FIT file.
cd "$work/home"
cp "$root/pipeline/recording/testdata/days/abba.fit" morning.fit
awk '/^```sh$/ { inside = 1; next } /^```$/ && inside { exit } inside' "$archive/README.md" >first-screen.sh
commands=$(grep -c '^soletrial ' first-screen.sh || true)
[ "$commands" -ge 5 ] || fail "README's first block of commands has $commands, want at least 5"
PATH=$work/home/$archive:/usr/bin:/bin sh -eux first-screen.sh || fail "README's first screen does not work"

# The site is there with all its parts, and serve shows it.
for path in index.html program.json explorer/soletrial.wasm.gz track/track.wasm.gz data/derived/ranking.csv; do
	[ -s "site/$path" ] || fail "the site has no $path"
done
"$archive/soletrial" -d mytrial serve -o served --listen 127.0.0.1:0 >address &
server=$!
tries=0
until [ -s address ]; do
	tries=$((tries + 1))
	[ $tries -le 600 ] || fail "serve does not say where it serves"
	sleep 0.1
done
if command -v curl >/dev/null 2>&1; then
	curl -fsS "$(cat address)" | cmp - site/index.html || fail "what is served is not what is published"
fi
# What goes along is there.
for path in LICENSE licences.txt CHANGELOG.md man/man1/soletrial.1 man/man1/soletrial-import.1 \
	completions/soletrial.bash completions/_soletrial completions/soletrial.fish completions/soletrial.ps1; do
	[ -s "$archive/$path" ] || fail "the archive has no $path"
done
# So does the other program, which takes the samples elsewhere.
export_archive=$(basename "$work/home"/soletrial-export_*)
"$export_archive/soletrial-export" mytrial --samples samples.csv >/dev/null
[ "$(wc -l <samples.csv)" -gt 1000 ] || fail "soletrial-export wrote no samples"
for path in LICENSE README.md licences.txt man/man1/soletrial-export.1; do
	[ -s "$export_archive/$path" ] || fail "the archive of soletrial-export has no $path"
done
echo "fresh.sh: from $archive to a site with $commands commands of README"
