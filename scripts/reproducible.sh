#!/bin/sh
# reproducible.sh builds the programs, the explorer inside included, from two
# clones of the last commit in different folders, each with a build cache of its
# own and under another locale, time zone, umask and number of cores, and compares
# the bytes. With the argument release it makes the archives of a release in each,
# and compares those too. It exits 1 and says what differs when they are not the same.
set -eu
case ${1:-build} in build | release) target=${1:-build} ;; *) echo "reproducible.sh: build or release?" >&2; exit 2 ;; esac

from=$(git rev-parse --show-toplevel)
commit=$(git -C "$from" rev-parse HEAD)
work=$(mktemp -d)
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT INT TERM

# build_in clones into a folder and lists the sums of what a build makes there.
build_in() {
	folder=$1
	mkdir -p "$(dirname "$folder")"
	git clone -q "$from" "$folder"
	(
		cd "$folder"
		git checkout -q "$commit"
		GOCACHE="$work/cache-$(basename "$folder")" make -s "$target" >"$folder.log" 2>&1 || {
			cat "$folder.log" >&2
			exit 1
		}
		case $target in build) made=$(echo bin/*) ;; release) made=$(echo release/*) ;; esac
		sha256sum $made viewer/bundle/dist/*.*
	) >"$folder.sums"
}

(umask 022 && LC_ALL=C TZ=UTC GOMAXPROCS=1 build_in "$work/one")
(umask 077 && LC_ALL=tr_TR.UTF-8 TZ=Asia/Kathmandu GOMAXPROCS=2 build_in "$work/another/folder, with a longer name/two")
if ! diff -u "$work/one.sums" "$work/another/folder, with a longer name/two.sums"; then
	echo "reproducible.sh: two clones of $commit give different bytes, see above" >&2
	exit 1
fi
cat "$work/one.sums"
echo "reproducible: two clones of $commit, the same bytes"
