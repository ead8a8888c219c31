"""The ways in which one chart is held: as it stands, in a loop, and with its sections entangled."""

import re


def variants(text):
    """(what to add to the name, the chart's text, the program's flags) for each way."""
    yield "", text, []
    yield " --loop", text, ["--loop"]
    sections = re.findall(r"^\[(.*)\]", text, re.MULTILINE)
    has_form = re.search(r"^play:|\|:|:\||@", text, re.MULTILINE)
    if len(sections) > 2 and not has_form:
        yield " entangled", entangled(text, sections), []


def entangled(text, sections):
    """The sections from top to bottom, then backwards, then every second one.

    A chart without a form is a chain; here the same slots follow each other in
    several orders, so that one voicing has to suit several neighbours.
    """
    order = ", ".join(sections + sections[::-1] + sections[::2])
    return re.sub(r"^\[", lambda _: f"play: {order}\n[", text, count=1, flags=re.MULTILINE)
