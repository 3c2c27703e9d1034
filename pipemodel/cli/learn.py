"""`pipemodel learn JOB.yaml --readings FILE --history FILE`: former and hands sharpened by finished pieces."""

import sys
from collections.abc import Callable
from pathlib import Path

import click

from pipemodel import bench, story
from pipemodel.cli.paper_options import language_option, units_option
from pipemodel.cli.stream import hand_over, is_plain, say, tell
from pipemodel.cli.usage import SaidParameterError, SaidUsageError
from pipemodel.job.history_forms import date_fault, text_fault
from pipemodel.job.model import Job, said_of
from pipemodel.messages.say import words
from pipemodel.messages.units import Language, UnitName, Units, units_for
from pipemodel.messages.values import Count, Message, Name, message


def _checked(
    fault: Callable[[str], Message | None],
) -> Callable[[click.Context, click.Parameter, str], str]:
    def check(context: click.Context, option: click.Parameter, text: str) -> str:
        if text and (wrong := fault(text)):
            raise SaidParameterError(wrong)
        return text

    return check


_FILE = click.Path(path_type=Path, dir_okay=False)
_text = _checked(text_fault)


@click.command(name="learn")
@click.argument("files", metavar="[JOB.yaml]", nargs=-1, type=click.Path(path_type=Path, readable=False))
@click.option("--run", metavar="NAME", help="Which run the piece is of; needed where the job has several.")
@click.option("--readings", type=_FILE, help="What was measured of the finished piece.")
@click.option("--history", type=_FILE, help="The file that keeps it; made if not there, and never without being named.")
@click.option(
    "--date", "dated", default="", callback=_checked(date_fault), metavar="YYYY-MM-DD", help="When it was bent."
)
@click.option("--batch", default="", callback=_text, help="Which batch of tube it is of.")
@click.option("--by", default="", callback=_text, metavar="NAME", help="Who bent it.")
@click.option(
    "--piece", default="", callback=_text, metavar="NAME", help="Which of several pieces of one run, such as 2."
)
@click.option("--as-measured", is_flag=True, help="Take the readings as they are, though they look like a slip.")
@click.option("--allow-outside", is_flag=True, help="Let files that the job names lie outside its folder.")
@click.option("--merge", is_flag=True, help="Put history files together: learn --merge A B --out C.")
@click.option("--out", type=_FILE, help="The file to put them together in; may be one of them.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@units_option
@language_option
def command(
    files: tuple[Path, ...],
    run: str | None,
    readings: Path | None,
    history: Path | None,
    dated: str,
    batch: str,
    by: str,
    piece: str,
    as_measured: bool,
    allow_outside: bool,
    merge: bool,
    out: Path | None,
    form: str,
    units: UnitName | None,
    language: Language | None,
) -> None:
    """Keep what finished pieces came out as, and say what they tell of former and hands.

    With JOB.yaml, --readings and --history the readings of a piece are kept; with --history alone it is said what that
    file tells by now; with --merge history files are put together. In a job, learned: FILE and hands: {file: FILE} use
    it. Nothing is kept anywhere but in the file named.
    """
    from pipemodel.calibration.finished_piece import PieceFacts

    said = units_for(units or "mm", language or "en")
    if merge:
        if not files or out is None or readings or history:
            raise SaidUsageError(message("usage.merge"))
        _merge(files, out, form, said)
        return
    if out is not None:
        raise SaidUsageError(message("usage.out"))
    if history is None:
        raise SaidUsageError(message("usage.history"))
    if len(files) > 1 or bool(files) != bool(readings):
        raise SaidUsageError(message("usage.learn"))
    job = None
    if files and readings:
        job = story.read(files[0], allow_outside=allow_outside)
        said = units_for(units or job.units, language or job.language)
        try:
            added = bench.learn(job, run, readings, history, PieceFacts(dated, batch, by, piece), as_measured)
        except ValueError as error:
            raise SaidParameterError(said_of(error), "--run") from None
        file = Name(str(history), quoted=False)
        if added.bends:
            name = "learn.made" if added.made else "learn.added"
            tell(words(said, name, file=file, n=Count(added.bends), piece=Count(added.number)))
        else:
            tell(words(said, "learn.nothing added", file=file))
    _report(history, job, form, said)


def _merge(files: tuple[Path, ...], out: Path, form: str, units: Units) -> None:
    from pipemodel.learning.records import in_pieces
    from pipemodel.output.history_file import merge_histories

    records = merge_histories(files, out)
    pieces = Count(len(in_pieces(records)))
    tell(words(units, "learn.merged", file=Name(str(out), quoted=False), n=Count(len(records)), pieces=pieces))
    _report(out, None, form, units)


def _report(history: Path, job: Job | None, form: str, units: Units) -> None:
    found = bench.learned(history, job)
    if form == "json":
        from pipemodel.results.plain import to_json
        from pipemodel.results.record_learned import learned_record

        hand_over(to_json(learned_record(found)))
    else:
        from pipemodel.documents.text.learning import learning_text

        say(learning_text(found, is_plain(sys.stdout), units))
