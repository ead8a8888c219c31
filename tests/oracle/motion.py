"""What it costs to move from one voicing to the next, from its definition.

Nothing here is taken over from the program: voicings of different size are
joined by trying every matching of their notes, without the argument that
pairs need not cross, and the largest step by forbidding long ones.
"""

from functools import lru_cache

IMPOSSIBLE = 10**9


def step(a, b):
    """(least motion, least possible largest step) between two rising rows of notes."""
    lowest = min(a[0], b[0])
    return _step(tuple(x - lowest for x in a), tuple(y - lowest for y in b))


@lru_cache(maxsize=None)
def _step(a, b):
    if len(a) == len(b):
        moves = [abs(x - y) for x, y in zip(a, b)]
        return sum(moves), max(moves)
    # The largest step of a least cover is the least length that, as a limit
    # on every pair, still allows the least total.
    least = cover(a, b, IMPOSSIBLE)
    lengths = sorted({abs(x - y) for x in a for y in b})
    return least, next(limit for limit in lengths if cover(a, b, limit) == least)


def cover(a, b, limit):
    """The least total of pairs, none longer than `limit`, that use every note of both rows.

    A least cover is a matching (perhaps empty) and, for every note left
    unmatched, its shortest pair (the usual reduction of edge cover).
    """
    if len(b) > len(a):
        a, b = b, a

    def distance(x, y):
        return abs(x - y) if abs(x - y) <= limit else IMPOSSIBLE

    # best[m]: the notes of `a` so far, with the notes of `b` in the set m matched.
    best = {0: 0}
    for x in a:
        alone = min(distance(x, y) for y in b)
        following = {}
        for matched, total in best.items():
            choices = [(matched, alone)]
            choices += [
                (matched | 1 << i, distance(x, y)) for i, y in enumerate(b) if not matched >> i & 1
            ]
            for now, more in choices:
                following[now] = min(following.get(now, IMPOSSIBLE), total + more)
        best = following
    left = [min(distance(x, y) for x in a) for y in b]
    return min(
        total + sum(more for i, more in enumerate(left) if not matched >> i & 1)
        for matched, total in best.items()
    )


def off_centre(row, low, high):
    """How far the row's middle lies from the range's, in half semitones."""
    return abs(row[0] + row[-1] - low - high)
