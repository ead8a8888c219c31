"""Hold kinds.tsv and disagreements.tsv, written by hand, against the goldens.

Every name a library has must stand in kinds.tsv, every record named there must exist,
and where a published content or a record differs from our reading, disagreements.tsv
must say so, rightly, and must say nothing else. Python's own library is enough.
Prints each fault; exit status 1 if there is any.
"""

import json
import re
import sys
from pathlib import Path

HERE = Path(__file__).parent
SCALE = [0, 2, 4, 5, 7, 9, 11]
KINDS = "origin name symbol published ours compare note".split()
DISAGREEMENTS = "symbol source key what theirs ours why".split()
MUSICXML_KINDS = 33
faults = []


def fault(text):
    faults.append(text)


def table(name, columns):
    """The rows of a commented, tab-separated table as dictionaries."""
    lines = (HERE / name).read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in lines if not line.startswith("#")]
    if rows[0] != columns:
        fault(f"{name}: the columns are not {columns}")
    for row in rows[1:]:
        if len(row) != len(columns) or not all(row):
            fault(f"{name}: not {len(columns)} filled columns: {row}")
    return [dict(zip(columns, row)) for row in rows[1:] if len(row) == len(columns)]


def golden(name):
    """The records of a golden file, its meta line left out."""
    lines = (HERE / name).read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines][1:]


def letters(degrees):
    """Degrees with the octave taken out: "9" is the same as "2"."""
    parts = (re.fullmatch(r"(b*|#*)(\d+)", d).groups() for d in degrees)
    return {(accidental, (int(number) - 1) % 7) for accidental, number in parts}


def semitones(degrees):
    """Pitch classes above the root."""
    return {
        (SCALE[step] + accidental.count("#") - accidental.count("b")) % 12
        for accidental, step in letters(degrees)
    }


def difference(ours, theirs):
    """`tones`, `spelling` (same keys, other names), or None: the same."""
    if semitones(ours) != semitones(theirs):
        return "tones"
    return None if letters(ours) == letters(theirs) else "spelling"


def records():
    """Every record that a row may name: key -> (degrees or None, semitones)."""
    found = {}
    for kind in golden("music21.jsonl"):
        found["music21:" + kind["kind"]] = (kind["degrees"], kind["intervals"])
    for one in golden("mir_eval.jsonl"):
        found["mir_eval:" + one["shorthand"]] = (None, one["intervals"])
    for one in golden("tonal.jsonl"):
        for alias in one["aliases"]:
            key = "tonal:" + (alias or "(empty)")
            found[key] = (one["degrees"], one["semitones"])
    return found


def compare(row, key, record):
    """The difference a record makes, as a row of disagreements.tsv would key it."""
    ours, (degrees, tones) = row["ours"].split(), record
    if degrees is None:
        return "tones" if semitones(ours) != set(tones) else None
    if semitones(degrees) != set(tones):
        fault(f"{key}: its degrees {degrees} are not its tones {tones}")
    return difference(ours, degrees)


def found_differences(rows, known):
    """(symbol, source, key, what) -> (row, record) for everything that differs."""
    found = {}
    for row in rows:
        if row["symbol"] == "-":
            continue
        if row["published"] != "-":
            what = difference(row["ours"].split(), row["published"].split())
            if what:
                theirs = row["published"].split()
                key = (row["symbol"], row["origin"], row["name"], what)
                found[key] = (row, (theirs, semitones(theirs)))
        for key in row["compare"].split():
            if key == "-":
                continue
            if key not in known:
                fault(f"kinds.tsv: no such record: {key}")
                continue
            what = compare(row, key, known[key])
            if what:
                source, name = key.split(":", 1)
                found[(row["symbol"], source, name, what)] = (row, known[key])
    return found


def misread():
    """music21's own abbreviations that it reads as other tones, keyed the same way."""
    return {
        (one["written"], "music21", kind["kind"], "reads"):
            ({"ours": "-"}, (None, one["intervals"]))
        for kind in golden("music21.jsonl")
        for one in kind["parsed"]
        if one["intervals"] != kind["intervals"]
    }


def check_disagreements(found):
    """What was found and what is listed are the same, word for word."""
    listed = {}
    for line in table("disagreements.tsv", DISAGREEMENTS):
        key = tuple(line[c] for c in ("symbol", "source", "key", "what"))
        if key in listed:
            fault(f"disagreements.tsv: twice: {key}")
        listed[key] = line
    for key in sorted(set(found) - set(listed)):
        row, (degrees, tones) = found[key]
        theirs = degrees or sorted(tones)
        fault(f"disagreements.tsv: missing: {key}: {theirs}, ours {row['ours']}")
    for key in sorted(set(listed) - set(found)):
        fault(f"disagreements.tsv: no such difference: {key}")
    for key in sorted(set(listed) & set(found)):
        row, (degrees, tones) = found[key]
        line = listed[key]
        theirs = line["theirs"].split()
        right = semitones(theirs) == set(tones) and degrees in (None, theirs)
        if not right or line["ours"] != row["ours"]:
            fault(f"disagreements.tsv: not what they say: {key}")


def check_complete(rows):
    """Nothing that a library has is passed over in silence."""
    kinds = golden("music21.jsonl")
    has = {
        "music21": [s or "(empty)" for kind in kinds for s in kind["symbols"]],
        "tonal": [a or "(empty)" for t in golden("tonal.jsonl") for a in t["aliases"]],
        "mir_eval": [m["shorthand"] or "(empty)" for m in golden("mir_eval.jsonl")],
    }
    # A mir_eval shorthand from the Harte table stands under harte.
    origins = {"mir_eval": ("mir_eval", "harte")}
    for source, names in has.items():
        own = origins.get(source, (source,))
        written = [row["name"] for row in rows if row["origin"] in own]
        if sorted(written) != sorted(names):
            odd = set(written) ^ set(names)
            fault(f"kinds.tsv: {source}: in one place only, or twice: {sorted(odd)}")
    count = len({r["name"] for r in rows if r["origin"] == "musicxml"})
    if count != MUSICXML_KINDS:
        fault(f"kinds.tsv: {count} MusicXML kinds, not {MUSICXML_KINDS}")


def check_one_reading(rows):
    """A symbol means one thing, whatever row it stands in."""
    readings = {}
    for row in rows:
        first = readings.setdefault(row["symbol"], row["ours"])
        if row["symbol"] == "-":
            continue
        if letters(first.split()) != letters(row["ours"].split()):
            fault(f"kinds.tsv: two readings of {row['symbol']}: {first}; {row['ours']}")


def main():
    """Run every check and print what is wrong."""
    rows = table("kinds.tsv", KINDS)
    check_complete(rows)
    check_one_reading(rows)
    found = found_differences(rows, records()) | misread()
    check_disagreements(found)
    for text in faults:
        print(text)
    if not faults:
        read = sum(row["symbol"] != "-" for row in rows)
        print(f"{len(rows)} rows, {read} with a symbol; {len(found)} disagreements, all listed")
    sys.exit(bool(faults))


main()
