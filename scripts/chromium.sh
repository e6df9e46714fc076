#!/bin/sh
# Prints the path of a Chromium that the browser tests can drive. Where there is
# none it installs one with the system's own package manager and says so.
# The path goes to stdout, everything else to stderr. Fails when there is none
# to be had.
set -eu

say() { printf 'chromium.sh: %s\n' "$*" >&2; }

find_browser() {
	for name in "${CHROMIUM:-chromium}" chromium chromium-browser google-chrome google-chrome-stable chrome; do
		if path=$(command -v "$name" 2>/dev/null); then
			printf '%s\n' "$path"
			return 0
		fi
	done
	for path in /usr/lib/chromium/chromium /snap/bin/chromium "/Applications/Chromium.app/Contents/MacOS/Chromium" "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"; do
		if [ -x "$path" ]; then
			printf '%s\n' "$path"
			return 0
		fi
	done
	return 1
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

install_browser() {
	if command -v apt-get >/dev/null 2>&1; then
		say "no Chromium found; installing the package chromium with apt-get"
		as_root apt-get update -q >&2 || say "apt-get update failed; trying with the lists there are"
		as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends chromium >&2 ||
			as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends chromium-browser >&2
	elif command -v dnf >/dev/null 2>&1; then
		say "no Chromium found; installing the package chromium with dnf"
		as_root dnf install -y chromium >&2
	elif command -v pacman >/dev/null 2>&1; then
		say "no Chromium found; installing the package chromium with pacman"
		as_root pacman -Sy --noconfirm chromium >&2
	elif command -v apk >/dev/null 2>&1; then
		say "no Chromium found; installing the package chromium with apk"
		as_root apk add chromium >&2
	elif command -v zypper >/dev/null 2>&1; then
		say "no Chromium found; installing the package chromium with zypper"
		as_root zypper --non-interactive install chromium >&2
	elif command -v brew >/dev/null 2>&1; then
		say "no Chromium found; installing the cask chromium with brew"
		brew install --cask chromium >&2
	else
		say "no Chromium found and no package manager known here (apt-get, dnf, pacman, apk, zypper, brew); install Chromium by hand"
		return 1
	fi
}

if find_browser; then
	exit 0
fi
if ! install_browser; then
	say "Chromium could not be installed; see the messages above, install it by hand, or set CHROMIUM to its path"
	exit 1
fi
if ! find_browser; then
	say "the package was installed but no Chromium is on the PATH; set CHROMIUM to its path"
	exit 1
fi
