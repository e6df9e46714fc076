#!/bin/sh
# reproducible.sh builds the programs, the explorer inside included, from two clones of the
# last commit in different folders, each under another locale, time zone, umask and number
# of cores, and compares the bytes. The second clone has an empty build cache of its own, so
# that it compiles everything, Go's own packages included; the first may take from this
# machine's cache what the same sources gave before.
#
# With the argument release it makes the archives of all systems in the first clone, and in
# the second those of one system: this machine's, or the one named after it, such as
# linux/arm64. Nothing in how an archive is made depends on its system but the compiler's
# target, and the explorer inside is the same in all. It exits 1 and says what differs when
# two are not the same.
set -eu
usage() { echo "reproducible.sh: build, or release [SYSTEM]?" >&2; exit 2; }
case ${1:-build} in build) [ $# -le 1 ] || usage ;; release) ;; *) usage ;; esac
target=${1:-build}
system=${2:-$(go env GOOS)/$(go env GOARCH)}

from=$(git rev-parse --show-toplevel)
commit=$(git -C "$from" rev-parse HEAD)
work=$(mktemp -d)
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT INT TERM

# build_in clones into a folder, makes the target there with further arguments for make, and
# lists the sums of what it made.
build_in() {
	folder=$1
	shift
	mkdir -p "$(dirname "$folder")"
	git clone -q "$from" "$folder"
	(
		cd "$folder"
		git checkout -q "$commit"
		make -s "$target" "$@" >"$folder.log" 2>&1 || {
			cat "$folder.log" >&2
			exit 1
		}
		case $target in build) made=$(echo bin/*) ;; release) made=$(echo release/*.zip release/*.gz) ;; esac
		for file in $made viewer/bundle/dist/*.* viewer/bundle/dist/track/*; do
			[ ! -e "$file" ] || sha256sum "$file"
		done
		if [ "$target" = release ]; then
			(cd release && sha256sum -c --quiet SHA256SUMS) || exit 1
		fi
	) >"$folder.sums"
}

one=$work/one
two="$work/another/folder, with a longer name/two"
(umask 022 && LC_ALL=C TZ=UTC build_in "$one")
(umask 077 && GOCACHE="$work/cache" LC_ALL=tr_TR.UTF-8 TZ=Asia/Kathmandu GOMAXPROCS=1 build_in "$two" FOR="$system")

# Every file of the second clone is in the first with the same sum.
if [ ! -s "$two.sums" ] || grep -vxFf "$one.sums" "$two.sums" >"$work/differ"; then
	cat "$work/differ" >&2
	echo "reproducible.sh: two clones of $commit give different bytes: the second gave the above" >&2
	exit 1
fi
cat "$one.sums"
echo "reproducible: two clones of $commit, the same bytes in all $(wc -l <"$two.sums") files of the second"
