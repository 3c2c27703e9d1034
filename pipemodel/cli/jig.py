"""`pipemodel jig JOB.yaml`: a checking jig to print for each run, or for one of them."""

import sys
from pathlib import Path

import click

from pipemodel import bench, story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.paper_options import language_option
from pipemodel.cli.stream import say, tell
from pipemodel.cli.usage import SaidParameterError
from pipemodel.job.model import said_of
from pipemodel.messages.say import say as worded
from pipemodel.messages.units import Language, units_for
from pipemodel.messages.values import Name, message
from pipemodel.output.folder import check_free
from pipemodel.wording.safe_text import shown


@click.command(name="jig")
@job_file
@click.option("--run", "name", metavar="NAME", help="Make the jig of this run only.")
@click.option(
    "--out", type=click.Path(path_type=Path), help="The folder. [default: the job file's name and -jig, here]"
)
@click.option("--anyway", is_flag=True, help="A jig even for a run that tape, card and template tell all of.")
@language_option
def command(
    job: Path,
    parameters: dict[str, str],
    allow_outside: bool,
    name: str | None,
    out: Path | None,
    anyway: bool,
    language: Language | None,
) -> None:
    """Write a checking jig to print: lay the finished piece in, and see if it is right.

    The folder is written whole or not at all. If it is there already it may hold nothing but what an earlier
    `jig` put there. A run that is not worth a jig gets the checks to make instead, in its text. Prints the paths of
    what was written. Ends with 0 when all is well, 1 when a run gets no
    jig (it says why, and what would help) or this machine cannot write one of the files, 2 when the job is bad and
    nothing was written.
    """
    out = Path(f"{job.stem or 'out'}-jig") if out is None else out
    check_free(out)
    solved = story.schedule(story.read(job, parameters, allow_outside))
    try:
        runs = bench.chosen_runs(solved, name)
    except ValueError as error:
        raise SaidParameterError(said_of(error), "--run") from None
    language = language or solved.job.language
    from pipemodel.documents.jig.files import no_jig
    from pipemodel.jigs.design import Jig
    from pipemodel.jigs.of_job import NotWorth
    from pipemodel.jigs.plan import JigRefusedError
    from pipemodel.lists.jig_totals import totals_said
    from pipemodel.lists.jig_worth import worth_said

    units = units_for("mm", language)
    designed = bench.jigs(solved, runs, anyway)
    for one in designed:
        if isinstance(one, JigRefusedError):
            for said in no_jig(one):
                tell(f"{job}: {worded(said, units)}")
        elif not one.worth.printing:
            why = worth_said(one.worth, len(one.solved.table.bends))
            template = "jig worth.none" if isinstance(one, NotWorth) else "jig worth.all the same"
            said = message(template, run=Name(shown(one.solved.name)), why=why)
            tell(f"{job}: {worded(said, units)}")
    answered = [one for one in designed if not isinstance(one, JigRefusedError)]
    missing: list[str] = []
    if answered:
        paths, totals = bench.write_jigs(solved, designed, out, missing.append, language)
        say("".join(f"{path}\n" for path in paths))
        for line in missing:
            tell(shown(line))
        if any(isinstance(one, Jig) for one in designed):
            for total in totals_said(totals):
                tell(worded(total, units))
    if len(answered) < len(designed) or missing:
        sys.exit(1)
