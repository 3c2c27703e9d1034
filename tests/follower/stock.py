"""The cut list: what comes out of which length of stock, read as people read it, and held against saw and rack."""

import re
from typing import NamedTuple

from follower.figures import length

CUT = re.compile(r"(.+?) \(((?!\d+\.\d\d\)).+)\)")
"""A length, the decimal beside it or not, and the name of the piece."""


class Bar(NamedTuple):
    """One length of stock, mm: new or an offcut, what is cut from it by name, and what is left."""

    offcut: bool
    length: float
    cuts: tuple[tuple[float, str], ...]
    left: float


def bar(out_of, cuts, left, unit):
    """Read a row of a cut list: "length of 3000", [("2799", "flow")], "201"."""
    kind, of, size = out_of.partition(" of ")
    if kind not in ("length", "offcut") or not of:
        raise ValueError(f"{out_of!r} is no stock")
    read = tuple((length(mm, unit).mm, name.strip()) for mm, name in cuts)
    return Bar(kind == "offcut", length(size, unit).mm, read, length(left, unit).mm)


def text_bars(text, unit):
    """Read the bars of a cut list as text."""
    rows, spans = [], []
    for line in text.splitlines():
        if re.fullmatch(r"  -+(  -+){2}", line):
            spans = [match.span() for match in re.finditer("-+", line)]
        elif not line.strip():
            spans = []
        elif spans:
            out_of, left, piece = (line[a:b].strip() for a, b in (*spans[:2], (spans[2][0], None)))
            if out_of:
                rows.append((out_of, left, []))
            if rows[-1][2] and not CUT.fullmatch(rows[-1][2][-1]):
                rows[-1][2][-1] += f" {piece}"
            else:
                rows[-1][2].append(piece)
    return [
        bar(out_of, [CUT.fullmatch(piece).groups() for piece in pieces], left, unit) for out_of, left, pieces in rows
    ]


def table_bars(rows, unit):
    """Read the bars of a cut list as a workbook or Markdown has it: a row a piece."""
    found = {}
    for row in rows:
        found.setdefault(row[next(k for k in row if k.startswith("stock"))], []).append(row)
    bars = []
    for mine in found.values():
        cuts = [(str(row[f"cut, {unit}"]), row["piece"]) for row in mine]
        last = str(mine[-1][f"left over, {unit}"])
        bars.append(bar(f"{mine[0]['from']} of {mine[0][f'stock length, {unit}']}", cuts, last, unit))
    return bars


def joints_given(text, unit):
    """Return {run: places along it in mm} of the jointed runs that a cut list tells."""
    flat = " ".join(text.split())
    stated = re.findall(r"Run (.+?) is jointed at ([\d /.,()]+?) along it, from its start", flat)
    return {name: [length(x, unit).mm for x in places.split(", ")] for name, places in stated}


def faults(bars, wanted, stock, offcuts, kerf, give):
    """Return what is wrong with a cut list, in words.

    Args:
        bars: what it says.
        wanted: {name: mm} of every piece that is needed.
        stock: length of new tube.
        offcuts: lengths at hand, each to be used once.
        kerf: what the saw takes at each cut.
        give: how far a figure may be from the truth by its rounding, mm.
    """
    wrong = []
    got = {name: mm for one in bars for mm, name in one.cuts}
    if sorted(got) != sorted(wanted) or len(got) != sum(len(one.cuts) for one in bars):
        wrong.append(f"cut are {sorted(got)}, wanted {sorted(wanted)}")
    wrong += [
        f"{n} is cut {mm}, wanted {wanted[n]}" for n, mm in got.items() if n in wanted and abs(mm - wanted[n]) > give
    ]
    rack = list(offcuts)
    for one in bars:
        if one.offcut:
            near = min(rack, key=lambda x: abs(x - one.length), default=-1.0)
            if abs(near - one.length) > give:
                wrong.append(f"no offcut of {one.length} is at hand")
            else:
                rack.remove(near)
        elif abs(one.length - stock) > give:
            wrong.append(f"stock is {stock}, not {one.length}")
        n = len(one.cuts)
        rest = one.length - sum(mm for mm, _ in one.cuts)
        # The last cut is none where nothing is left over.
        if not rest - n * kerf - give * (n + 2) <= one.left <= rest - (n - 1) * kerf + give * (n + 2) or one.left < 0:
            wrong.append(f"of {one.length} is left {rest - n * kerf:.1f}, not {one.left}")
    return wrong
