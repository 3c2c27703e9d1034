"""The record of an earlier pack, read back from its folder: seen to be whole before anything is compared with it."""

import json
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from pipemodel.results.record import CHECK_FORMAT, SCHEDULE_FORMAT, Record

MOST_BYTES = 100_000_000
CHECK_FILE = "check.json"
"""What lies beside an earlier schedule and says what the checks found."""


class EarlierError(ValueError):
    """What was named is not the record of an earlier pack; says why not."""


def read_earlier(path: Path) -> Record:
    """Return the schedule record of an earlier pack; under "check" what its checks found, None if that is not there.

    Raises:
        EarlierError: if the file cannot be read or is not such a record, or the file of checks beside it is not one.
    """
    record = _read(path)
    if record.get("format") != SCHEDULE_FORMAT:
        raise EarlierError(f"{path} is not the schedule.json of an earlier pack ({SCHEDULE_FORMAT})")
    _see(path, _schedule_faults(record))
    beside = path.with_name(CHECK_FILE)
    if not beside.exists():
        return {**record, "check": None}
    checks = _read(beside)
    if checks.get("format") != CHECK_FORMAT:
        raise EarlierError(f"{beside} beside it is not a record of checks ({CHECK_FORMAT})")
    _see(beside, _check_faults(checks))
    return {**record, "check": checks if checks["job"] == record["job"] else None}


def _read(path: Path) -> Record:
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise EarlierError(f"{path} is not a file that can be read to its end")
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            raise EarlierError(f"{path} is too large for a record of a pack")
        record = json.loads(data.decode("utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
        raise EarlierError(f"{path} cannot be read as JSON ({error})") from error
    if not isinstance(record, dict):
        raise EarlierError(f"{path} is not the record of a pack: it holds no keys")
    return record


def _see(path: Path, faults: Iterator[str]) -> None:
    fault = next(faults, None)
    if fault is not None:
        raise EarlierError(f"{path} is damaged: {fault}")


def _schedule_faults(record: Record) -> Iterator[str]:
    """Yield what is wrong with a schedule's record, of all that is compared."""
    yield from _lacks(record, "the record", job=_text, runs=_many)
    names: set[str] = set()
    for i, run in enumerate(record["runs"]):
        where = f"runs[{i}]"
        yield from _lacks(
            run,
            where,
            name=_text,
            tube=_keys,
            former=_keys,
            cut_length_mm=_number,
            start=_point,
            finish=_point,
            bends=_many,
            plan=_keys,
        )
        if run["name"] in names:
            yield f"there are two runs {run['name']!r}"
        names.add(run["name"])
        yield from _lacks(run["tube"], f"{where}.tube", name=_text)
        yield from _lacks(run["former"], f"{where}.former", name=_text, radius_mm=_number)
        yield from _bend_faults(run, where)
        yield from _clip_faults(run.get("clips"), f"{where}.clips")
        if "ends" in run:
            yield from _lacks(run["ends"], f"{where}.ends", start=_keys, finish=_keys)


def _bend_faults(run: Record, where: str) -> Iterator[str]:
    for k, bend in enumerate(run["bends"], 1):
        here = f"{where}.bends[{k - 1}]"
        figures = ("number", "mark_mm", "angle_deg", "pull_deg", "turn_deg", "radius_mm")
        yield from _lacks(bend, here, **dict.fromkeys(figures, _number))
        if bend["number"] != k:
            yield f"{here}.number is {bend['number']!r} and should be {k}"
    yield from _lacks(run["plan"], f"{where}.plan", pulls=_many)
    for k, pull in enumerate(run["plan"]["pulls"]):
        here = f"{where}.plan.pulls[{k}]"
        yield from _lacks(
            pull, here, number=_number, bend=_number, held=_text, mark_mm=_number, roll_deg=_number, turn_round=_yes_no
        )
        if not (isinstance(pull["bend"], int) and 1 <= pull["bend"] <= len(run["bends"])):
            yield f"{here}.bend is {pull['bend']!r}, and there is no such bend"


def _clip_faults(clips: Any, where: str) -> Iterator[str]:
    if clips is None:
        return
    yield from _lacks(clips, where, clips=_many, unsupported=_many)
    kinds = {"service": _text} | dict.fromkeys(("level_mm", "upright_mm", "near_fitting_mm", "edge_mm"), _number)
    yield from _lacks(clips, where, **{key: fits for key, fits in kinds.items() if clips.get(key) is not None})
    for k, clip in enumerate(clips["clips"]):
        here = f"{where}.clips[{k}]"
        yield from _lacks(clip, here, at_mm=_number, face=_text, across=_keys, up=_keys)
        for side in ("across", "up"):
            yield from _lacks(clip[side], f"{here}.{side}", distance_mm=_number, reference=_text)
    for k, gap in enumerate(clips["unsupported"]):
        yield from _lacks(gap, f"{where}.unsupported[{k}]", from_mm=_number, to_mm=_number)


def _check_faults(record: Record) -> Iterator[str]:
    """Yield what is wrong with a record of checks, of all that is compared."""
    yield from _lacks(record, "the record", job=_text, verdict=_text, findings=_many, distances=_many)
    for k, finding in enumerate(record["findings"]):
        yield from _lacks(finding, f"findings[{k}]", code=_text, severity=_text, message=_text)
        for key in ("run", "against"):
            if not isinstance(finding.get(key), str | None):
                yield f"findings[{k}].{key} is no name"
    for k, row in enumerate(record["distances"]):
        yield from _lacks(row, f"distances[{k}]", run=_text, against=_text, distance_mm=_number)
        if "required_mm" in row:
            yield from _lacks(row, f"distances[{k}]", required_mm=_number)


def _lacks(holder: Any, where: str, **wanted: Callable[[Any], bool]) -> Iterator[str]:
    """Yield what a record does not have, or has otherwise than wanted; the first fault ends the looking."""
    if not isinstance(holder, dict):
        yield f"{where} holds no keys"
        return
    for key, fits in wanted.items():
        if key not in holder:
            yield f"{where} has no {key!r}"
        elif not fits(holder[key]):
            yield f"{where}.{key} cannot be {str(holder[key])[:40]!r}"


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _number(value: Any) -> bool:
    # An integer of many digits is too large even for a test of whether it is finite.
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e12


def _yes_no(value: Any) -> bool:
    return isinstance(value, bool)


def _many(value: Any) -> bool:
    return isinstance(value, list)


def _keys(value: Any) -> bool:
    return isinstance(value, dict)


def _point(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 3 and all(_number(x) for x in value)
