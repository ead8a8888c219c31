#!/usr/bin/env bash
# Write the form goldens anew, or check that they are what music21 says.
#
#   make.sh           install the pinned music21 in a temporary folder and write forms.jsonl
#                     beside this script
#   make.sh --check   the same into the temporary folder, then compare byte for byte
#
# Exit status: 0 written, or the same; 1 it differs (the diff is printed);
# 2 it could not be tried: a wrong argument, a tool missing, a registry out of reach.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)

give_up() {
    printf 'make.sh: %s\n' "$*" >&2
    exit 2
}

check=no
case "${1-}" in
    "") ;;
    --check) check=yes ;;
    *) give_up "unknown argument '$1' (only --check is known)" ;;
esac

command -v python3 >/dev/null || give_up "python3 is not installed (needed: 3.11 or later)"
python3 -c 'import ensurepip, venv' 2>/dev/null ||
    give_up "python3 has no venv; install it (Debian: apt-get install python3-venv)"

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT

python3 -m venv "$temporary/python" >&2 || give_up "python3 could not make a virtual environment"
"$temporary/python/bin/pip" install --quiet --no-compile --disable-pip-version-check --no-deps \
    --only-binary :all: --retries 2 --timeout 30 -r "$here/../requirements.txt" >&2 ||
    give_up "pip could not install ../requirements.txt: PyPI is out of reach or does not have those versions (see above)"

# HOME is set aside so that music21 leaves no settings file behind.
HOME=$temporary "$temporary/python/bin/python" -B -W ignore "$here/make_form.py" "$temporary" \
    2>"$temporary/log" || { cat "$temporary/log" >&2; give_up "make_form.py failed"; }

if [ $check = no ]; then
    cp "$temporary/forms.jsonl" "$here/forms.jsonl"
    exit 0
fi

diff -u "$here/forms.jsonl" "$temporary/forms.jsonl" || exit 1
echo "forms.jsonl: the same as music21 gives"
