"""Forms and the order of their bars as music21 expands them, one JSON object a line.

    make_form.py FOLDER     writes forms.jsonl into FOLDER

Two kinds of form. The repeat files (45...) of the MusicXML test suite that music21 carries are read by
music21. They have no jumps, so the forms in WRITTEN are built as music21 streams here. Both are written
as charts, and both are expanded by music21's own Expander.

A line is {"name", "chart", "played"}: "played" is the measures in the order they are played, counted from
1, or null where music21 refuses; "error" is then what it said.
"""

import json
import pathlib
import sys

import music21
from music21 import bar, note, repeat, spanner, stream

# Bars are dots with their words; the signs round them are those of the chart language, apart.
WRITTEN = {
    "repeat": "|: . . :| .",
    "repeat without a start": ". . :| .",
    "repeat without a start after another": "|: . :| . . :| .",
    "three times": "|: . . :|x3 .",
    "two in a row": "|: . :| |: . . :|",
    "repeat in a repeat": "|: . |: . :| . :| .",
    "two endings": "|: . . |1 . :| |2 . || .",
    "three endings": "|: . |1 . :| |2 . :| |3 . || .",
    "ending for two passes": "|: . |1,2 . :| |3 . || .",
    "first and third": "|: . |1,3 . :| |2 . :| .",
    "repeat without a start after endings": "|: . |1 . :| |2 . || . . :| .",
    "long endings": "|: . . |1 . . :| |2 . . || .",
    "da capo": ". . .@dc .",
    "da capo, at the end": ". . .@dc",
    "da capo al fine": ". .@fine . .@dc-al-fine",
    "da capo al coda": ". .@to-coda . .@dc-al-coda .@coda .",
    "dal segno": ". .@segno .@ds .",
    "dal segno al fine": ". .@segno .@fine . .@ds-al-fine",
    "dal segno al coda": ". .@segno .@to-coda . .@ds-al-coda .@coda .",
    "repeat before da capo": "|: . . :| . .@dc .",
    "repeat before da capo al fine": "|: . . :| .@fine . .@dc-al-fine",
    "repeat before dal segno": ". .@segno |: . :| .@ds .",
    "segno in a repeat": "|: . .@segno :| . .@ds .",
    "repeat after the jump": ". . .@dc |: . :| .",
    "jump in the last bar of a repeat": ". .@to-coda |: . .@dc-al-coda :| .@coda .",
    "repeat in the coda": ". .@to-coda .@dc-al-coda |: .@coda . :| .",
    "endings before da capo al fine": "|: . |1 . :| |2 .@fine || . .@dc-al-fine",
    "endings before dal segno al coda": ". |: .@segno .@to-coda |1 . :| |2 . || .@ds-al-coda .@coda .",
}

WORDS = {
    "segno": repeat.Segno,
    "coda": repeat.Coda,
    "to-coda": lambda: repeat.Coda("to coda"),
    "fine": repeat.Fine,
    "dc": repeat.DaCapo,
    "dc-al-fine": repeat.DaCapoAlFine,
    "dc-al-coda": repeat.DaCapoAlCoda,
    "ds": repeat.DalSegno,
    "ds-al-fine": repeat.DalSegnoAlFine,
    "ds-al-coda": repeat.DalSegnoAlCoda,
}


def read(form):
    """The bars of a form in WRITTEN."""
    bars, starts, ending = [], False, []
    for sign in form.split():
        if sign.startswith("."):
            words = sign.split("@")[1:]
            bars.append({"starts": starts, "ending": ending, "times": 0, "counted": False,
                         "double": False, "words": words})
            starts, ending = False, []
        elif sign == "|:":
            starts = True
        elif sign.startswith(":|"):
            bars[-1]["times"] = int(sign[3:] or 2)
            bars[-1]["counted"] = sign != ":|"
        elif sign == "||":
            bars[-1]["double"] = True
        else:
            ending = [int(number) for number in sign[1:].split(",")]
    return bars


def build(bars):
    """The same bars as a part of music21's."""
    part, bracket = stream.Part(), None
    for number, written in enumerate(bars, 1):
        measure = stream.Measure(number=number)
        signs = [word for word in written["words"] if word in ("segno", "coda")]
        instructions = [word for word in written["words"] if word not in signs]
        measure.append([WORDS[word]() for word in signs])
        measure.append(note.Note("C4", type="whole"))
        measure.append([WORDS[word]() for word in instructions])
        if written["starts"]:
            measure.leftBarline = bar.Repeat(direction="start")
        if written["times"]:
            times = written["times"] if written["counted"] else None
            measure.rightBarline = bar.Repeat(direction="end", times=times)
        part.append(measure)
        if written["ending"]:
            bracket = spanner.RepeatBracket(measure, number=written["ending"])
            part.insert(0, bracket)
        elif bracket is not None:
            bracket.addSpannedElements(measure)
        if written["times"] or written["double"]:
            bracket = None
    return part


def parse(part):
    """The bars of a part that music21 read."""
    first, last = {}, set()
    for bracket in part.recurse().getElementsByClass(spanner.RepeatBracket):
        # A bracket that only ever stops has no number.
        first[bracket.getFirst()] = [number for number in bracket.numberRange if number]
        last.add(bracket.getLast())
    bars = []
    for measure in part.getElementsByClass(stream.Measure):
        left, right = measure.leftBarline, measure.rightBarline
        goes_back = isinstance(right, bar.Repeat) and right.direction == "end"
        bars.append({
            "starts": isinstance(left, bar.Repeat) and left.direction == "start",
            "ending": first.get(measure, []),
            "times": (right.times or 2) if goes_back else 0,
            "counted": goes_back and right.times is not None,
            "double": measure in last and not goes_back,
            "words": [],
        })
    return bars


def chart(bars):
    """The bars in the chart language."""
    text, line = "", "|"
    for written in bars:
        opens = ":" if written["starts"] else ",".join(map(str, written["ending"]))
        # A count is no part of the sign that opens the next bar.
        text += line + ("|" if "x" in line and opens else "") + opens
        text += " C " + "".join(f"@{word} " for word in written["words"])
        if written["times"]:
            line = ":|" + (f"x{written['times']}" if written["counted"] else "")
        else:
            line = "||" if written["double"] else "|"
    return text + line


def expand(part):
    """The measures in music21's order, or what it has against the part."""
    # Copies made after a jump get new numbers, so each measure is marked with its place.
    for number, measure in enumerate(part.getElementsByClass(stream.Measure), 1):
        measure.groups.append(f"bar-{number}")
    try:
        expanded = repeat.Expander(part).process()
    except repeat.ExpanderException as refusal:
        return {"played": None, "error": str(refusal)}
    return {"played": [place(m) for m in expanded.getElementsByClass(stream.Measure)]}


def place(measure):
    """The number a measure was marked with."""
    (mark,) = [group for group in measure.groups if group.startswith("bar-")]
    return int(mark.removeprefix("bar-"))


def forms():
    """Every form with what music21 makes of it."""
    suite = pathlib.Path(music21.__file__).parent / "musicxml" / "lilypondTestSuite"
    for path in sorted(suite.glob("45*.xml")):
        part = music21.converter.parse(path, forceSource=True).parts[0]
        yield {"name": path.stem, "chart": chart(parse(part)), **expand(part)}
    for name, form in WRITTEN.items():
        bars = read(form)
        yield {"name": name, "chart": chart(bars), **expand(build(bars))}


def main():
    folder = pathlib.Path(sys.argv[1])
    lines = [json.dumps(form, ensure_ascii=False) + "\n" for form in forms()]
    (folder / "forms.jsonl").write_text("".join(lines), encoding="utf-8")


main()
