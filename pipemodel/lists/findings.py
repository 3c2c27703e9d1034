"""What the checks found, the gravest first as they report it."""

from collections.abc import Iterator, Sequence

from pipemodel.checks.findings import Finding, of_runs
from pipemodel.lists.blocks import Content, Group, Paragraph, Part, Remark
from pipemodel.lists.table import CellValue, Column, Kind, Table, Words
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Message, Name, message, word
from pipemodel.results.results import Results
from pipemodel.wording.phrases import point_words

COLUMNS = (
    *(Column(head) for head in ("severity", "code", "check", "run", "against", "message")),
    Column("distance", Kind.ROUNDED),
    Column("asked for", Kind.ROUNDED),
    Column("along the run", Kind.ROUNDED),
    *(Column(axis, Kind.FULL) for axis in "xyz"),
)


def findings(results: Results) -> Content:
    """Return everything that was found."""
    found = results.report.findings
    remarks: tuple[Part, ...] = tuple(
        Remark(f.severity, f.code, said, _where(f))
        for severity in ("error", "warning", "note")
        for f, said in _as_said([f for f in found if f.severity == severity])
    )
    nothing = Paragraph(message("findings.none"), "aside")
    return Content(Table(COLUMNS, tuple(_row(f) for f in found)), (Group(remarks or (nothing,)),))


def _as_said(found: Sequence[Finding]) -> Iterator[tuple[Finding, Message]]:
    """Yield what people read of findings: once where the same is found of several runs, at no place in particular."""
    alike: dict[tuple[str, Message], list[tuple[Finding, str]]] = {}
    for f in found:
        key = f.code, f.said
        if f.said.template == "of run" and f.run is not None and f.at_mm is None and f.point is None:
            said = dict(f.said.values)["said"]
            key = f.code, said if isinstance(said, Message) else f.said
        alike.setdefault(key, []).append((f, f.run or ""))
    for (_, said), same in alike.items():
        first = same[0][0]
        if len(same) == 1 or first.said == said:
            yield from ((f, f.said) for f, _ in same)
        else:
            yield first, of_runs([name for _, name in same], said)


def _row(f: Finding) -> tuple[CellValue, ...]:
    point = f.point or (None, None, None)
    said = (word(f.severity), f.code, word(f.check), f.run, f.against, f.said)
    return (*said, f.distance_mm, f.required_mm, f.at_mm, *point)


def _where(f: Finding) -> Words:
    def where(units: Units) -> str:
        parts = []
        if f.at_mm is not None:
            at = units.reading(f.at_mm).removesuffix(units.figure(".0"))
            parts.append(words(units, "check.along", at=Name(at, quoted=False)))
        if f.point is not None:
            parts.append(words(units, "check.at", point=Name(point_words(f.point, units), quoted=False)))
        return ", ".join(parts)

    return where
