# shellcheck shell=sh
# Sourced by run and test. `environment LOCK [PART...]` makes .venv in the project's folder hold what LOCK names
# (a PART is a lock that LOCK includes), or ends the program with one clear line. With nothing to do it takes
# a few milliseconds and no network.

root=$(dirname -- "$(dirname -- "$(readlink -f -- "$0")")")
venv=$root/.venv
# Another project's packages must not be seen by this one.
unset PYTHONPATH PYTHONHOME

fail() {
    printf 'Rinsebell: %s\n' "$*" >&2
    exit 1
}

# Where .venv lies and which Python it links to: when either changes, it no longer works.
origin() {
    printf '%s %s\n' "$venv" "$(readlink -f -- "$venv/bin/python")"
}

ready() {
    [ -x "$venv/bin/python" ] && [ ! -e "$venv/unfinished" ] && [ "$(cat "$venv/origin" 2>/dev/null)" = "$(origin)" ] ||
        return 1
    for lock in "$@"; do
        [ "$(cat "$root/deploy/$lock")" = "$(cat "$venv/$lock" 2>/dev/null)" ] || return 1
    done
}

new_enough() {
    "$1" -c 'import sys; print("%d.%d" % sys.version_info[:2]); sys.exit(sys.version_info < (3, 11))' 2>/dev/null
}

# Prints the first Python that is new enough; $PYTHON is tried first.
pick() {
    old=
    for python in ${PYTHON:-} python3 python3.14 python3.13 python3.12 python3.11; do
        found=$(new_enough "$python") && echo "$python" && return
        [ -z "$found" ] || old="$old; $python is $found"
    done
    fail "Python 3.11 or newer is needed${old:-; none was found}. Install one and start again."
}

# True when .venv is whole and may be added to; the mark `unfinished` tells of an install that was killed.
usable() {
    [ ! -e "$venv/unfinished" ] && new_enough "$venv/bin/python" >/dev/null &&
        "$venv/bin/python" -m pip --version >/dev/null 2>&1 || return 1
    [ ! -e "$venv/origin" ] || [ "$(cat "$venv/origin")" = "$(origin)" ]
}

fresh() {
    python=$(pick) || exit 1
    "$python" -c 'import ensurepip, venv' 2>/dev/null ||
        fail "$python lacks its venv module. On Debian or Ubuntu: apt install python3-venv"
    rm -rf "$venv"
    { mkdir -p "$venv" && : >"$venv/unfinished" && "$python" -m venv "$venv"; } || fail "could not make $venv"
}

install() {
    if usable; then whole=yes; else whole=no && fresh; fi
    printf 'Rinsebell: installing what it needs into %s (a minute, once)\n' "$venv" >&2
    : >"$venv/unfinished"
    if ! "$venv/bin/python" -m pip install --quiet --disable-pip-version-check --no-input \
        --require-hashes -r "$root/deploy/$1"; then
        # pip undoes what it could not finish, so an environment that was whole still is.
        [ "$whole" = no ] || rm -f "$venv/unfinished"
        fail "the packages could not be installed (see above); is there a network?"
    fi
    for lock in "$@"; do cp "$root/deploy/$lock" "$venv/$lock"; done
    origin >"$venv/origin"
    rm -f "$venv/unfinished"
}

# Nothing here may read what is piped to the bot.
environment() {
    _environment "$@" </dev/null
}

_environment() {
    if ready "$@"; then return; fi
    [ -w "$root" ] || fail "$venv does not fit deploy/$1. As the owner of $root, run deploy/run check once."
    if command -v flock >/dev/null; then
        exec 9<"$root/deploy/environment.sh"
        flock 9
    fi
    ready "$@" || install "$@"
    exec 9<&-
}
