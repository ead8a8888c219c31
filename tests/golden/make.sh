#!/usr/bin/env bash
# Write the chord goldens anew, or check that they are what the libraries say.
#
#   make.sh           install the pinned libraries in a temporary folder and write
#                     the *.jsonl files beside this script
#   make.sh --check   the same into the temporary folder, then compare byte for byte
#                     and hold kinds.tsv and disagreements.tsv against them
#
# Exit status: 0 written, or all the same; 1 something differs (the diff is printed);
# 2 it could not be tried: a wrong argument, a tool missing, a registry out of reach.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
goldens=(music21.jsonl music21-spelled.jsonl mir_eval.jsonl tonal.jsonl)

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

for tool in python3 node npm; do
    command -v "$tool" >/dev/null || give_up "$tool is not installed (needed: python3 3.11 or later, node 20 or later, npm)"
done

# Debian ships venv's installer apart from python3.
if ! python3 -c 'import ensurepip, venv' 2>/dev/null; then
    [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null ||
        give_up "python3 has no venv; install it (Debian: apt-get install python3-venv)"
    { apt-get update -q && apt-get install -qy python3-venv; } >&2 &&
        python3 -c 'import ensurepip, venv' 2>/dev/null ||
        give_up "python3 has no venv and installing Debian's python3-venv did not bring it"
fi

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT
out=$temporary/out
mkdir "$out" "$temporary/node"

python3 -m venv "$temporary/python" >&2 || give_up "python3 could not make a virtual environment"
"$temporary/python/bin/pip" install --quiet --no-compile --disable-pip-version-check --no-deps \
    --only-binary :all: --retries 2 --timeout 30 -r "$here/requirements.txt" >&2 ||
    give_up "pip could not install requirements.txt: PyPI is out of reach or does not have those versions (see above)"

cp "$here/package.json" "$here/make_chords.mjs" "$temporary/node/"
npm install --prefix "$temporary/node" --no-audit --no-fund --no-update-notifier \
    --ignore-scripts --no-package-lock --fetch-retries 2 --loglevel error >&2 ||
    give_up "npm could not install package.json: the npm registry is out of reach or does not have those versions (see above)"

# HOME is set aside so that no library leaves a settings file behind.
HOME=$temporary "$temporary/python/bin/python" -B -W ignore "$here/make_chords.py" "$out" \
    2>"$temporary/python.log" || { cat "$temporary/python.log" >&2; give_up "make_chords.py failed"; }
node "$temporary/node/make_chords.mjs" "$out" >&2 || give_up "make_chords.mjs failed"

if [ $check = no ]; then
    for golden in "${goldens[@]}"; do cp "$out/$golden" "$here/$golden"; done
    wc -l "${goldens[@]/#/$here/}" >&2
    exit 0
fi

status=0
for golden in "${goldens[@]}"; do
    diff -u "$here/$golden" "$out/$golden" || status=1
done
python3 -B "$here/check_tables.py" || status=1
[ $status = 0 ] && echo "goldens: the same as the libraries give, and the tables agree with them"
exit $status
