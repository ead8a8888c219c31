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

. "$here/../tools.sh"

check=no
case "${1-}" in
    "") ;;
    --check) check=yes ;;
    *) give_up "unknown argument '$1' (only --check is known)" ;;
esac

for tool in node npm; do
    command -v "$tool" >/dev/null || give_up "$tool is not installed (needed: node 20 or later, npm)"
done
need_python

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT
out=$temporary/out
mkdir "$out"

python=$(python_with "$here/requirements.txt" "$temporary" --no-deps) || exit

node_with "$here/package.json" "$temporary"
cp "$here/make_chords.mjs" "$temporary/node/"

with_python "$here/make_chords.py" "$out" \
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
