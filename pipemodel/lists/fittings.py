"""The fittings to have at hand: what the ends of the runs go into, and the couplings of runs that are jointed.

Ends of two runs are in one fitting, and it counts once, where one of them says that it joins the other's run, both go
into the same kind, and they lie no further apart than such a fitting is long.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pipemodel.geometry.vectors import Vec3, distance
from pipemodel.lists.blocks import Content, Group, Paragraph
from pipemodel.lists.table import Column, Kind, Table, Words
from pipemodel.messages.values import Message, Name, Tape, Word, listed, message
from pipemodel.results.results import Results
from pipemodel.trade.fittings import Ending, Fitting
from pipemodel.trade.model import Tube
from pipemodel.wording.phrases import tube_words

COLUMNS = (
    Column("fitting", said=message("fittings.head fitting"), letters=16),
    Column("for tube", said=message("fittings.head tube"), letters=16),
    Column("how many", Kind.COUNT, said=message("fittings.head count")),
    Column("where", said=message("fittings.head where"), letters=20),
)
ONE_FITTING_DIAMETERS = 3.0
"""Ends of tube within this many outside diameters of each other can be in one fitting. Common practice, no source."""


class _End(NamedTuple):
    run: str
    name: str
    point: Vec3
    tube: Tube
    fitting: Fitting
    joins: str


class _Wanted(NamedTuple):
    """One fitting: what it is, the tubes that go into it, and where it is."""

    what: Message
    tubes: tuple[Tube, ...]
    where: Message


def fittings(results: Results) -> Content | None:
    """Return the fittings of a job, those that are alike in one row; None where there are none."""
    rows: dict[tuple[Message, tuple[Tube, ...]], list[Message]] = {}
    for one in (*_at_ends(results), *_couplings(results)):
        rows.setdefault((one.what, one.tubes), []).append(one.where)
    if not rows:
        return None
    table = Table(
        COLUMNS,
        tuple(
            (what, _tubes(tubes), len(where), message("fittings.places", places=listed(where, ";")))
            for (what, tubes), where in rows.items()
        ),
    )
    return Content(table, (Group((table, Paragraph(message("fittings.counted")))),))


def _at_ends(results: Results) -> Iterator[_Wanted]:
    for ends in _in_one_fitting(list(_ends(results))):
        what = message("fittings.at end", fitting=Word(ends[0].fitting.kind))
        places = [message("fittings.end", run=Name(end.run, quoted=False), end=Word(end.name)) for end in ends]
        tubes = tuple(dict.fromkeys(end.tube for end in ends))
        yield _Wanted(what, tubes, message("fittings.places", places=listed(places, "+")))


def _ends(results: Results) -> Iterator[_End]:
    for run in results.runs:
        solved = run.solved
        ends: Iterable[tuple[str, Ending, Vec3]] = (
            ("start", solved.run.ends.start, solved.start),
            ("finish", solved.run.ends.finish, solved.finish),
        )
        for name, ending, point in ends:
            if ending.fitting is not None:
                yield _End(run.name, name, point, solved.tube, ending.fitting, ending.joins)


def _in_one_fitting(ends: list[_End]) -> list[list[_End]]:
    """Return the ends, those that share a fitting together."""
    of_run: dict[str, list[_End]] = {}
    for end in ends:
        of_run.setdefault(end.run, []).append(end)
    shared = {end: [end] for end in ends}
    for end in ends:
        for other in of_run.get(end.joins, ()):
            if _same_fitting(end, other) and shared[end] is not shared[other]:
                together = [one for one in ends if one in (*shared[end], *shared[other])]
                shared |= dict.fromkeys(together, together)
    return [together for end, together in shared.items() if together[0] == end]


def _same_fitting(one: _End, other: _End) -> bool:
    reach = ONE_FITTING_DIAMETERS * max(one.tube.outside_mm, other.tube.outside_mm)
    return one.fitting.kind == other.fitting.kind and distance(one.point, other.point) <= reach


def _couplings(results: Results) -> Iterator[_Wanted]:
    for run, split in zip(results.runs, results.cutting.runs, strict=True):
        for joint in split.joints:
            where = message("fittings.joint", run=Name(run.name, quoted=False), at=Tape(joint.at_mm))
            yield _Wanted(message("fittings.coupling"), (run.solved.tube,), where)


def _tubes(tubes: tuple[Tube, ...]) -> Words:
    """Return the tubes of a fitting in words, the largest first."""
    by_size = sorted(tubes, key=lambda tube: -tube.outside_mm)
    return lambda units: "; ".join(tube_words(tube, units) for tube in by_size)
