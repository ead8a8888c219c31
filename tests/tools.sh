# What the scripts under tests share, to be sourced by them: giving up, and the tools they install.
#
# Every script installs what it needs in a temporary folder of its own. Where COMPLINE_TOOLS names a folder, Python
# environments are made there and kept, one for each list of packages, so that scripts with the same list share one.

# give_up WORD...: it could not be tried.
give_up() {
    printf 'make.sh: %s\n' "$*" >&2
    exit 2
}

# need_python: Python with what makes environments.
need_python() {
    command -v python3 >/dev/null || give_up "python3 is not installed (needed: 3.11 or later)"
    python3 -c 'import ensurepip, venv' 2>/dev/null && return
    # Debian ships venv's installer apart from python3.
    [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null ||
        give_up "python3 has no venv; install it (Debian: apt-get install python3-venv)"
    { apt-get update -q && apt-get install -qy python3-venv; } >&2 &&
        python3 -c 'import ensurepip, venv' 2>/dev/null ||
        give_up "python3 has no venv and installing Debian's python3-venv did not bring it"
}

# python_with REQUIREMENTS TEMPORARY [OPTION...]: prints the folder of an environment with these packages, installed with
# pip's OPTIONs.
python_with() {
    local list=$1 folder=$2/python
    [ -z "${COMPLINE_TOOLS:-}" ] || folder=$COMPLINE_TOOLS/$(sha256sum <"$list" | cut -c1-16)
    if [ ! -e "$folder/whole" ]; then
        python3 -m venv --clear "$folder" >&2 || give_up "python3 could not make a virtual environment"
        "$folder/bin/pip" install --quiet --no-compile --disable-pip-version-check --only-binary :all: \
            --retries 2 --timeout 30 "${@:3}" -r "$list" >&2 ||
            give_up "pip could not install $list: PyPI is out of reach or does not have those versions (see above)"
        touch "$folder/whole"
    fi
    echo "$folder"
}

# node_with PACKAGE_JSON TEMPORARY: installs these packages in TEMPORARY/node.
node_with() {
    mkdir -p "$2/node"
    cp "$1" "$2/node/package.json"
    npm install --prefix "$2/node" --no-audit --no-fund --no-update-notifier \
        --ignore-scripts --no-package-lock --fetch-retries 2 --loglevel error >&2 ||
        give_up "npm could not install $1: the npm registry is out of reach or does not have those versions (see above)"
}

# with_python ARGUMENT...: runs the environment in $python with $temporary as its home, so that no library leaves a
# settings file behind. What is compiled is kept beside the packages, for the next question.
with_python() {
    HOME=$temporary PYTHONDONTWRITEBYTECODE= PYTHONPYCACHEPREFIX=$python/compiled "$python/bin/python" -W ignore "$@"
}
