#!/usr/bin/env bash
# Hold the pages and the sound that Compline writes against independent readers.
#
#   make.sh                     the demo charts
#   make.sh FOLDER              the charts in FOLDER
#   make.sh FOLDER PICTURES     and keep screenshots of the SVG pages in PICTURES, to be looked at
#
# PDF: poppler's text has every chord symbol in the order of the page, and as many pages as are numbered; qpdf finds no
# fault. SVG: well-formed XML, and a browser paints ink on it. WAV: each note's fundamental lies within 3 cents of its key,
# nothing is clipped, and it lasts as long as the performance.
#
# The program is target/release/compline, or $COMPLINE; the browser is chromium, or $CHROMIUM.
# Exit status: 0 all is well; 1 something is wrong (each thing is printed);
# 2 it could not be tried: a tool missing, a registry out of reach.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
project=$(cd "$here/../.." && pwd)
compline=${COMPLINE:-$project/target/release/compline}
browser=${CHROMIUM:-chromium}
charts=${1:-$project/charts}
pictures=${2:-}

give_up() {
    printf 'make.sh: %s\n' "$*" >&2
    exit 2
}

[ -x "$compline" ] || give_up "$compline is not there: cargo build --release"
for tool in python3 pdftotext pdfinfo qpdf "$browser"; do
    command -v "$tool" >/dev/null ||
        give_up "$tool is not installed (Debian packages: python3-venv poppler-utils qpdf chromium)"
done

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT

python3 -m venv "$temporary/python" >&2 || give_up "python3 could not make a virtual environment"
"$temporary/python/bin/pip" install --quiet --disable-pip-version-check --only-binary :all: \
    --retries 2 --timeout 30 -r "$here/requirements.txt" >&2 ||
    give_up "pip could not install requirements.txt: PyPI is out of reach or does not have those versions (see above)"

mkdir "$temporary/out"
for to in json pdf svg; do
    "$compline" voice "$charts" --to $to -o "$temporary/out/" 2>/dev/null ||
        [ $? = 1 ] || give_up "compline voice --to $to failed"
done
# One key after the other, each in a bar of its own, held for four seconds.
"$temporary/python/bin/python" -B "$here/check.py" scale >"$temporary/scale.chart"
"$compline" voice "$temporary/scale.chart" --to wav -o "$temporary/scale.wav"
"$compline" drill ii-V-I --tempo 180..240 --to wav -o "$temporary/drill.wav"
"$compline" drill ii-V-I --tempo 180..240 --to json -o "$temporary/drill.json"

status=0
# HOME is set aside so that no tool leaves a settings file behind.
for svg in "$temporary"/out/*.svg; do
    HOME=$temporary timeout 60 "$browser" --headless --no-sandbox --disable-gpu --hide-scrollbars \
        --window-size=1240,1754 --screenshot="${svg%.svg}.png" "file://$svg" >/dev/null 2>&1 ||
        give_up "$browser takes no screenshot"
done
"$temporary/python/bin/python" -B "$here/check.py" pages "$temporary/out" || status=1
"$temporary/python/bin/python" -B "$here/check.py" sound "$temporary" || status=1
if [ -n "$pictures" ]; then
    mkdir -p "$pictures"
    cp "$temporary"/out/*.png "$pictures"
fi
exit $status
