"""The record of an earlier pack, read back from its folder: seen to be whole before anything is compared with it."""

import json
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pipemodel.messages.values import Count, Message, Name, SaidError, bare, message
from pipemodel.results.record import CHECK_FORMAT, SCHEDULE_FORMAT, Record

MOST_BYTES = 100_000_000
CHECK_FILE = "check.json"
"""What lies beside an earlier schedule and says what the checks found."""


class EarlierError(SaidError):
    """What was named is not the record of an earlier pack; says why not."""


def read_earlier(path: Path) -> Record:
    """Return the schedule record of an earlier pack; under "check" what its checks found, None if that is not there.

    Raises:
        EarlierError: if the file cannot be read or is not such a record, or the file of checks beside it is not one.
    """
    record = _read(path)
    if record.get("format") != SCHEDULE_FORMAT:
        raise EarlierError(message("earlier.no schedule", file=bare(str(path)), format=bare(SCHEDULE_FORMAT)))
    _see(path, _schedule_faults(record))
    beside = path.with_name(CHECK_FILE)
    if not beside.exists():
        return {**record, "check": None}
    checks = _read(beside)
    if checks.get("format") != CHECK_FORMAT:
        raise EarlierError(message("earlier.no checks", file=bare(str(beside)), format=bare(CHECK_FORMAT)))
    _see(beside, _faults(checks, _CHECKS))
    return {**record, "check": checks if checks["job"] == record["job"] else None}


def _read(path: Path) -> Record:
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise EarlierError(message("earlier.pipe", file=bare(str(path))))
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            raise EarlierError(message("earlier.large", file=bare(str(path))))
        record = json.loads(data.decode("utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
        raise EarlierError(message("earlier.no json", file=bare(str(path)), why=bare(str(error)))) from error
    if not isinstance(record, dict):
        raise EarlierError(message("earlier.no keys", file=bare(str(path))))
    return record


def _see(path: Path, faults: Iterator[Message]) -> None:
    fault = next(faults, None)
    if fault is not None:
        raise EarlierError(message("earlier.damaged", file=bare(str(path)), fault=fault))


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _number(value: Any) -> bool:
    # An integer of many digits is too large even for a test of whether it is finite.
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e12


def _yes_no(value: Any) -> bool:
    return isinstance(value, bool)


def _point(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 3 and all(_number(x) for x in value)


_MEASURE = {"distance_mm": _number, "reference": _text}
_CLIP_RULE = ("level_mm?", "upright_mm?", "near_fitting_mm?", "edge_mm?")
_CLIPS = {
    "clips": [{"at_mm": _number, "face": _text, "across": _MEASURE, "up": _MEASURE}],
    "unsupported": [{"from_mm": _number, "to_mm": _number}],
    "service?": _text,
    **dict.fromkeys(_CLIP_RULE, _number),
}
_BEND = dict.fromkeys(("number", "mark_mm", "angle_deg", "pull_deg", "turn_deg", "radius_mm"), _number)
_PULL = {**dict.fromkeys(("number", "bend", "mark_mm", "roll_deg"), _number), "held": _text, "turn_round": _yes_no}
_RUN = {
    "name": _text,
    "tube": {"name": _text},
    "former": {"name": _text, "radius_mm": _number},
    "cut_length_mm": _number,
    "start": _point,
    "finish": _point,
    "bends": [_BEND],
    "plan": {"pulls": [_PULL]},
    "clips?": _CLIPS,
    "ends?": {"start": {}, "finish": {}},
}
_SCHEDULE = {"job": _text, "runs": [_RUN]}
_CHECKS = {
    "job": _text,
    "verdict": _text,
    "findings": [{"code": _text, "severity": _text, "message": _text, "run?": _text, "against?": _text}],
    "distances": [{"run": _text, "against": _text, "distance_mm": _number, "required_mm?": _number}],
}
"""Of the records, all that is compared: keys, lists, and what tells whether a value is one; `?` may be left out."""


def _schedule_faults(record: Record) -> Iterator[Message]:
    """Yield what is wrong with a schedule's record; the first fault ends the looking."""
    yield from _faults(record, _SCHEDULE)
    names: set[str] = set()
    for i, run in enumerate(record["runs"]):
        if run["name"] in names:
            yield message("earlier.two runs", run=Name(run["name"]))
        names.add(run["name"])
        for k, bend in enumerate(run["bends"], 1):
            if bend["number"] != k:
                where = bare(f"runs[{i}].bends[{k - 1}].number")
                yield message("earlier.number", where=where, value=bare(repr(bend["number"])), right=Count(k))
        for k, pull in enumerate(run["plan"]["pulls"]):
            if not (isinstance(pull["bend"], int) and 1 <= pull["bend"] <= len(run["bends"])):
                where = bare(f"runs[{i}].plan.pulls[{k}].bend")
                yield message("earlier.no bend", where=where, value=bare(repr(pull["bend"])))


def _faults(value: Any, wanted: Any, where: str = "") -> Iterator[Message]:
    """Yield what a value of a record does not have, or has otherwise than wanted."""
    if isinstance(wanted, dict):
        if not isinstance(value, dict):
            yield message("earlier.no keys", file=bare(where))
            return
        for key, inner in wanted.items():
            name = key.removesuffix("?")
            if name == key or value.get(name) is not None:
                if name not in value:
                    yield message("earlier.lacks", where=bare(where or "schedule.json"), name=Name(name))
                yield from _faults(value[name], inner, f"{where}.{name}".lstrip("."))
    elif isinstance(wanted, list) and isinstance(value, list):
        for k, one in enumerate(value):
            yield from _faults(one, wanted[0], f"{where}[{k}]")
    elif isinstance(wanted, list) or not wanted(value):
        yield message("earlier.cannot be", where=bare(where), value=Name(str(value)[:40]))
