"""`pipemodel calibrate PIECES.yaml`: a former's own figures from measured test pieces."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pipemodel.cli.paper_options import language_option
from pipemodel.cli.stream import is_plain, say, tell
from pipemodel.messages.say import say as worded
from pipemodel.messages.say import words
from pipemodel.messages.units import Language, Units, units_for
from pipemodel.messages.values import Name, bare, listed
from pipemodel.output.refused import refused
from pipemodel.output.whole_file import write_whole_file
from pipemodel.results.plain import fields_of, plain, to_json

if TYPE_CHECKING:
    from pipemodel.calibration.pieces_file import Pieces
    from pipemodel.calibration.values import Calibration


@click.command(name="calibrate")
@click.argument("pieces", metavar="PIECES.yaml", type=click.Path(path_type=Path, readable=False))
@click.option("--into", type=click.Path(path_type=Path), help="A file of formers to write into, made if not there.")
@click.option("--name", default="my former", show_default=True, help="The former's name in that file.")
@click.option(
    "--as-measured", is_flag=True, help="Take the readings as they are, though they look like a mistake in measuring."
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@language_option
def command(
    pieces: Path, into: Path | None, name: str, as_measured: bool, form: str, language: Language | None
) -> None:
    """Fit radius, mark and springback to test pieces, and say how sure that is.

    PIECES.yaml holds the tube and the pieces, each with cut, mark, angle, 'start to back', 'finish to back' and pull;
    and, if measured on the bender, hold and guide. In a job the former is then {file: FILE, name: NAME}. Ends with 1,
    and writes nothing, when something looks wrong.
    """
    from pipemodel.calibration.calibrate import calibrate
    from pipemodel.calibration.pieces_file import per_degree_of, read_pieces
    from pipemodel.documents.text.calibration import calibration_text

    read, units = read_pieces(pieces), units_for("mm", language or "en")
    text, formers = ("", {}) if into is None else _formers(into, units)
    before = formers.get(name) or {}
    held = per_degree_of(before)
    result = calibrate(read.pieces, read.outside_mm, read.tape_mm, read.protractor_deg, held, read.least_mm)
    wrong = bool(result.doubts) or (not result.usable and not as_measured)
    if into is not None and wrong:
        tell(words(units, "calibration.left", file=Name(str(into), quoted=False)))
    elif into is not None:
        _put(into, text, name, before, result, read, held, units)
    if form == "json":
        say(to_json({**plain(result), **fields_of(read, "hold_mm guide_mm"), "usable": not wrong}))
    else:
        say(calibration_text(result, read, is_plain(sys.stdout), units))
    sys.exit(1 if wrong else 0)


def _formers(path: Path, units: Units) -> tuple[str, dict[str, dict[str, Any]]]:
    """Return the text of a file of formers, as it stands with its line ends, and its values."""
    from pipemodel.job.build_tools import read_formers
    from pipemodel.job.own_file import OwnFileError, OwnFiles

    if not path.exists():
        return "", {}
    try:
        text = path.read_bytes().decode("utf-8")
        tree = OwnFiles(path.parent, allow_outside=True).tree(path.name)
        if tree.values is None:
            return text, {}  # nothing in it yet, or comments alone
        read_formers(tree, path.name)
    except UnicodeDecodeError:
        tell(words(units, "calibration.no utf-8", file=bare(str(path))))
        sys.exit(2)
    except OwnFileError as error:
        tell("\n".join(worded(said, units) for said in error.messages))
        sys.exit(2)
    return text, dict(tree.values)


def _put(
    into: Path,
    text: str,
    name: str,
    before: dict[str, Any],
    result: "Calibration",
    read: "Pieces",
    held: float,
    units: Units,
) -> None:
    """Put a calibrated former into a file of formers, whose comments, order and layout stay."""
    from pipemodel.calibration.pieces_file import former_values
    from pipemodel.job.build_tools import read_formers
    from pipemodel.job.own_file import OwnFileError
    from pipemodel.job.yaml_edit import LayoutError, with_values
    from pipemodel.job.yaml_tree import read_tree

    values = former_values(result, read, held)
    if "radius" not in {**before, **values}:
        tell(words(units, "calibration.nothing written", file=Name(str(into), quoted=False), former=Name(name)))
        sys.exit(2)
    try:
        changed = with_values(text, name, values)
        read_formers(read_tree(changed.removeprefix("\ufeff")), into.name)
        write_whole_file(into, changed)
    except OwnFileError as error:
        why = listed(error.messages, ";")
        tell(words(units, "calibration.no such former", file=bare(str(into)), why=why))
        sys.exit(2)
    except LayoutError as error:
        tell(f"{words(units, 'calibration.layout', file=bare(str(into)))}\n{error}")
        sys.exit(2)
    except OSError as error:
        tell(words(units, "file.unwritten", file=bare(str(into)), why=refused(error)))
        sys.exit(2)
    tell(f"{into}: {name}")
