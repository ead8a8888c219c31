"""What of the MusicXML suite inside music21 comes into a chart.

Usage: suite_table.py PROGRAM OUT. Writes OUT/suite.tsv, a row a file, and OUT/suite-charts.txt, the charts
of the files about chord symbols, repeats and endings.

A chart needs chords. Where a file has none, the symbol C is put before the first note of every measure
of its first part, so that everything else about the file is tried; its row says `+C`.

Columns: what the file has, counted in its XML (parts, measures, notes of the first part, chord symbols,
repeat signs, endings); the exit status; what came in (bars, melody notes, chord symbols in quotes of the
file's own); the length with repeats in quarter notes, ours and music21's (`error` where it raises); what
was told to be lost. Where the two lengths differ: a bar of a length that no meter has is filled with a rest
(02a, 03ab, 99a); what stands in a chord between its notes moves music21 on (21f); music21 multiplies
repeats that follow each other (45c) and leaves out a repeat within an ending (45e); on repeats that mean
nothing it raises (45d, 45f, 45g), and Compline takes out what can't be followed and tells.

Every note of the first part is in the melody, joined to another by a tie, on the
lower staff, or told: a row where that sum does not come out says `unaccounted`, and the exit status is 1.
"""

import copy
import json
import re
import subprocess
import sys
import tempfile
import warnings
import zipfile
from fractions import Fraction as F
from importlib.util import find_spec
from pathlib import Path
from xml.etree import ElementTree as ET

import mido
import music21

warnings.filterwarnings("ignore")
FOLDER = Path(find_spec("music21").origin).parent / "musicxml"
EXACT = re.compile(r"45|46|71|testChordOffset|testNC")
HEAD = (
    "file parts measures notes symbols repeats endings status bars melody chords length music21 lost".split()
)


def files():
    suite = [path for path in FOLDER.iterdir() if path.is_dir() and list(path.glob("01a*.xml"))][0]
    found = [path for path in sorted(suite.iterdir()) if path.suffix in (".xml", ".mxl")]
    return found + [FOLDER / "testChordOffset.xml", FOLDER / "testNC.xml"]


def tree(path):
    if path.suffix != ".mxl":
        return ET.parse(path).getroot()
    with zipfile.ZipFile(path) as archive:
        container = ET.fromstring(archive.read("META-INF/container.xml"))
        name = next(e.get("full-path") for e in container.iter() if e.tag.endswith("rootfile"))
        return ET.fromstring(archive.read(name))


def with_chords(root):
    """A copy with the symbol C before the first note of every measure of the first part."""
    root = copy.deepcopy(root)
    first = root.find("part")
    chord = ET.fromstring("<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>")
    for measure in first.findall("measure"):
        at = [child.tag for child in measure]
        place = min((at.index(tag) for tag in ("note", "backup", "forward") if tag in at), default=len(at))
        measure.insert(place, copy.deepcopy(chord))
    return root


def of_file(root):
    """What the XML has."""
    part = root.find("part")
    notes = [note for note in part.iter("note") if note.find("rest") is None]
    return {
        "parts": len(root.findall("part")),
        "measures": len(part.findall("measure")),
        "notes": len(notes),
        "lower": sum(note.findtext("staff") not in (None, "1") and note.find("grace") is None for note in notes),
        "cues": sum(note.find("cue") is not None for note in notes),
        "joined": sum(any(tie.get("type") == "stop" for tie in note.findall("tie")) for note in notes),
        "symbols": len(list(root.iter("harmony"))),
        "repeats": len(list(part.iter("repeat"))),
        "endings": sum(ending.get("type") == "start" for ending in part.iter("ending")),
    }


def melody_notes(chart):
    rows = [line[6:] for line in chart.splitlines() if line.startswith("mel")]
    notes = [token for row in rows for token in row.replace("|", " ").split()]
    return sum(re.match(r"[A-G]", token) is not None for token in notes)


def length_by_music21(path):
    try:
        part = music21.converter.parse(str(path), forceSource=True).parts[0]
        repeats = any(True for _ in part.recurse().getElementsByClass("RepeatMark"))
        part = part.expandRepeats() if repeats else part
        return str(F(part.duration.quarterLength).limit_denominator(1000))
    except Exception:  # broken repeats raise errors of many kinds
        return "error"


def row(name, root, work, lost):
    has = of_file(root)
    kinds = {item["kind"]: item["count"] for item in lost}
    out = work / "out" / f"{name}.chart"
    row = {"file": name, **{k: has[k] for k in HEAD[1:7]}, "lost": " ".join(f"{k}={v}" for k, v in kinds.items())}
    if not out.exists():
        return {**row, "status": 1}
    chart = out.read_text(encoding="utf-8")
    voiced = json.loads((work / "json" / f"{name}.json").read_text(encoding="utf-8"))
    midi = mido.MidiFile(str(work / "mid" / f"{name}.mid"))
    ticks = max(sum(message.time for message in track) for track in midi.tracks)
    melody = melody_notes(chart)
    told = sum(kinds.get(k, 0) for k in ("grace-notes", "lower-notes", "other-voices", "unpitched-notes"))
    # Within a bar tied notes are joined; over a bar line each stands in its bar.
    accounted = 0 <= has["notes"] - melody - told - has["lower"] - has["cues"] <= has["joined"]
    return {
        **row,
        "status": 0,
        "bars": max(slot["bar"] for slot in voiced["slots"]),
        "melody": melody,
        "chords": len([s for s in voiced["slots"] if s["symbol"] != "N.C."]) if has["symbols"] else "+C",
        "length": str(F(ticks, midi.ticks_per_beat)),
        "music21": length_by_music21(work / "in" / f"{name}.xml"),
        "lost": row["lost"] + ("" if accounted else " unaccounted"),
    }


def main():
    program, out = sys.argv[1], Path(sys.argv[2])
    work = Path(tempfile.mkdtemp(dir=out))
    (work / "in").mkdir()
    roots = {}
    for path in files():
        root = tree(path)
        roots[path.stem] = root
        has = root if list(root.iter("harmony")) else with_chords(root)
        ET.ElementTree(has).write(work / "in" / f"{path.stem}.xml", encoding="utf-8")

    def run(*arguments):
        subprocess.run([program, *map(str, arguments)], stderr=subprocess.DEVNULL, check=False)

    run("convert", work / "in", "-o", f"{work / 'out'}/", "--report", work / "lost.json")
    for to, folder in (("json", "json"), ("midi", "mid")):
        run("voice", work / "out", "--ignore-melody", "--to", to, "-o", f"{work / folder}/")
    lines = (work / "lost.json").read_text(encoding="utf-8").splitlines()
    lost = {Path(line["file"]).stem: line["lost"] for line in map(json.loads, lines)}
    rows = [row(name, root, work, lost.get(name, [])) for name, root in roots.items()]
    table = ["\t".join(HEAD)]
    table += ["\t".join(str(row.get(column, "")) for column in HEAD).rstrip() for row in rows]
    (out / "suite.tsv").write_text("\n".join(table) + "\n", encoding="utf-8")
    charts = []
    for name in filter(EXACT.match, roots):
        chart = work / "out" / f"{name}.chart"
        text = chart.read_text(encoding="utf-8") if chart.exists() else "no chart\n"
        text = "".join(line for line in text.splitlines(True) if not line.startswith("description"))
        charts.append(f"== {name}\n{text}")
    (out / "suite-charts.txt").write_text("\n".join(charts), encoding="utf-8")
    bad = [row["file"] for row in rows if "unaccounted" in row["lost"]]
    print(f"{len(rows)} files, {len([r for r in rows if r['status'] == 0])} came in", file=sys.stderr)
    for name in bad:
        print(f"{name}: notes are neither in the melody nor told", file=sys.stderr)
    sys.exit(1 if bad else 0)


main()
