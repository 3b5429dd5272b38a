#!/bin/sh
# The pages are tried in a real browser and the store on a real PostgreSQL server (which the tests
# start for themselves). Where root and apt are at hand they are installed; elsewhere the tests that
# need them say so in one sentence and are left out.
set -eu

wanted=
command -v chromium >/dev/null 2>&1 || wanted="$wanted chromium"
[ -n "$(find /usr/lib/postgresql -name initdb 2>/dev/null)" ] || command -v initdb >/dev/null 2>&1 ||
    wanted="$wanted postgresql"
[ -n "$wanted" ] || exit 0
[ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1 || exit 0

echo "Installing$wanted for the tests ..." >&2
apt-get update -qq >/dev/null 2>&1 || true
# shellcheck disable=SC2086
DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $wanted >/dev/null 2>&1 ||
    echo "That did not work; the tests that need$wanted are left out." >&2
