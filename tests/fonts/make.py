"""Makes the fonts of the printed page: subsets for PDF, outlines and advances for SVG and for the layout.

usage: make.py BRAVURA_FOLDER ACADEMICO_FOLDER OUT

Bravura is the reference font of the SMuFL standard, Academico the text font that goes with it, both under the SIL Open
Font License 1.1. A subset is a modified version in the sense of that licence, so it gets a name of its own.
"""

import json
import os
import sys

from fontTools import subset
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.ttLib import TTFont

# SMuFL names and code points of the signs a page needs.
SIGNS = {
    "gClef": 0xE050, "fClef": 0xE062, "brace": 0xE000, "segno": 0xE047, "coda": 0xE048, "repeatDot": 0xE044,
    "noteheadWhole": 0xE0A2, "noteheadHalf": 0xE0A3, "noteheadBlack": 0xE0A4, "augmentationDot": 0xE1E7,
    "accidentalFlat": 0xE260, "accidentalNatural": 0xE261, "accidentalSharp": 0xE262,
    "accidentalDoubleSharp": 0xE263, "accidentalDoubleFlat": 0xE264,
    "flag8thUp": 0xE240, "flag8thDown": 0xE241, "flag16thUp": 0xE242, "flag16thDown": 0xE243,
    "flag32ndUp": 0xE244, "flag32ndDown": 0xE245,
    "restWhole": 0xE4E3, "restHalf": 0xE4E4, "restQuarter": 0xE4E5, "rest8th": 0xE4E6, "rest16th": 0xE4E7, "rest32nd": 0xE4E8,
    "csymDiminished": 0xE870, "csymHalfDiminished": 0xE871, "csymAccidentalFlat": 0xED60, "csymAccidentalSharp": 0xED62,
    "csymAccidentalDoubleFlat": 0xED64, "csymAccidentalDoubleSharp": 0xED63,
    "metNoteQuarterUp": 0xE1D5, "metNoteHalfUp": 0xE1D3, "metNote8thUp": 0xE1D7,
    **{f"timeSig{n}": 0xE080 + n for n in range(10)},
    **{f"tuplet{n}": 0xE880 + n for n in range(10)},
}
LATIN = list(range(0x20, 0x7F)) + list(range(0xA0, 0x180)) + [
    0x2013, 0x2014, 0x2018, 0x2019, 0x201C, 0x201D, 0x2026, 0x2022, 0x266D, 0x266E, 0x266F]


def outline(font, glyph):
    glyphs = font.getGlyphSet()
    pen = SVGPathPen(glyphs, ntos=lambda value: f"{value:g}")
    glyphs[glyph].draw(pen)
    bounds = BoundsPen(glyphs)
    glyphs[glyph].draw(bounds)
    return pen.getCommands(), [round(edge) for edge in bounds.bounds or (0, 0, 0, 0)]


def rename(font, name):
    top = font["CFF "].cff
    top.fontNames = [name.replace(" ", "")]
    entry = top.topDictIndex[0]
    for field in ("FullName", "FamilyName", "Notice", "Copyright"):
        entry.rawDict.pop(field, None)
    font["name"].names = []
    font["name"].setName(name, 1, 3, 1, 0x409)


def make(path, name, codes, names, out):
    font = TTFont(path)
    options = subset.Options()
    options.layout_features, options.name_IDs, options.desubroutinize = [], [], True
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[code for code in codes if code in font.getBestCmap()])
    subsetter.subset(font)
    rename(font, name)
    whole = os.path.join(out, "whole.otf")
    font.save(whole)
    font = TTFont(whole)
    with open(os.path.join(out, name.replace(" ", "-").lower() + ".cff"), "wb") as file:
        file.write(font.reader["CFF "])
    os.remove(whole)
    rows = []
    for code, glyph in sorted(font.getBestCmap().items()):
        path, box = outline(font, glyph)
        label = names.get(code, f"{code:04X}")
        rows.append("\t".join([f"{code:04X}", label, str(font.getGlyphID(glyph)), str(font["hmtx"][glyph][0]), *map(str, box), path]))
    with open(os.path.join(out, name.replace(" ", "-").lower() + ".tsv"), "w", encoding="utf-8") as file:
        file.write("\n".join(rows) + "\n")


def main(bravura, academico, out):
    os.makedirs(out, exist_ok=True)
    make(f"{bravura}/bravura.otf", "Page Signs", SIGNS.values(), {code: name for name, code in SIGNS.items()}, out)
    make(f"{academico}/academico.otf", "Page Text", LATIN, {}, out)
    make(f"{academico}/academico-bold.otf", "Page Text Bold", LATIN, {}, out)
    for kind, folder in (("SIGNS", bravura), ("TEXT", academico)):
        with open(f"{folder}/LICENSE.txt", encoding="utf-8") as licence, open(f"{out}/OFL-{kind}.txt", "w", encoding="utf-8") as copy:
            copy.write(licence.read())


main(*sys.argv[1:4])
