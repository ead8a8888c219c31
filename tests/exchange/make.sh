#!/usr/bin/env bash
# Hold the MusicXML and MIDI that Compline writes against independent readers and the schema, and what it
# reads of the MusicXML suite inside music21 against suite.tsv and suite-charts.txt. With COMPLINE_DATA, the same of
# real charts, plain and transposed, and a collection of folk tunes in ABC against abc.tsv and abc-lengths.tsv.
#
#   make.sh           the demo charts, and the suite
#   make.sh FOLDER    the charts in FOLDER, and the suite
#   make.sh --all     100 real charts instead of 8, and the folk tunes
#   make.sh --write   write the tables anew
#
# The program is target/release/compline, or $COMPLINE.
# Exit status: 0 all the same; 1 something differs (each difference is printed);
# 2 it could not be tried: a tool missing, a registry out of reach.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
project=$(cd "$here/../.." && pwd)
compline=${COMPLINE:-$project/target/release/compline}
write= all=
[ "${1:-}" = --write ] && write=yes all=yes && shift
[ "${1:-}" = --all ] && all=yes && shift
charts=${1:-$project/charts}

. "$here/../tools.sh"

[ -x "$compline" ] || give_up "$compline is not there: cargo build --release"
need_python

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT

python=$(python_with "$here/requirements.txt" "$temporary") || exit

# The package with the MusicXML 4.0 schema lacks the one of XLink that it refers to.
mkdir "$temporary/schema" "$temporary/out"
schema=$(with_python -c \
    'import importlib.util as u, pathlib; print(pathlib.Path(u.find_spec("musicxml").origin).parent)')
sed 's#http://www.musicxml.org/xsd/##' "$schema/generate_classes/musicxml_4_0.xsd" >"$temporary/schema/musicxml.xsd"
cp "$schema/generate_classes/xml.xsd" "$here/xlink.xsd" "$temporary/schema/"

# voiced CHARTS OUT [OPTION...]
voiced() {
    for to in json musicxml midi; do
        "$compline" voice "$1" --to $to --bass roots -o "$2/" "${@:3}" 2>/dev/null || [ $? -le 2 ]
    done
    [ -n "$(ls "$2")" ] || give_up "compline voice wrote nothing into $2"
}
voiced "$charts" "$temporary/out"
folders=("$temporary/out")

mkdir "$temporary/suite"
with_python "$here/suite_table.py" "$compline" "$temporary/suite"
if [ -n "$write" ]; then
    cp "$temporary/suite/suite.tsv" "$temporary/suite/suite-charts.txt" "$here/"
fi
same=0
for file in suite.tsv suite-charts.txt; do
    diff -u "$here/$file" "$temporary/suite/$file" || same=1
done

data=${COMPLINE_DATA:-}
if [ -n "$all" ] && [ -d "$data/abc-nottingham" ]; then
    mkdir "$temporary/abc"
    with_python "$here/abc_tunes.py" "$compline" "$data/abc-nottingham" "$temporary/abc" || same=1
    [ -z "$write" ] || cp "$temporary/abc/abc.tsv" "$temporary/abc/abc-lengths.tsv" "$here/"
    for file in abc.tsv abc-lengths.tsv; do
        diff -u "$here/$file" "$temporary/abc/$file" || same=1
    done
fi
if [ -d "$data/charts-billboard" ]; then
    # Spread evenly; some of them can't be read, so a few more are taken.
    every=$([ -n "$all" ] && echo 8 || echo 100)
    mkdir "$temporary/real" "$temporary/plain" "$temporary/transposed"
    find "$data/charts-billboard" -name '*.chart' | sort | awk "NR % $every == 1" | xargs cp -t "$temporary/real"
    voiced "$temporary/real" "$temporary/plain"
    voiced "$temporary/real" "$temporary/transposed" --key F#
    folders+=("$temporary/plain" "$temporary/transposed")
fi

# All in one: reading the schema and the libraries takes longer than asking.
with_python "$here/check_written.py" "$temporary/schema/musicxml.xsd" "${folders[@]}" || same=1
exit $same
