#!/bin/sh
# need.sh chromium|firefox|webkit|xvfb|node|npm|qemu-aarch64|cc|mandoc|checkers: prints
# the path of a program that the tests drive, or of the folder with what they check pages
# and data with (scripts/checkers). Where there is none it installs one with the system's own
# package manager, or npm, and says so. The path goes to stdout, everything else
# to stderr. The variables CHROMIUM, FIREFOX, WEBKIT, XVFB, NODE, NPM, QEMU_AARCH64,
# CC and MANDOC name a program of your own instead.
set -eu

say() { printf 'need.sh: %s\n' "$*" >&2; }

what=${1:-}
case $what in
chromium)
	names="${CHROMIUM:-} chromium chromium-browser google-chrome google-chrome-stable chrome"
	paths="/usr/lib/chromium/chromium /snap/bin/chromium /Applications/Chromium.app/Contents/MacOS/Chromium"
	spaced="/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"
	packages="chromium chromium-browser"
	;;
node)
	names="${NODE:-} node nodejs"
	paths=
	packages=nodejs
	;;
npm)
	names="${NPM:-} npm"
	paths=
	packages=npm
	;;
cc)
	names="${CC:-} gcc cc clang"
	paths=
	packages="gcc clang"
	;;
mandoc)
	names="${MANDOC:-} mandoc"
	paths=
	packages=mandoc
	;;
checkers) ;;
firefox)
	names="${FIREFOX:-} firefox-esr firefox"
	paths="/Applications/Firefox.app/Contents/MacOS/firefox"
	packages="firefox-esr firefox"
	;;
webkit) # the program that drives it; Debian's package brings the browser too
	names="${WEBKIT:-} WebKitWebDriver"
	paths=
	packages="webkit2gtk-driver webkitgtk-webdriver"
	;;
xvfb) # the display that WebKit draws on where there is none
	names="${XVFB:-} Xvfb"
	paths=
	packages="xvfb xorg-x11-server-Xvfb xorg-server-xvfb"
	;;
qemu-aarch64)
	names="${QEMU_AARCH64:-} qemu-aarch64 qemu-aarch64-static"
	paths=
	packages="qemu-user qemu-user-static"
	;;
*)
	say "say what is needed: chromium, firefox, webkit, xvfb, node, npm, qemu-aarch64, cc, mandoc or checkers"
	exit 2
	;;
esac

find_program() {
	for name in $names; do
		if path=$(command -v "$name" 2>/dev/null); then
			printf '%s\n' "$path"
			return 0
		fi
	done
	for path in $paths "${spaced:-}"; do
		if [ -x "$path" ]; then
			printf '%s\n' "$path"
			return 0
		fi
	done
	return 1
}

# checkers installs what scripts/checkers pins, once for every version of its
# list, into a cache outside the repository: by npm, to the hashes in the list,
# running nothing of what it installs.
checkers() {
	list=$(dirname "$0")/checkers
	version=$(cat "$list/package.json" "$list/package-lock.json" | cksum | tr ' ' -)
	folder=${XDG_CACHE_HOME:-$HOME/.cache}/soletrial/checkers-$version
	if [ ! -e "$folder/node_modules" ]; then
		npm=$(sh "$0" npm)
		sh "$0" node >/dev/null
		mkdir -p "${folder%/*}"
		fresh=$(mktemp -d "$folder.XXXXXX")
		trap 'rm -rf "$fresh"' EXIT
		say "installing what pages and exported data are checked with into $folder with npm, once"
		cp "$list/package.json" "$list/package-lock.json" "$list/.npmrc" "$fresh"
		if ! (cd "$fresh" && "$npm" ci >&2); then
			say "npm could not install them; see the messages above. Only the tests of accessibility, of valid markup and of exported data need them."
			return 1
		fi
		mv "$fresh" "$folder" 2>/dev/null || [ -e "$folder/node_modules" ] # or someone was faster
	fi
	printf '%s\n' "$folder"
}

# as_root runs a command as it is for root, through sudo for others.
as_root() {
	if [ "$(id -u)" = 0 ]; then
		"$@"
	elif command -v sudo >/dev/null 2>&1; then
		sudo "$@"
	else
		say "installing needs root and there is no sudo; run as root: $*"
		return 1
	fi
}

# install tries one package by the name given with the package manager there is.
install() {
	for manager in apt-get dnf pacman apk zypper brew; do
		command -v "$manager" >/dev/null 2>&1 || continue
		say "no $what found; installing the package $1 with $manager"
		case $manager in
		apt-get)
			as_root apt-get update -q >&2 || say "apt-get update failed; trying with the lists there are"
			as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends "$1" >&2
			;;
		dnf) as_root dnf install -y "$1" >&2 ;;
		pacman) as_root pacman -Sy --noconfirm "$1" >&2 ;;
		apk) as_root apk add "$1" >&2 ;;
		zypper) as_root zypper --non-interactive install "$1" >&2 ;;
		brew) brew install "$1" >&2 ;;
		esac
		return
	done
	say "no $what found and no package manager known here (apt-get, dnf, pacman, apk, zypper, brew); install it by hand"
	return 1
}

if [ "$what" = checkers ]; then
	checkers
	exit
fi
find_program && exit 0
for package in $packages; do
	install "$package" && break
done
find_program && exit 0
say "$what could not be installed; see the messages above, install it by hand, or name it in the variable $(printf '%s' "$what" | tr a-z- A-Z_)"
exit 1
