#!/bin/sh
# Makes .venv from the hash lock. One argument: runtime or dev.
set -eu
kind=$1

say() { printf '%s\n' "$*" >&2; }

new_enough() {
    "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1
}

can_make_one() {
    "$1" -c 'import ensurepip, venv' >/dev/null 2>&1
}

find_python() {
    found=
    for name in "${PYTHON:-python3}" python3.13 python3.12 python3.11 python; do
        new_enough "$name" || continue
        if can_make_one "$name"; then
            printf '%s\n' "$name"
            return
        fi
        [ -n "$found" ] || found=$name
    done
    if [ -z "$found" ]; then
        say "overslab needs Python 3.11 or newer, and none was found."
        say "Install one (on Debian or Ubuntu: apt-get install python3 python3-venv), or name it:"
        say "  make PYTHON=/path/to/python3.11 ..."
        exit 1
    fi
    version=$("$found" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
    package="python$version-venv"
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
        say "Python $version has no venv; installing $package ..."
        apt-get update -qq >/dev/null 2>&1 || true
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "$package" >/dev/null 2>&1 ||
            DEBIAN_FRONTEND=noninteractive apt-get install -y -qq python3-venv >/dev/null 2>&1 || true
    fi
    if ! can_make_one "$found"; then
        say "Python $version is there, but it cannot make a virtual environment."
        say "Install its venv module (on Debian or Ubuntu: apt-get install $package) and try again."
        exit 1
    fi
    printf '%s\n' "$found"
}

cd "$(dirname "$0")/.."
if ! new_enough .venv/bin/python || ! .venv/bin/python -m pip --version >/dev/null 2>&1; then
    python=$(find_python)
    say "Making .venv with $("$python" --version) ..."
    "$python" -m venv --clear .venv
fi

case $kind in
    runtime) lock=requirements.lock ;;
    dev) lock=requirements-dev.lock ;;
    *) say "environment.sh: runtime or dev, not $kind"; exit 2 ;;
esac
say "Installing what $lock holds (some 500 MB; a minute or two the first time) ..."
pip() { .venv/bin/python -m pip -qq --disable-pip-version-check --no-input "$@"; }
# Root in a container is no accident here: the packages go into .venv and nowhere else.
export PIP_ROOT_USER_ACTION=ignore
pip install --require-hashes -r "$lock" -r requirements-build.lock
pip install --no-deps --no-build-isolation --editable .

touch .venv/runtime.stamp
if [ "$kind" = dev ]; then
    touch .venv/dev.stamp
fi
