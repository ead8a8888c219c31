"""What independent readers find on the pages and in the sound that Compline wrote; see make.sh.

`check.py scale` prints the chart whose sound is measured, `check.py sheet FOLDER` and `check.py size FOLDER` the page that
the browser paints and how large it is; `check.py pages FOLDER` and `check.py sound FOLDER` print every fault and end with
status 1 if there is one.
"""

import json
import re
import shutil
import subprocess
import sys
import wave
import xml.dom.minidom
from pathlib import Path

LOW, HIGH = 36, 84
# How wide and high a painted page is, in pixels, and how many stand beside each other on the sheet.
PAGE_WIDE, PAGE_HIGH, ACROSS = 1240, 1754, 4
NAMES = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]


def name(midi):
    return f"{NAMES[midi % 12]}{midi // 12 - 1}"


def scale():
    """A chart with one key a bar, in the melody, the hand silent."""
    print("title: Scale\nkey: C\nmeter: 4/4\ntempo: 120")
    keys = range(LOW, HIGH + 1)
    print("| " + " | ".join("N.C." for _ in keys) + " |")
    print("mel | " + " | ".join(f"{name(key)}:4" for key in keys) + " |")


def printed(text):
    """The letters of symbols as they stand on the page: accidentals are signs of their own, and left out with all others."""
    return re.sub(r"[#b♯♭♮()\s,\ue000-\uf8ff]", "", text)


def texts(path):
    """The text of the pages as independent readers find it."""
    import pypdfium2

    document = pypdfium2.PdfDocument(path)
    yield "PDFium", [page.get_textpage().get_text_range() for page in document]
    document.close()
    if shutil.which("pdftotext"):
        text = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, text=True, check=True).stdout
        yield "poppler", [page for page in text.split("\f") if page.strip()]


def pdf_faults(path, voiced):
    import pikepdf

    with pikepdf.open(path) as document:
        yield from (f"qpdf: {problem}" for problem in document.check_pdf_syntax())
        count = len(document.pages)
    for reader, pages in texts(path):
        if len(pages) != count or not all(re.search(rf"\b{at}/{count}\b", page) for at, page in enumerate(pages, 1)):
            yield f"{reader}: not {count} pages that are numbered up to {count}/{count}"
        found = printed("".join(pages))
        at = 0
        for slot in voiced["slots"] if voiced["played"] == sorted(voiced["played"]) else []:
            here = found.find(printed(slot["symbol"]), at)
            if here < 0:
                yield f"{reader}: bar {slot['bar']}: {slot['symbol']} is not in the text, or not in its place"
                break
            at = here + 1
        for symbol in sorted({slot["symbol"] for slot in voiced["slots"]}):
            if printed(symbol) not in found:
                yield f"{reader}: {symbol} is not in the text"


def svg_faults(path):
    import resvg_py

    xml.dom.minidom.parse(str(path))
    painted = resvg_py.svg_to_bytes(svg_path=str(path), dpi=150, background="white", skip_system_fonts=True)
    path.with_suffix(".png").write_bytes(painted)
    dark = ink(picture(path.with_suffix(".png")))
    if not 0.002 < dark < 0.2:
        yield f"{dark:.1%} of the page that resvg paints is dark"


def page_faults(folder):
    for path in sorted(Path(folder).glob("*.pdf")):
        voiced = json.loads(path.with_suffix(".json").read_text())
        yield from (f"{path.name}: {fault}" for fault in pdf_faults(path, voiced))
    drawn = sorted(Path(folder).glob("*.svg"))
    for path in drawn:
        yield from (f"{path.name}: {fault}" for fault in svg_faults(path))
    sheet = Path(folder).parent / "sheet.png"
    if sheet.exists():
        painted = picture(sheet)
        for path, place in zip(drawn, places(drawn)):
            wide, high = place[2] - place[0], place[3] - place[1]
            expected = ink(picture(path.with_suffix(".png")).crop((0, 0, wide, high)))
            dark = ink(painted.crop(place))
            # Two painters smooth edges in their own ways.
            if not 0.6 * expected < dark < 1.6 * expected:
                yield f"{path.name}: {dark:.1%} of the page that the browser paints is dark, {expected:.1%} of resvg's"
    print(f"{len(drawn)} charts on paper")


def places(drawn):
    """Left, upper, right and lower edge of each chart's first page on the sheet."""
    for at, path in enumerate(drawn):
        row, column = divmod(at, ACROSS)
        svg = xml.dom.minidom.parse(str(path)).documentElement
        _, _, wide, high = map(float, svg.getAttribute("viewBox").split())
        lower = row * PAGE_HIGH + int(min(PAGE_HIGH, PAGE_WIDE * high / wide))
        yield column * PAGE_WIDE, row * PAGE_HIGH, (column + 1) * PAGE_WIDE, lower


def sheet(folder):
    """A page for a browser, with every SVG page at its place."""
    drawn = sorted(Path(folder).glob("*.svg"))
    print("<!DOCTYPE html><body style='margin:0;background:white'>")
    for path, (left, upper, right, lower) in zip(drawn, places(drawn)):
        box = f"left:{left}px;top:{upper}px;width:{right - left}px;height:{lower - upper}px"
        image = f"<img src='{path.as_uri()}' style='width:100%'>"
        print(f"<div style='position:absolute;overflow:hidden;{box}'>{image}</div>")


def size(folder):
    """How large the sheet is."""
    rows = -(-len(list(Path(folder).glob("*.svg"))) // ACROSS)
    print(f"{ACROSS * PAGE_WIDE},{rows * PAGE_HIGH}")


def picture(png):
    """A picture in shades of grey."""
    from PIL import Image

    with Image.open(png) as coloured:
        return coloured.convert("L")


def ink(shades):
    """The share of dark pixels of a picture."""
    histogram = shades.histogram()
    return sum(histogram[:128]) / sum(histogram)


def samples(path):
    import numpy

    with wave.open(str(path)) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (2, 2, 44_100)
        return numpy.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, 2)


def fundamental(sound, expected):
    """The frequency of the strongest partial within a half step, by a windowed transform and a parabola."""
    import numpy

    padded = 1 << 19
    strength = numpy.abs(numpy.fft.rfft(sound * numpy.hanning(len(sound)), padded))
    low, high = (int(expected * 2 ** (cents / 1200) * padded / 44_100) for cents in (-100, 100))
    peak = low + int(numpy.argmax(strength[low : high + 1]))
    a, b, c = numpy.log(strength[peak - 1 : peak + 2] + 1e-12)
    return (peak + (a - c) / (2 * (a - 2 * b + c))) * 44_100 / padded


def at_the_bottom(sound):
    """The share of the energy below 250 Hz."""
    import numpy

    energy = numpy.abs(numpy.fft.rfft(sound.sum(axis=1).astype(float))) ** 2
    below = numpy.fft.rfftfreq(len(sound), 1 / 44_100) < 250
    return energy[below].sum() / energy.sum()


def sound_faults(folder):
    import numpy

    scale = samples(Path(folder) / "scale.wav")
    worst = 0.0
    for number, key in enumerate(range(LOW, HIGH + 1)):
        start = number * 2 * 44_100 + 4_410
        expected = 440 * 2 ** ((key - 69) / 12)
        heard = fundamental(scale[start : start + 75_000].sum(axis=1).astype(float), expected)
        cents = 1200 * numpy.log2(heard / expected)
        worst = max(worst, abs(cents))
        if abs(cents) > 3:
            yield f"{name(key)} sounds {cents:+.1f} cents off"
    print(f"fundamentals within {worst:.4f} cents from {name(LOW)} to {name(HIGH)}")
    middle, low = (at_the_bottom(samples(Path(folder) / f"{place}.wav")) for place in ("middle", "low"))
    print(f"below 250 Hz: {middle:.2f} of the energy of a chord in the middle of the piano, {low:.2f} an octave lower")
    if low < 1.5 * middle:
        yield "a muddy chord is not heard in its energy below 250 Hz"
    lengths = {"scale.wav": 2.0 * (HIGH - LOW + 1)}
    voiced = json.loads((Path(folder) / "drill.json").read_text())
    tempo, seconds = voiced["tempo"], 0.0
    for slot in voiced["slots"]:
        tempo = slot.get("tempo", tempo)
        beats = [int(part) for part in slot["beats"].split("/")] + [1]
        seconds += beats[0] / beats[1] * 60 / tempo
    lengths["drill.wav"] = seconds
    for file, seconds in lengths.items():
        sound = samples(Path(folder) / file)
        loudest = int(numpy.abs(sound.astype(int)).max())
        if not 8_000 < loudest < 32_767:
            yield f"{file}: the loudest sample is {loudest}"
        lasts = len(sound) / 44_100
        # The last note dies away for a second and a half.
        if abs(lasts - seconds - 1.5) > 0.001:
            yield f"{file} lasts {lasts:.3f} s, the performance {seconds:.3f} s"


def main():
    if sys.argv[1] == "scale":
        return scale()
    if sys.argv[1] in ("sheet", "size"):
        return {"sheet": sheet, "size": size}[sys.argv[1]](sys.argv[2])
    check = {"pages": page_faults, "sound": sound_faults}[sys.argv[1]]
    faults = list(check(sys.argv[2]))
    print("\n".join(faults) if faults else f"{sys.argv[1]}: all is well")
    sys.exit(bool(faults))


main()
