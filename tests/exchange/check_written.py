"""Hold what Compline wrote against independent readers.

Usage: check_written.py XSD FOLDER... . A FOLDER has, of every chart, NAME.json, NAME.musicxml and
NAME.mid (written with --bass roots). For each:

- the MusicXML is valid against the MusicXML 4.0 schema;
- music21 and partitura find in it the left hand's notes, the tune, and the chord symbols where the
  JSON has them; music21 unfolds it to the length of the JSON's played order;
- mido and pretty_midi find in the MIDI file the notes of the JSON's played order, at its times.

Prints every difference; exit status 1 if there is any.
"""

import json
import re
import sys
import warnings
from collections import Counter
from fractions import Fraction as F
from pathlib import Path
from xml.etree import ElementTree

import mido
import music21
import partitura
import pretty_midi
import xmlschema

warnings.filterwarnings("ignore")
faults = []


def fault(name, text):
    faults.append(f"{name}: {text}")


def quarters_in_beat(meter):
    """A beat is a dotted quarter in 6/8, 9/8 and 12/8, else the lower number."""
    upper, lower = map(int, meter.split("/"))
    return F(3, 2) if lower == 8 and upper in (6, 9, 12) else F(4, lower)


class Chart:
    """A voiced chart from its JSON, its page taken from the written bars of the slots."""

    def __init__(self, path):
        self.json = json.loads(path.read_text(encoding="utf-8"))
        self.slots = self.json["slots"]
        self.meters = {}

    def hand(self, slot):
        return [n["midi"] for n in (slot["voicing"] or {"notes": []})["notes"]]


def written_hand(chart):
    """(bar, beat, pitches) of each voicing on the page."""
    return [(s["bar"], F(s["beat"]), tuple(chart.hand(s))) for s in chart.slots if s["voicing"]]


def check_unfolded(name, chart, score):
    """Where `play` is written out, the page of the file is another: the performance is compared."""
    want = [tuple(chart.hand(chart.slots[i])) for i in chart.json["played"]]
    hand = []
    for chord in score.parts[-1].expandRepeats().recurse().notes:
        tied = chord.tie is not None and chord.tie.type in ("stop", "continue")
        if not isinstance(chord, music21.harmony.Harmony) and not tied:
            hand.append(tuple(sorted(p.midi for p in chord.pitches)))
    if hand != [notes for notes in want if notes]:
        fault(name, "music21 reads another left hand, unfolded")


def check_music21(name, chart, path):
    score = music21.converter.parse(str(path))
    parts = list(score.parts)
    if len(parts[0].getElementsByClass("Measure")) != chart.slots[-1]["bar"]:
        check_unfolded(name, chart, score)
        return score
    hand_part = parts[-1]
    hand = []
    for at, measure in enumerate(hand_part.getElementsByClass("Measure"), 1):
        for chord in measure.recurse().notes:
            if isinstance(chord, music21.harmony.Harmony):
                continue
            if chord.tie is not None and chord.tie.type in ("stop", "continue"):
                continue
            hand.append((at, tuple(sorted(p.midi for p in chord.pitches))))
    want = [(bar, pitches) for bar, _, pitches in written_hand(chart)]
    if hand != want:
        fault(name, f"music21 reads another left hand: {set(hand) ^ set(want)}")
    tune = []
    if len(parts) > 1:
        for at, measure in enumerate(parts[0].getElementsByClass("Measure"), 1):
            for note in measure.recurse().getElementsByClass("Note"):
                if note.tie is None or note.tie.type == "start":
                    tune.append((at, note.pitch.midi))
    want = []
    seen = set()
    tied = None
    for s in chart.slots:
        for n in s.get("melody", []):
            key = (s["bar"], n["beat"])
            if key not in seen:
                seen.add(key)
                if n["midi"] != tied:
                    want.append((s["bar"], n["midi"]))
                tied = n["midi"] if n.get("tied") else None
    if tune != want:
        fault(name, f"music21 reads another tune: {Counter(tune) - Counter(want)} {Counter(want) - Counter(tune)}")
    check_symbols(name, chart, score)
    return score


def check_symbols(name, chart, score):
    symbols = []
    for part in score.parts:
        for at, measure in enumerate(part.getElementsByClass("Measure"), 1):
            for h in measure.recurse().getElementsByClass("ChordSymbol"):
                symbols.append((at, float(h.getOffsetBySite(measure) if h in measure else h.offset), h))
    symbols.sort(key=lambda s: s[:2])
    want = chart.slots
    if len(symbols) != len(want):
        fault(name, f"music21 reads {len(symbols)} chord symbols of {len(want)}")
        return
    for (bar, at, h), s in zip(symbols, want):
        if bar != s["bar"]:
            fault(name, f"music21 reads {s['symbol']} of bar {s['bar']} in bar {bar}")
        if s["symbol"] == "N.C.":
            continue
        if "//" in s["symbol"]:
            continue
        ours = {(music21.pitch.Pitch(s["root"].replace("b", "-")).pitchClass + semitones(t)) % 12 for t in s["tones"]}
        theirs = {p.pitchClass for p in h.pitches}
        if h.bass() is not None:
            ours |= {h.bass().pitchClass}
        # The fifth of a ninth and above: some lists of theirs leave it out.
        if ours != theirs:
            fault(name, f"music21 reads {s['symbol']} as {sorted(theirs)}, not {sorted(ours)}")


def semitones(degree):
    accidentals, number = re.fullmatch(r"([b#]*)(\d+)", degree).groups()
    scale = [0, 2, 4, 5, 7, 9, 11]
    return scale[(int(number) - 1) % 7] + accidentals.count("#") - accidentals.count("b")


def check_partitura(name, chart, path):
    part = partitura.load_musicxml(str(path))
    part = partitura.score.merge_parts(part.parts) if len(part.parts) > 1 else part.parts[0]
    notes = part.note_array(include_staff=True)
    two = any(s.get("melody", []) for s in chart.slots)
    hand = Counter(int(n["pitch"]) for n in notes if int(n["staff"]) == (2 if two else 1))
    want = Counter(p for s in chart.slots for p in chart.hand(s))
    rewritten = len(list(part.iter_all(partitura.score.Measure))) != chart.slots[-1]["bar"]
    if hand != want and not rewritten:
        fault(name, f"partitura reads another left hand: {hand - want} {want - hand}")


def played(chart, midi):
    """The (start, length, pitch) of the left hand in played order, in quarters.

    Lengths of beats come from the meters of the MIDI file's own first track, in order."""
    at, found, chords = F(0), [], []
    meters = []
    ticks = 0
    for message in midi.tracks[0]:
        ticks += message.time
        if message.type == "time_signature":
            meters.append((F(ticks, midi.ticks_per_beat), f"{message.numerator}/{message.denominator}"))
    for index in chart.json["played"]:
        s = chart.slots[index]
        meter = [m for start, m in meters if start <= at][-1]
        long = F(s["beats"]) * quarters_in_beat(meter)
        chords.append((at, s["symbol"].replace("♭", "b").replace("♯", "#")))
        found += [(at, long, pitch) for pitch in chart.hand(s)]
        at += long
    return found, chords, at


def check_midi(name, chart, path):
    midi = mido.MidiFile(str(path))
    want, chords, end = played(chart, midi)
    per = midi.ticks_per_beat
    for track in midi.tracks:
        ticks, open_notes, notes, texts = 0, {}, [], []
        for message in track:
            ticks += message.time
            if message.type == "note_on" and message.velocity:
                open_notes[message.note] = ticks
            elif message.type in ("note_off", "note_on"):
                start = open_notes.pop(message.note)
                notes.append((F(start, per), F(ticks - start, per), message.note))
            elif message.type == "text":
                # mido reads text as Latin-1.
                texts.append((F(ticks, per), message.text.encode("latin-1").decode("utf-8")))
        if F(ticks, per) != end:
            fault(name, f"mido: track {track.name!r} ends at {F(ticks, per)}, not {end}")
        if track.name == "Left hand":
            if sorted(notes) != sorted(want):
                fault(name, f"mido reads another left hand: {set(notes) ^ set(want)}")
            if texts != chords:
                fault(name, "mido reads other chord symbols")
    pretty = pretty_midi.PrettyMIDI(str(path))
    hand = [i for i in pretty.instruments if i.name == "Left hand"]
    # Its seconds follow every change of tempo; here they are quarters again.
    quarters = sorted((round(pretty.time_to_tick(n.start) / per, 2), n.pitch) for i in hand for n in i.notes)
    wanted = sorted((round(float(start), 2), pitch) for start, _, pitch in want)
    near = len(quarters) == len(wanted) and all(
        a[1] == b[1] and abs(a[0] - b[0]) < 0.05 for a, b in zip(quarters, wanted)
    )
    if not near:
        fault(name, "pretty_midi reads another left hand")
    return end


def main():
    xsd, folders = sys.argv[1], sys.argv[2:]
    schema = xmlschema.XMLSchema(xsd)
    if schema.is_valid("<score-partwise version='4.0'><part id='P1'/></score-partwise>"):
        fault("schema", "it takes what it must refuse")
    lists = [sorted(Path(folder).glob("*.json")) for folder in folders]
    charts = [path for charts in lists for path in charts]
    for path in charts:
        name, chart = path.stem, Chart(path)
        xml = path.with_suffix(".musicxml")
        document = ElementTree.parse(xml)
        errors = list(schema.iter_errors(str(xml)))
        if errors:
            fault(name, f"not valid: {errors[0].path}: {errors[0].reason}")
            continue
        end = check_midi(name, chart, path.with_suffix(".mid"))
        score = check_music21(name, chart, xml)
        check_partitura(name, chart, xml)
        if judged_by_music21(document):
            check_length(name, score, document, end)
    for text in faults:
        print(text)
    print(f"{len(charts)} charts, {len(faults)} differences")
    sys.exit(1 if faults or not all(lists) else 0)


def check_length(name, score, document, end):
    try:
        # The signs of a player's path stand over the upper staff.
        upper = score.parts[0]
        unfolded = upper.expandRepeats() if has_repeats(document) else upper
        length = F(unfolded.duration.quarterLength).limit_denominator(1000)
        if length != end:
            fault(name, f"music21 unfolds it to {length} quarters, not {end}")
    except Exception as error:  # its repeats raise errors of many kinds
        fault(name, f"music21 can't unfold it: {error}")


def judged_by_music21(document):
    """After a jump music21 walks through both endings of a repeat: such pages it can't judge."""
    jumps = any(e.get("dacapo") or e.get("dalsegno") for e in document.iter("sound"))
    return not (jumps and document.find(".//ending") is not None)


def has_repeats(document):
    found = document.iter()
    return any(e.tag == "repeat" or e.get("dacapo") or e.get("dalsegno") for e in found)


main()
