#!/usr/bin/env bash
# Hold the pages and the sound that Compline writes against independent readers.
#
#   make.sh                     the demo charts, and the charts in charts/ that are hard to set
#   make.sh FOLDER              the charts in FOLDER
#   make.sh FOLDER PICTURES     and keep the painted pages in PICTURES, to be looked at
#
# PDF: PDFium's text has every chord symbol in the order of the page, and as many pages as are numbered; qpdf finds no
# fault; poppler, where it is installed, reads the same. SVG: well-formed XML, and resvg and, where it is installed, a
# browser paint ink on it. The same charts give the same bytes again. WAV: each note's fundamental lies within 3 cents of
# its key, nothing is clipped, it lasts as long as the performance, and a muddy chord has more of its energy at the bottom.
#
# The program is target/release/compline, or $COMPLINE; the browser is chromium, or $CHROMIUM.
# Exit status: 0 all is well; 1 something is wrong (each thing is printed);
# 2 it could not be tried: a tool missing, a registry out of reach.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
project=$(cd "$here/../.." && pwd)
compline=${COMPLINE:-$project/target/release/compline}
browser=${CHROMIUM:-chromium}
charts=("$project/charts" "$here/charts")
[ $# = 0 ] || charts=("$1")
pictures=${2:-}

. "$here/../tools.sh"

[ -x "$compline" ] || give_up "$compline is not there: cargo build --release"
need_python

temporary=$(mktemp -d)
trap 'rm -rf "$temporary"' EXIT

python=$(python_with "$here/requirements.txt" "$temporary") || exit

# written FOLDER: the charts in every format, as files in FOLDER.
written() {
    mkdir "$1"
    for to in json pdf svg; do
        "$compline" voice "${charts[@]}" --to $to -o "$1/" 2>/dev/null ||
            [ $? = 1 ] || give_up "compline voice --to $to failed"
    done
}
written "$temporary/out"
written "$temporary/again"

# One key after the other, each in a bar of its own, held for two seconds.
ask() {
    with_python "$here/check.py" "$@"
}
ask scale >"$temporary/scale.chart"
"$compline" voice "$temporary/scale.chart" --to wav -o "$temporary/scale.wav"
# One chord in the middle of the piano, and an octave lower, where it is muddy.
for place in middle:Eb3.G3.Ab3.C4 low:Eb2.G2.Ab2.C3; do
    printf 'tempo: 60\n| Abmaj7 |\nlh | %s |\n' "${place#*:}" |
        "$compline" voice -q - --to wav -o "$temporary/${place%%:*}.wav"
done
"$compline" drill ii-V-I --tempo 180..240 --to wav -o "$temporary/drill.wav"
"$compline" drill ii-V-I --tempo 180..240 --to json -o "$temporary/drill.json"

status=0
diff -r "$temporary/out" "$temporary/again" || status=1
if command -v "$browser" >/dev/null; then
    # All pages on one sheet, since a browser takes longer to start than to paint.
    ask sheet "$temporary/out" >"$temporary/sheet.html"
    # HOME is set aside so that no settings file is left behind.
    HOME=$temporary timeout 120 "$browser" --headless --no-sandbox --disable-gpu --hide-scrollbars \
        --window-size="$(ask size "$temporary/out")" --screenshot="$temporary/sheet.png" \
        "file://$temporary/sheet.html" >/dev/null 2>&1 || give_up "$browser takes no screenshot"
else
    echo "no $browser here: the SVG pages are painted by resvg alone"
fi
command -v pdftotext >/dev/null || echo "no pdftotext here: the PDF pages are read by PDFium alone"
ask pages "$temporary/out" || status=1
ask sound "$temporary" || status=1
if [ -n "$pictures" ]; then
    mkdir -p "$pictures"
    cp "$temporary"/out/*.png "$pictures"
    [ ! -e "$temporary/sheet.png" ] || cp "$temporary/sheet.png" "$pictures"
fi
exit $status
