"""`pipemodel room MODEL.ifc`: a room file out of a building model."""

from pathlib import Path

import click

from pipemodel.cli.paper_options import language_option
from pipemodel.cli.stream import say
from pipemodel.cli.usage import SaidParameterError, SaidUsageError
from pipemodel.job.model import said_of
from pipemodel.messages.units import Language
from pipemodel.messages.values import message

UNITS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}


@click.command(name="room")
@click.argument("model", metavar="MODEL", type=click.Path(path_type=Path, readable=False))
@click.option(
    "--out", required=True, type=click.Path(path_type=Path), metavar="ROOM.yaml", help="The room file to be written."
)
@click.option(
    "--class",
    "classes",
    multiple=True,
    metavar="IfcWall,...",
    help="Classes of elements, with all kinds of these.",
)
@click.option("--storey", "storeys", multiple=True, metavar="NAME", help="What stands on this storey. May be repeated.")
@click.option(
    "--near", type=click.Path(path_type=Path, readable=False), metavar="JOB.yaml", help="What is near a job's runs."
)
@click.option("--unit", type=click.Choice(list(UNITS)), help="What one unit of a file of triangles is. [default: mm]")
@click.option("--within", metavar="LENGTH", help="How near. [default: 500 mm]")
@language_option
def command(
    model: Path,
    out: Path,
    classes: tuple[str, ...],
    storeys: tuple[str, ...],
    near: Path | None,
    unit: str | None,
    within: str | None,
    language: Language | None,
) -> None:
    """Make a room file of a building model (IFC 2x3, 4 or 4.3), or of the parts of another (STEP, GLB, 3MF, OBJ, ...).

    A job then names it: room: {file: ROOM.yaml}. What does not fit exact shapes stands in ROOM.glb beside it. A room
    file written here and not changed since is written again; any other is left as it is.
    """
    from pipemodel.job.quantities import parse_length
    from pipemodel.models.room import Wanted, room_of
    from pipemodel.models.said import room_said

    named = tuple(name.strip() for one in classes for name in one.split(",") if name.strip())
    if within is not None and near is None:
        raise SaidUsageError(message("usage.within"))
    try:
        within_mm = 500.0 if within is None else parse_length(within)
    except ValueError as error:
        raise SaidParameterError(said_of(error), "--within") from None
    if within_mm < 0.0:
        raise SaidParameterError(message("usage.length"), "--within")
    wanted = Wanted(named, storeys, near, within_mm, UNITS.get(unit or ""), language or "en")
    say(room_said(room_of(model, out, wanted), out, wanted.language))
