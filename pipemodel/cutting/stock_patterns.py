"""Every way to cut a length of stock, where there are few enough of them to be written down."""

from collections.abc import Iterator, Sequence
from itertools import islice

Pattern = tuple[int, ...]
"""How many of each size are cut from one length."""


def full_patterns(sizes: Sequence[int], wanted: Sequence[int], room: int, most: int) -> list[Pattern] | None:
    """Return every pattern that no further piece fits into; None where there are more than `most`.

    Patterns with room to spare are left out: whatever they do, a fuller one does too.

    Args:
        sizes: the lengths, longest first, each with its saw cut.
        wanted: how many of each are wanted, the most that a pattern holds.
        room: the length of stock, one saw cut longer than it is.
        most: how many patterns are too many.
    """
    found = list(islice(_patterns(tuple(sizes), tuple(wanted), room, 0), most + 1))
    return None if len(found) > most else [p for p in found if _is_full(p, sizes, wanted, room)]


def _patterns(sizes: Pattern, wanted: Pattern, room: int, first: int) -> Iterator[Pattern]:
    if first == len(sizes):
        yield ()
        return
    fits = min(wanted[first], room // sizes[first])
    # The last size is always cut as often as it fits.
    for n in range(fits, -1 if first + 1 < len(sizes) else fits - 1, -1):
        for rest in _patterns(sizes, wanted, room - n * sizes[first], first + 1):
            yield (n, *rest)


def _is_full(pattern: Pattern, sizes: Sequence[int], wanted: Sequence[int], room: int) -> bool:
    left = room - sum(n * size for n, size in zip(pattern, sizes, strict=True))
    return all(n == most or size > left for n, size, most in zip(pattern, sizes, wanted, strict=True))
