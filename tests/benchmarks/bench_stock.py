"""Cutting 200 pieces from stock: time, and how far above the bound; beside first fit, longest first.

Run it with `python tests/benchmarks/bench_stock.py`; docs/benchmarks.md says what was found.
"""

import random
import time
from collections.abc import Sequence

from measuring import print_machine, print_table

from pipemodel.cutting.stock import StockPiece, plan_stock

PIECES, STOCK, KERF, SEEDS = 200, 3000.0, 2.0, (1, 2, 3)
CASES: tuple[tuple[str, float, float, Sequence[float]], ...] = (
    ("150 to 1,500", 150.0, 1500.0, ()),
    ("80 to 400", 80.0, 400.0, ()),
    ("100 to 2,500", 100.0, 2500.0, ()),
    ("1,001 to 1,499", 1001.0, 1499.0, ()),
    ("200 to 2,500, 7 offcuts", 200.0, 2500.0, (700.0, 850.0, 950.0, 1200.0, 1300.0, 1999.0, 2222.0)),
)
"""(said, shortest, longest, offcuts)."""


def first_fit(lengths: Sequence[float]) -> float:
    """Return the stock that the plain way takes: longest first, each into the first length with room."""
    room: list[float] = []
    for length in sorted(lengths, reverse=True):
        fits = next((i for i, left in enumerate(room) if left >= length), None)
        if fits is None:
            room.append(STOCK + KERF)
            fits = len(room) - 1
        room[fits] -= length + KERF
    return STOCK * len(room)


def main() -> None:
    """Each case for a few draws of pieces: the longest time, and the worst of each way against the bound."""
    plan_stock([StockPiece("warm", 100.0), StockPiece("up", 2950.0)], STOCK, (150.0,), KERF)
    rows = []
    for said, low, high, offcuts in CASES:
        took, busy, above, plain = [], [], [], []
        for seed in SEEDS:
            dice = random.Random(seed)
            lengths = [dice.uniform(low, high) for _ in range(PIECES)]
            begin, worked = time.perf_counter(), time.process_time()
            plan = plan_stock([StockPiece(str(i), x) for i, x in enumerate(lengths)], STOCK, offcuts, KERF)
            took.append(time.perf_counter() - begin)
            busy.append(time.process_time() - worked)
            above.append(plan.used_mm / plan.bound_mm - 1.0)
            plain.append(first_fit(lengths) / plan.bound_mm - 1.0)
        rows.append([said, f"{max(took):.2f}", f"{max(busy):.2f}", f"{max(above):.2%}", f"{max(plain):.2%}"])
    print_table(
        f"{PIECES} pieces from stock of {STOCK:g}, worst of {len(SEEDS)}",
        ["lengths", "s", "processor, s", "above the bound", "first fit above it"],
        rows,
    )


if __name__ == "__main__":
    print_machine()
    main()
