"""`pipemodel calibrate PIECES.yaml`: a former's own figures from measured test pieces."""

import json
import os
import sys
from dataclasses import asdict
from math import isfinite
from pathlib import Path

import click

from pipemodel.cli.stream import is_plain, say, tell


@click.command(name="calibrate")
@click.argument("pieces", metavar="PIECES.yaml", type=click.Path(path_type=Path, readable=False))
@click.option("--into", type=click.Path(path_type=Path), help="A file of formers to write into, made if not there.")
@click.option("--name", default="my former", show_default=True, help="The former's name in that file.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def command(pieces: Path, into: Path | None, name: str, form: str) -> None:
    """Fit radius, mark and springback to test pieces, and say how sure that is.

    PIECES.yaml holds the tube and the pieces, each with cut, mark, angle, 'start to back', 'finish to back' and pull.
    In a job the former is then {file: FILE, name: NAME}. Ends with 1, and writes nothing, when a reading looks wrong.
    """
    from pipemodel.bending.calibrate import calibrate
    from pipemodel.bending.pieces_file import former_values, per_degree_of, read_pieces
    from pipemodel.handover.calibration_text import calibration_text

    read = read_pieces(pieces)
    formers = {} if into is None else _formers(into)
    before = formers.get(name) or {}
    held = per_degree_of(before)
    result = calibrate(read.pieces, read.outside_mm, read.tape_mm, read.protractor_deg, held)
    if into is not None and result.doubts:
        tell(f"{into} is left as it was: a reading looks wrong, see below")
    elif into is not None:
        entry = former_values(result, read.outside_mm, before)
        if "radius" not in entry:
            tell(f"nothing written: these pieces do not give the radius, and {into} has none for {name!r} yet")
            sys.exit(2)
        _write(into, {**formers, name: entry})
        tell(f"{into}: {name}")
    if form == "json":
        say(json.dumps(_plain(asdict(result)), indent=2, allow_nan=False) + "\n")
    else:
        say(calibration_text(result, len(read.pieces), ascii=is_plain(sys.stdout)))
    sys.exit(1 if result.doubts else 0)


def _plain(value: object) -> object:
    """JSON has no infinity: what nothing holds is null."""
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return None if isinstance(value, float) and not isfinite(value) else value


def _formers(path: Path) -> dict[str, dict[str, object]]:
    from pipemodel.job.build_tools import read_formers
    from pipemodel.job.own_file import OwnFileError, read_own

    if not path.exists():
        return {}
    try:
        tree = read_own(path.name, path.parent, allow_outside=True)
        read_formers(tree, path.name)
    except OwnFileError as error:
        tell("\n".join(error.messages))
        sys.exit(2)
    return dict(tree.values)


def _write(path: Path, formers: dict[str, dict[str, object]]) -> None:
    """Write the file beside itself first, so that it is never half there."""
    import yaml

    beside = path.with_name(path.name + ".new")
    beside.write_text(yaml.safe_dump(formers, sort_keys=False, allow_unicode=True), encoding="utf-8")
    os.replace(beside, path)
