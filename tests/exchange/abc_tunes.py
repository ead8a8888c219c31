"""A collection of folk tunes in ABC, read by Compline and, a sample of it, by music21.

Usage: abc_tunes.py PROGRAM FOLDER OUT. FOLDER has tune books (*.abc); OUT is a folder for what is made.
Writes OUT/abc.tsv, a row a book and one for all: how many tunes there are, how many came in, why the others
did not; how many chord symbols there are and how many of them could not be read; how many tunes were voiced,
in how many of them every chord has a hand, and in how many what has none is told. And OUT/abc-lengths.tsv: of
200 tunes, spread evenly over all, those whose unfolded length in quarter notes is not music21's, with the length
that the words of the standard give (abc_length.py, which knows neither) and why music21 differs. Exit
status 1 where a tune has neither a hand under each chord nor a word about it, and where a length is neither
music21's nor the standard's and no reason is known.
"""

import json
import re
import subprocess
import sys
import warnings
from collections import Counter
from fractions import Fraction as F
from pathlib import Path

import mido
import music21

from abc_length import length_by_standard

warnings.filterwarnings("ignore")
SAMPLE = 200
# Where Compline has not what the standard gives.
LONE = "a first ending without a second: Compline takes what follows for the second, and tells"
KNOWN = {
    ("jigs", 86): LONE,
    ("jigs", 111): "several voices, of which Compline reads the first",
    ("jigs", 117): "music before the first part mark, which Compline reads into that part's pickup",
    ("morris", 27): LONE,
}
REFUSED = re.compile(r"^error: .*?([^/,]+)\.abc, tune (\d+): (.*)$", re.M)


def tunes(book):
    """The tunes of a book as text; a tune goes from `X:` to an empty line or the next one."""
    found, open_ = [], False
    for line in book.read_text(encoding="latin-1").splitlines():
        if line.startswith("X:"):
            found.append([line])
            open_ = True
        elif not line.strip():
            open_ = False
        elif open_:
            found[-1].append(line)
    return ["\n".join(lines) + "\n" for lines in found]


def symbols(tune):
    """Quoted text that is no annotation (an annotation begins with one of ^ _ < > @)."""
    music = [line.split("%")[0] for line in tune.splitlines() if not re.match(r"[A-Za-z+]:", line)]
    return [text for text in re.findall(r'"([^"]*)"', "\n".join(music)) if text[:1] not in ("^", "_", "<", ">", "@")]


def length_by_music21(tune):
    try:
        part = music21.converter.parse(tune, format="abc").parts[0]
        return str(F(part.expandRepeats().duration.quarterLength).limit_denominator(1000))
    except Exception:  # broken repeats raise errors of many kinds
        return "error"


def length(path):
    midi = mido.MidiFile(str(path))
    ticks = max(sum(message.time for message in track) for track in midi.tracks)
    return str(F(ticks, midi.ticks_per_beat))


class Collection:
    def __init__(self, program, folder, out):
        self.program, self.out = program, out
        self.books = sorted(folder.glob("*.abc"))
        told = self.run("convert", *self.books, "-o", f"{out / 'charts'}/", "--report", out / "lost.json")
        self.refused = {(book, int(number)): why for book, number, why in REFUSED.findall(told)}
        self.lost = {}
        for line in (out / "lost.json").read_text(encoding="utf-8").splitlines():
            report = json.loads(line)
            book, number = re.search(r"([^/]+)\.abc, tune (\d+)$", report["file"]).groups()
            self.lost[book, int(number)] = {item["kind"]: item["count"] for item in report["lost"]}
        self.voiced = self.run("voice", out / "charts", "-v", "--to", "json", "-o", f"{out / 'json'}/")
        self.run("voice", out / "charts", "--to", "midi", "-o", f"{out / 'midi'}/")

    def run(self, *arguments):
        ran = subprocess.run([self.program, *map(str, arguments)], capture_output=True, text=True, check=False)
        return ran.stderr

    def chart(self, book, number):
        """The name of the chart of a tune."""
        return next(iter((self.out / "charts").glob(f"{book}-{number:0>2}-*.chart")), None) or next(
            iter((self.out / "charts").glob(f"{book}-{number:0>3}-*.chart")), None)

    def hands(self, chart):
        """`all`, `told` or `silent`: whether each chord has a hand, or the program says where it has none."""
        path = self.out / "json" / f"{chart.stem}.json"
        if not path.exists():
            return "told" if chart.stem in self.voiced else "silent"
        tune = json.loads(path.read_text(encoding="utf-8"))
        empty = [slot for slot in tune["slots"] if slot["voicing"] is None and slot["symbol"] != "N.C."]
        if not empty:
            return "all"
        return "told" if len(tune["warnings"]) > 0 else "silent"

    def row(self, book):
        row = Counter()
        for number, tune in enumerate(tunes(book), 1):
            key = (book.stem, number)
            row["tunes"] += 1
            if key in self.refused:
                row["no chords" if "no chord symbols" in self.refused[key] else "refused"] += 1
                continue
            chart = self.chart(*key)
            row["in" if chart else "missing"] += 1
            row["symbols"] += len(symbols(tune))
            row["unread"] += self.lost[key].get("unread-chords", 0)
            row[self.hands(chart)] += 1
        return row


HEAD = "tunes in no_chords refused missing symbols unread all told silent".split()


def table(collection):
    rows, whole = [], Counter()
    for book in collection.books:
        row = collection.row(book)
        whole.update(row)
        rows.append((book.stem, row))
    rows.append(("all", whole))
    lines = ["\t".join(["book", *HEAD])]
    lines += ["\t".join([name, *(str(row[key.replace("_", " ")]) for key in HEAD)]) for name, row in rows]
    (collection.out / "abc.tsv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return whole


def why(tune, key, ours, standard):
    """Why music21 has another length."""
    if ours != standard:
        return KNOWN.get(key, "unexplained")
    head, body = re.split(r"^K:.*$", tune, maxsplit=1, flags=re.M)
    music = re.sub(r'"[^"]*"|^[A-Za-z]:.*$|%.*$', "", body, flags=re.M)
    if re.search(r"^P: *[A-Z(]", head, flags=re.M) and re.search(r"^P:", body, flags=re.M):
        return "the header gives an order of parts, which music21 does not play"
    if "::" in music:
        return "music21 does not take `::` for the end of one repeat and the start of the next"
    if len(re.findall(r":+\|", music)) > len(re.findall(r"\|:", music)):
        return "at a `:|` without `|:` music21 goes back over what was repeated before"
    if re.search(r"\[?1", music):
        return "music21 does not play every ending of this tune"
    return "music21 does not play every repeat of this tune"


def lengths(collection):
    every = [(book, number, tune) for book in collection.books for number, tune in enumerate(tunes(book), 1)]
    every = [tune for tune in every if (tune[0].stem, tune[1]) not in collection.refused]
    sample = [every[at * len(every) // SAMPLE] for at in range(SAMPLE)]
    lines, same = ["book\ttune\tlength\tstandard\tmusic21\twhy"], 0
    for book, number, tune in sample:
        chart = collection.chart(book.stem, number)
        ours, theirs = length(collection.out / "midi" / f"{chart.stem}.mid"), length_by_music21(tune)
        if ours == theirs:
            same += 1
            continue
        standard = str(length_by_standard(tune))
        reason = why(tune, (book.stem, number), ours, standard)
        lines.append("\t".join([book.stem, str(number), ours, standard, theirs, reason]))
    (collection.out / "abc-lengths.tsv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{len(sample)} tunes: {same} as long as music21 has them", file=sys.stderr)
    return not any(line.endswith("unexplained") for line in lines)


def main():
    program, folder, out = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
    collection = Collection(program, folder, out)
    whole = table(collection)
    explained = lengths(collection)
    sys.exit(0 if explained and not whole["silent"] and not whole["missing"] else 1)


main()
