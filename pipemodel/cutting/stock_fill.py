"""Fill one length of stock after another as full as it goes; then unpick the emptiest and try again.

With many short pieces this comes to the fewest lengths in no time, where a linear program labours. Which pieces
fill a length best is a sum of widths, found with the bits of one integer: bit t is set where some of them make t.
"""

from collections.abc import Sequence
from random import Random

ROUNDS = 400
"""How often some lengths are unpicked and filled again."""
UNPICKED = (3, 4, 5, 6, 8)
MOST_STEPS = 200_000
"""So many ways to place long pieces are tried."""
JITTER = 0.25
"""By what part widths are varied when it is decided which piece must come next."""


def fill_bars(widths: Sequence[int], room: int) -> list[list[int]]:
    """Share pieces among lengths of stock that hold `room` each, in as few as are found.

    Args:
        widths: of the pieces, each with its saw cut; none more than `room`.
        room: a length of stock, one saw cut longer than it is.

    Returns:
        The numbers of the pieces of each length. Never fewer lengths than all widths over `room`.
    """
    fewest = -(-sum(widths) // room)
    bars = _filled(widths, room, sorted(range(len(widths)), key=lambda i: -widths[i]))
    dice = Random(0)  # seeded: the same pieces give the same plan
    for _ in range(ROUNDS):
        if len(bars) <= fewest:
            break
        bars.sort(key=lambda bar: _sum(widths, bar))
        others = list(range(2, len(bars)))
        picked = {0, 1, *dice.sample(others, min(dice.choice(UNPICKED), len(others)))}
        pool = [i for n in sorted(picked) for i in bars[n]]
        weight = {i: widths[i] * (1.0 + dice.uniform(-JITTER, JITTER)) for i in pool}
        again = _filled(widths, room, sorted(pool, key=lambda i: -weight[i]))
        emptiest = min(_sum(widths, bar) for bar in again)
        if (len(again), emptiest) <= (len(picked), _sum(widths, bars[0])):
            bars = [bar for n, bar in enumerate(bars) if n not in picked] + again
    return bars


def place_long(widths: Sequence[int], rooms: Sequence[int]) -> list[int] | int:
    """Find a length for each of some pieces, of lengths that differ and are few.

    Every way is gone through, up to `MOST_STEPS`: pieces in turn, each in the fullest length that holds it first.

    Args:
        widths: of the pieces, each with its saw cut, longest first.
        rooms: the lengths, each one saw cut longer than it is.

    Returns:
        The number of the length of each piece; or where none was found the number of the first piece without.
    """
    left = list(rooms)
    held: list[int] = []
    steps = [0, 0]  # taken, and the most pieces placed

    def placed(n: int) -> bool:
        steps[1] = max(steps[1], n)
        if n == len(widths):
            return True
        seen: set[int] = set()
        for bar in sorted(range(len(left)), key=lambda bar: left[bar]):
            if left[bar] < widths[n] or left[bar] in seen or steps[0] > MOST_STEPS:
                continue
            seen.add(left[bar])
            steps[0] += 1
            left[bar] -= widths[n]
            held.append(bar)
            if placed(n + 1):
                return True
            held.pop()
            left[bar] += widths[n]
        return False

    return held if placed(0) else steps[1]


def _filled(widths: Sequence[int], room: int, left: list[int]) -> list[list[int]]:
    """Fill lengths one after the other, each with the first piece left and what else makes it fullest."""
    bars: list[list[int]] = []
    while left:
        taken = set(_fullest([widths[i] for i in left], room))
        bars.append([i for n, i in enumerate(left) if n in taken])
        left = [i for n, i in enumerate(left) if n not in taken]
    return bars


def _fullest(widths: Sequence[int], room: int) -> list[int]:
    """Return which pieces, the first among them, fill a length best; of equal ways the one with the first ones."""
    within = (1 << (room + 1)) - 1
    sums = [1 << widths[0]]
    for width in widths[1:]:
        sums.append((sums[-1] | sums[-1] << width) & within)
    total = sums[-1].bit_length() - 1
    taken = [0]
    for i in range(len(widths) - 1, 0, -1):
        if not sums[i - 1] >> total & 1:
            taken.append(i)
            total -= widths[i]
    return taken


def _sum(widths: Sequence[int], bar: Sequence[int]) -> int:
    return sum(widths[i] for i in bar)
