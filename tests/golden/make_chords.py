"""Write what music21 and mir_eval say about chords, as JSON lines.

Usage: make_chords.py FOLDER. Writes music21.jsonl, music21-spelled.jsonl and
mir_eval.jsonl into FOLDER: a meta record first, then one record a line, sorted.
Nothing here corrects a library: what it says is written down, right or wrong.
"""

import json
import sys
from importlib.metadata import version
from pathlib import Path

from mir_eval import chord as mir
from music21 import harmony, pitch

ROOTS = "C Db D Eb E F F# Gb G Ab A Bb B C# D# G# A# Cb".split()
LETTERS = "CDEFGAB"


def write(folder, name, meta, records, key):
    """Write one golden: the meta line, then the records in the order of `key`."""
    lines = [{"record": "meta", **meta}, *sorted(records, key=key)]
    text = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)
    (folder / name).write_text(text, encoding="utf-8")


def ours(name):
    """music21 writes a flat as a hyphen ("-7", "G-"); this writes it as b."""
    return name.replace("-", "b")


def semitones(pitches, root="C"):
    """Pitch classes above `root`, sorted, each once."""
    base = pitch.Pitch(root).pitchClass
    return sorted({(p.pitchClass - base) % 12 for p in pitches})


def parsed(abbreviation):
    """What ChordSymbol reads "C" plus one of its own abbreviations as."""
    written = "C" + abbreviation
    symbol = harmony.ChordSymbol(written)
    return {
        "written": written,
        "kind": symbol.chordKind,
        "intervals": semitones(symbol.pitches),
    }


def spelled(root, kind, degrees):
    """The pitch names of a kind on a root, in the order of its degrees."""
    chord = harmony.ChordSymbol(root=root.replace("b", "-"), kind=kind)
    by_letter = {p.step: p.name for p in chord.pitches}
    first = LETTERS.index(root[0])
    numbers = (int(d.lstrip("b#")) for d in degrees)
    letters = [LETTERS[(first + n - 1) % 7] for n in numbers]
    assert sorted(letters) == sorted(by_letter), (root, kind, by_letter)
    return [ours(by_letter[letter]) for letter in letters]


def music21_records():
    """One record a kind, and one a kind and root."""
    names = {}
    for alias, kind in harmony.CHORD_ALIASES.items():
        names.setdefault(kind, []).append(alias)
    kinds, spellings = [], []
    for kind, (formula, abbreviations) in harmony.CHORD_TYPES.items():
        degrees = [ours(d) for d in formula.split(",")]
        chord = harmony.ChordSymbol(root="C", kind=kind)
        kinds.append({
            "record": "kind",
            "source": "music21",
            "kind": kind,
            "aliases": sorted(names.get(kind, [])),
            "symbols": list(abbreviations),
            "degrees": degrees,
            "intervals": semitones(chord.pitches),
            "parsed": [parsed(a) for a in abbreviations],
        })
        for root in ROOTS:
            spellings.append({
                "record": "spelling",
                "source": "music21",
                "kind": kind,
                "root": root,
                "names": spelled(root, kind, degrees),
            })
    return kinds, spellings


def bitmap(base, added):
    """The twelve bits of a quality with degrees added, as mir_eval makes them."""
    bits = mir.quality_to_bitmap(base).copy()
    for one in added:
        bits = bits + mir.scale_degree_to_bitmap(one, modulo=True)
    return [int(bit > 0) for bit in bits]


def readable(shorthand):
    """Whether mir_eval itself takes the label "C:shorthand"."""
    try:
        mir.encode("C:" + shorthand, reduce_extended_chords=True)
    except mir.InvalidChordException:
        return False
    return True


def mir_eval_records():
    """One record a shorthand: the qualities, and the extended ones reduced."""
    records = []
    for shorthand in {**mir.QUALITIES, **mir.EXTENDED_QUALITY_REDUX}:
        base, added = mir.reduce_extended_quality(shorthand)
        bits = bitmap(base, added)
        own = mir.QUALITIES.get(shorthand)
        records.append({
            "record": "shorthand",
            "source": "mir_eval",
            "shorthand": shorthand,
            "bitmap": "".join(map(str, bits)),
            "intervals": [place for place, bit in enumerate(bits) if bit],
            "quality_bitmap": None if own is None else "".join(map(str, own)),
            "reduced_to": base,
            "added": sorted(added, key=lambda d: int(d.lstrip("b#"))),
            "label_is_read": readable(shorthand),
        })
    return records


def main():
    """Write the three files."""
    folder = Path(sys.argv[1])
    music21 = {"source": "music21", "versions": {"music21": version("music21")}}
    mir_eval = {"source": "mir_eval", "versions": {"mir_eval": version("mir_eval")}}
    kinds, spellings = music21_records()
    by_kind = lambda r: r["kind"]
    by_root = lambda r: (r["kind"], ROOTS.index(r["root"]))
    write(folder, "music21.jsonl", music21, kinds, by_kind)
    write(folder, "music21-spelled.jsonl", music21, spellings, by_root)
    write(folder, "mir_eval.jsonl", mir_eval, mir_eval_records(),
          lambda r: r["shorthand"])


main()
