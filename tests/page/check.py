"""What independent readers find on the pages and in the sound that Compline wrote; see make.sh.

`check.py scale` prints the chart whose sound is measured, `check.py pages FOLDER` and `check.py sound FOLDER` print
every fault and end with status 1 if there is one.
"""

import json
import re
import subprocess
import sys
import wave
import xml.dom.minidom
from pathlib import Path

LOW, HIGH = 36, 84
NAMES = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]


def name(midi):
    return f"{NAMES[midi % 12]}{midi // 12 - 1}"


def scale():
    """A chart with one key a bar, in the melody, the hand silent."""
    print("title: Scale\nkey: C\nmeter: 4/4\ntempo: 60")
    keys = range(LOW, HIGH + 1)
    print("| " + " | ".join("N.C." for _ in keys) + " |")
    print("mel | " + " | ".join(f"{name(key)}:4" for key in keys) + " |")


def printed(text):
    """The letters of symbols as they stand on the page: accidentals are signs of their own, and so left out."""
    return re.sub(r"[#b♯♭()\s,]", "", text)


def page_faults(folder):
    for path in sorted(Path(folder).glob("*.pdf")):
        checked = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True)
        if checked.returncode != 0:
            yield f"{path.name}: qpdf: {checked.stdout}{checked.stderr}"
        text = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, text=True, check=True).stdout
        pages = [page for page in text.split("\f") if page.strip()]
        info = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
        count = int(re.search(r"Pages:\s+(\d+)", info).group(1))
        if not re.search(rf"{count}/{count}\b", text) or len(pages) != count:
            yield f"{path.name}: {count} pages, {len(pages)} with text, and no {count}/{count}"
        voiced = json.loads(path.with_suffix(".json").read_text())
        found = printed(text)
        at = 0
        for slot in voiced["slots"] if voiced["played"] == sorted(voiced["played"]) else []:
            here = found.find(printed(slot["symbol"]), at)
            if here < 0:
                yield f"{path.name}: bar {slot['bar']}: {slot['symbol']} is not in the text, or not in its place"
                break
            at = here + 1
        for symbol in {slot["symbol"] for slot in voiced["slots"]}:
            if printed(symbol) not in found:
                yield f"{path.name}: {symbol} is not in the text"
    for path in sorted(Path(folder).glob("*.svg")):
        xml.dom.minidom.parse(str(path))
        dark = ink(path.with_suffix(".png"))
        if not 0.005 < dark < 0.2:
            yield f"{path.name}: {dark:.1%} of the screenshot is dark"


def ink(png):
    """The share of dark pixels of a picture."""
    from PIL import Image

    with Image.open(png) as picture:
        shades = picture.convert("L").histogram()
    return sum(shades[:128]) / sum(shades)


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


def sound_faults(folder):
    import numpy

    scale = samples(Path(folder) / "scale.wav")
    worst = 0.0
    for number, key in enumerate(range(LOW, HIGH + 1)):
        start = number * 4 * 44_100 + 4_410
        expected = 440 * 2 ** ((key - 69) / 12)
        heard = fundamental(scale[start : start + 3 * 44_100].sum(axis=1).astype(float), expected)
        cents = 1200 * numpy.log2(heard / expected)
        worst = max(worst, abs(cents))
        if abs(cents) > 3:
            yield f"{name(key)} sounds {cents:+.1f} cents off"
    print(f"fundamentals within {worst:.2f} cents from {name(LOW)} to {name(HIGH)}")
    lengths = {"scale.wav": 4.0 * (HIGH - LOW + 1)}
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
    check = {"pages": page_faults, "sound": sound_faults}[sys.argv[1]]
    faults = list(check(sys.argv[2]))
    print("\n".join(faults) if faults else f"{sys.argv[1]}: all is well")
    sys.exit(bool(faults))


main()
