"""The rests and stops of a bench that a run is pulled by: in words, and as plain data."""

from pipemodel.jigs.bench_rests import BenchRests
from pipemodel.messages.values import Angle, Count, Length, Message, Word, counts, message
from pipemodel.results.plain import Record, fields_of

TITLE = message("jig bench.title")


def bench_said(bench: BenchRests) -> list[Message]:
    """Return how each rest and each stop is set, in the order of the pulls, a sentence or two each."""
    said: list[tuple[int, Message]] = [
        (
            r.pull,
            message(
                "jig bench.rest",
                pull=Count(r.pull),
                bend=Count(r.bend),
                at=Length(r.from_bend_mm, ".0f"),
                post=Length(r.post_mm, ".0f"),
                along=_along(r.along_mm),
                aside=_aside(r.aside_mm),
                turn=Angle(r.finds_deg, ".1f"),
            ),
        )
        for r in bench.rests
    ]
    said += [
        (s.pull, message("jig bench.stop", pull=Count(s.pull), end=Word(s.end), far=Length(s.from_bend_mm, ".1f")))
        for s in bench.stops
    ]
    out = [one for _, one in sorted(said, key=lambda pair: pair[0])]
    if bench.without:
        out.append(message("jig bench.without", pulls=counts(list(bench.without), ",")))
    return out


def _along(mm: float) -> Message:
    far = Length(abs(mm), ".0f")
    return message("jig bench.towards free", far=far) if mm >= 0.0 else message("jig bench.towards stop", far=far)


def _aside(mm: float) -> Message:
    far = Length(abs(mm), ".0f")
    return message("jig bench.away", far=far) if mm >= 0.0 else message("jig bench.near", far=far)


def bench_record(bench: BenchRests | None) -> Record | None:
    """Return the same as plain data."""
    if bench is None:
        return None
    return {
        "rests": [
            {
                **fields_of(r, "pull bend from_bend_mm along_mm aside_mm height_mm post_mm"),
                "turn_by_half_a_mm_deg": r.finds_deg,
            }
            for r in bench.rests
        ],
        "stops": [fields_of(stop, "pull end from_bend_mm") for stop in bench.stops],
        "pulls_without": list(bench.without),
    }
