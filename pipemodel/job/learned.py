"""A former's figures and a person's scatter out of a history file that the job names."""

from collections.abc import Sequence
from dataclasses import replace

from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.history import records_of
from pipemodel.job.model import WORST_HANDS, Hands
from pipemodel.job.own_file import OwnFileError, OwnFiles
from pipemodel.job.quantities import shown
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.learning.records import BendRecord, FormerKey, of_former, without_repeats
from pipemodel.learning.words import drifted, former_said, hands_said
from pipemodel.messages.values import Count, Message, Name, bare, listed, message
from pipemodel.trade.model import Former, Springback, Tube

LEAST_BENDS = 3
"""Of so many bends on, a former is one that somebody measured."""


class Histories:
    """Reads each history file once, and notes what is wrong with it at the place that names it first."""

    def __init__(self, faults: Faults, files: OwnFiles) -> None:
        self._faults, self._files = faults, files
        self._read: dict[str, tuple[BendRecord, ...] | None] = {}

    def records(self, file: str, path: YamlPath) -> tuple[BendRecord, ...] | None:
        """Return the records of a file, each once; None with the faults noted."""
        if file not in self._read:
            self._read[file] = self._records(file, path)
        return self._read[file]

    def former(self, file: str, former: Former, tube: Tube, path: YamlPath, asked: bool) -> Former | None:
        """Return a former with what a history says of it; None with the fault noted.

        Args:
            file: the history file.
            former: the former, complete.
            tube: the tube it bends.
            path: where the file is named.
            asked: whether it is named for this very former, so that it has to be in there.
        """
        records = self.records(file, path)
        if records is None:
            return None
        key = FormerKey.of(former, tube)
        if not of_former(records, key):
            if not asked or not records:
                return former
            self._faults.once(path, _not_in(file, records, key, tube))
            return None
        return _taught(former, key, records, file)

    def hands(self, file: str, by: str | None, path: YamlPath) -> tuple[Hands, Message] | None:
        """Return how far a person scatters, and what that rests on; None with the fault noted."""
        from pipemodel.learning.learned import learned_hands

        records = self.records(file, path)
        if records is None:
            return None
        people = sorted({record.by for record in records})
        if by is not None and by not in people and records:
            self._faults.at(path, none_called("bends by", by, filter(None, people)))
            return None
        learned = learned_hands(records, by)
        values = (learned.mark.value, learned.angle.value, learned.turn.value)
        hands = Hands(*(min(value, worst) for value, worst in zip(values, WORST_HANDS, strict=True)))
        return hands, hands_said(learned, file)

    def _records(self, file: str, path: YamlPath) -> tuple[BendRecord, ...] | None:
        try:
            records, faults = records_of(self._files.tree(file))
        except OwnFileError as error:
            missing = not (self._files.within / file).exists()
            if missing:
                self._faults.at(path, message("history.no file", file=Name(shown(file))))
                return None
            for text in error.messages:
                self._faults.at(path, text)
            return None
        for fault in faults:
            line, column = Count(fault.place.line), Count(fault.place.column)
            said = message("history.in file", file=Name(shown(file)), line=line, column=column, said=fault.value)
            self._faults.at(path, said)
        return None if faults else without_repeats(records)


def _not_in(file: str, records: Sequence[BendRecord], key: FormerKey, tube: Tube) -> Message:
    others = dict.fromkeys(record.former_key for record in records)
    more = [bare("...")] if len(others) > 3 else []
    there = listed([*map(_called, list(others)[:3]), *more], ";")
    return message("history.not in", file=Name(shown(file)), of=_called(key), tube=bare(shown(tube.name)), there=there)


def _called(key: FormerKey) -> Message:
    of = " ".join(filter(None, [f"{key.outside_mm:g} x {key.wall_mm:g}", key.material, key.temper]))
    return message("history.former", former=Name(shown(key.former)), tube=bare(shown(of)))


def _taught(former: Former, key: FormerKey, records: tuple[BendRecord, ...], file: str) -> Former:
    from pipemodel.learning.learned import learned_former

    found = learned_former(records, key, former)
    assert found is not None, "there are records of it"
    known = found.law is not None and found.bends >= LEAST_BENDS
    changes = {
        "springback": _rounded(found.law.springback) if found.law else former.springback,
        "untaught": former,
        "learned": former_said(found, former, file),
        "drifted": drifted(found, former) if found.changes else None,
        "generic": former.generic and not known,
    }
    if found.radius is not None:
        changes |= {"radius_mm": round(found.radius.value, 2), "radius_within_mm": round(found.radius.half, 2)}
    if found.mark is not None:
        changes |= {"mark_mm": round(found.mark.value, 2), "mark_within_mm": round(found.mark.half, 2)}
    if known:
        generic = former.generic and not former.not_given
        changes["not_given"] = ("hold", "guide") if generic else tuple(f for f in former.not_given if f != "springback")
        changes["completed_from"] = (former.name if generic else former.completed_from) if changes["not_given"] else ""
    return replace(former, **changes)  # type: ignore[arg-type]


def _rounded(law: Springback) -> Springback:
    """Return a law of springback with no more figures than papers can use, as `calibrate` writes them."""
    within = round(law.fixed_within_deg, 3), round(law.per_degree_within, 5)
    return Springback(round(law.per_degree, 5), round(law.fixed_deg, 3), *within, round(law.correlation, 4))
