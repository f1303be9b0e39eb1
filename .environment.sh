# Makes .venv with the pinned dependencies and one extra. Read in by demo/run and tests/run, from the top folder.
# Nothing is installed again while pyproject.toml, .constraints.txt and this place are the same.

find_python() {
    for name in ${PYTHON:-} python3 python3.14 python3.13 python3.12 python3.11; do
        if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            echo "$name"
            return
        fi
    done
    echo "This needs Python 3.11 or newer, and none was found: install python3.11 or newer, or name one with PYTHON=/path/to/python3." >&2
    return 1
}

make_environment() {
    extra=$1
    if [ -x .venv/bin/python ] && ! .venv/bin/python -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
        echo "The environment in .venv does not run any more; making it afresh." >&2
        rm -rf .venv
    fi
    stamp="$(cat pyproject.toml .constraints.txt | cksum) $PWD"
    for have in "$extra" test; do
        if [ "$(cat ".venv/stamp-$have" 2>/dev/null)" = "$stamp" ]; then
            return 0
        fi
    done
    python=$(find_python) || return 1
    if ! "$python" -c 'import venv, ensurepip' 2>/dev/null; then
        echo "Python's venv module is missing: install it (on Debian and Ubuntu: apt install python3-venv) and run this again." >&2
        return 1
    fi
    if [ ! -x .venv/bin/python ]; then
        echo "Making .venv with $("$python" --version) ..." >&2
        "$python" -m venv .venv || { rm -rf .venv; return 1; }
    fi
    echo "Installing the pinned dependencies ..." >&2
    .venv/bin/python -m pip install --disable-pip-version-check --constraint .constraints.txt --editable ".[$extra]" >&2 || {
        echo "The dependencies could not be installed; look at the lines above, then run this again." >&2
        return 1
    }
    printf '%s' "$stamp" > ".venv/stamp-$extra"
}
