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

. "$here/../../tools.sh"

check=no
case "${1-}" in
    "") ;;
    --check) check=yes ;;
    *) give_up "unknown argument '$1' (only --check is known)" ;;
esac

need_python

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT

python=$(python_with "$here/../requirements.txt" "$temporary" --no-deps) || exit

with_python "$here/make_form.py" "$temporary" \
    2>"$temporary/log" || { cat "$temporary/log" >&2; give_up "make_form.py failed"; }

if [ $check = no ]; then
    cp "$temporary/forms.jsonl" "$here/forms.jsonl"
    exit 0
fi

diff -u "$here/forms.jsonl" "$temporary/forms.jsonl" || exit 1
echo "forms.jsonl: the same as music21 gives"
