"""The unfolded length of a tune in ABC, by the standard's own words and nothing else.

Written apart from Compline and from music21, so that where they differ there is a third to ask. It knows what
folk tunes have: fields within the tune, tuplets, broken rhythm, repeats (not within each other), endings, the order
of parts. A `:|` without `|:` goes back to the beginning, to the bar behind the last repeat or double bar (ABC
2.1, 4.8), and a `P:` line in the header gives the order of the parts (3.1.9).
"""

import re
from fractions import Fraction as F

TOKEN = re.compile(
    r'"[^"]*"|![^!]*!|\{[^}]*\}|\[[A-Za-z]:[^\]]*\]|(?P<ending>\[[1-9][0-9,\-]*)'
    r"|(?P<bar>(?:[:|]|\[\||(?<=\|)\])+)(?P<pass>[1-9][0-9,\-]*)?"
    r"|\((?P<tuplet>[2-9])(?::(?P<time>\d*))?(?::(?P<count>\d*))?"
    r"|(?P<chord>\[[^\]]*\]|\+[^+]*\+)?(?(chord)|(?P<note>[\^_=]*[A-Ga-gzx][,']*))(?P<length>\d*/*\d*)(?P<broken>[<>]*)"
    r"|."
)


def fraction(text):
    upper, slash, lower = text.partition("/")
    if not slash:
        return F(int(upper or 1))
    lower = lower.lstrip("/")
    return F(int(upper or 1), int(lower or 2 ** text.count("/")))


def passes(text):
    found = set()
    for part in re.split("[,.]", text.strip("[")):
        first, _, last = part.partition("-")
        if first:
            found |= set(range(int(first), int(last or first) + 1))
    return found


class Bar:
    def __init__(self):
        self.length, self.opens, self.closes, self.stops, self.endings = F(0), False, False, False, set()


class Tune:
    def __init__(self, text):
        self.order, self.unit, self.meter = None, None, None
        self.parts, self.part = {}, ""
        self.bar, self.factor, self.left, self.next = Bar(), F(1), 0, F(1)
        self.bars = self.parts.setdefault("", [])
        body = False
        for line in text.splitlines():
            line = re.sub(r"(?<!\\)%.*", "", line)
            field = re.match(r"([A-Za-z+]):(.*)", line)
            if field:
                self.field(field[1], field[2].strip(), body)
                body |= field[1] == "K"
            elif body:
                self.music(line)
        self.line(Bar())

    def field(self, name, value, body):
        if name == "L":
            self.unit = 4 * F(value)
        elif name == "M" and "/" in value:
            self.meter = F(value)
        elif name == "P" and not body:
            self.order = value
        elif name == "P" and re.fullmatch("[A-Z]", value):
            self.line(Bar())
            if self.bars:
                self.bars[-1].stops = True
            self.bars = self.parts.setdefault(value, [])

    def music(self, line):
        for token in TOKEN.finditer(line):
            if token["bar"]:
                self.bar_line(token["bar"], token["pass"])
            elif token["ending"]:
                self.bar.endings = passes(token["ending"])
            elif token["tuplet"]:
                count = int(token["tuplet"])
                compound = self.meter in (F(6, 8), F(9, 8), F(12, 8))
                usual = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}.get(count, 3 if compound else 2)
                self.factor = F(int(token["time"] or usual), count)
                self.left = int(token["count"] or count)
            elif token["chord"] or token["note"]:
                self.note(token)

    def note(self, token):
        length = fraction(token["length"])
        if token["chord"]:
            inside = re.search(r"[A-Ga-gz][,']*(\d*/*\d*)", token["chord"])
            length *= fraction(inside[1]) if inside else 1
        short = self.meter is not None and self.meter < F(3, 4)
        length *= self.unit or (F(1, 4) if short else F(1, 2))
        length, self.next = length * self.next, F(1)
        if self.left:
            length, self.left = length * self.factor, self.left - 1
        if token["broken"]:
            long = 2 - F(1, 2 ** len(token["broken"]))
            mine = long if token["broken"][0] == ">" else 2 - long
            length, self.next = length * mine, 2 - mine
        self.bar.length += length

    def bar_line(self, signs, ending):
        # `::` ends one repeat and begins the next.
        closes = signs.startswith(":") and signs != ":"
        opens = signs.endswith(":") and signs != ":"
        after = Bar()
        after.opens, after.endings = opens, passes(ending) if ending else set()
        self.bar.closes |= closes
        self.bar.stops |= not closes and not opens and len(signs) > 1
        self.line(after)

    def line(self, after):
        if self.bar.length:
            self.bars.append(self.bar)
        else:
            # Nothing stands before this line: what it ends is the bar before.
            if self.bars:
                self.bars[-1].closes |= self.bar.closes
                self.bars[-1].stops |= self.bar.stops
            after.opens |= self.bar.opens
            after.endings = after.endings or self.bar.endings
        self.bar = after


def unfolded(bars):
    total, at, start, number = F(0), 0, 0, 1
    while at < len(bars):
        bar = bars[at]
        if bar.opens and start != at:
            start, number = at, 1
        if bar.endings and number not in bar.endings:
            later = [i for i in range(at + 1, len(bars)) if number in bars[i].endings]
            if later and not any(b.closes or b.stops for b in bars[at : later[0] - 1]):
                at = later[0]
                continue
        total += bar.length
        at += 1
        last = at == len(bars) or number not in {p - 1 for b in bars[at : at + 1] for p in b.endings}
        if bar.closes and (number == 1 or not last):
            at, number = start, number + 1
        elif bar.closes or bar.stops:
            start, number = at, 1
    return total


def order(text):
    text = re.sub(r"[ .]", "", text)
    while re.search(r"\(([A-Z]*)\)(\d*)|([A-Z])(\d+)", text):
        text = re.sub(r"\(([A-Z]*)\)(\d*)", lambda m: m[1] * int(m[2] or 1), text)
        text = re.sub(r"([A-Z])(\d+)", lambda m: m[1] * int(m[2]), text)
    return text if text.isalpha() else ""


def length_by_standard(text):
    tune = Tune(text)
    names = order(tune.order or "")
    if names and all(name in tune.parts for name in names):
        return sum((unfolded(tune.parts[name]) for name in names), F(0))
    return unfolded([bar for bars in tune.parts.values() for bar in bars])
