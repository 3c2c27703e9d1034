"""`pipemodel jig JOB.yaml`: a checking jig to print for each run, or for one of them."""

import sys
from pathlib import Path

import click

from pipemodel import bench, story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.paper_options import language_option
from pipemodel.cli.stream import say, tell
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
@language_option
def command(
    job: Path,
    parameters: dict[str, str],
    allow_outside: bool,
    name: str | None,
    out: Path | None,
    language: Language | None,
) -> None:
    """Write a checking jig to print: lay the finished piece in, and see if it is right.

    The folder is written whole or not at all. If it is there already it may hold nothing but what an earlier
    `jig` put there. Prints the paths of what was written. Ends with 0 when all is well, 1 when a run gets no
    jig (it says why, and what would help) or this machine cannot write one of the files, 2 when the job is bad and
    nothing was written.
    """
    out = Path(f"{job.stem or 'out'}-jig") if out is None else out
    check_free(out)
    solved = story.schedule(story.read(job, parameters, allow_outside))
    try:
        runs = bench.chosen_runs(solved, name)
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--run") from None
    language = language or solved.job.language
    from pipemodel.documents.jig.files import no_jig
    from pipemodel.jigs.design import Jig
    from pipemodel.jigs.plan import JigRefusedError
    from pipemodel.lists.jig_totals import totals_of, totals_said
    from pipemodel.lists.jig_worth import worth_said

    designed = bench.jigs(solved, runs)
    made = [jig for jig in designed if isinstance(jig, Jig)]
    for refused in designed:
        if isinstance(refused, JigRefusedError):
            for said in no_jig(refused):
                tell(f"{job}: {worded(said, units_for('mm', language))}")
        elif not refused.worth.printing:
            why = worth_said(refused.worth, len(refused.solved.table.bends))
            said = message("jig worth.not", run=Name(shown(refused.solved.name)), why=why)
            tell(f"{job}: {worded(said, units_for('mm', language))}")
    missing: list[str] = []
    if made:
        say("".join(f"{path}\n" for path in bench.write_jigs(solved, made, out, missing.append, language)))
        for line in missing:
            tell(shown(line))
    if len(made) > 1:
        for total in totals_said(totals_of(made)):
            tell(worded(total, units_for("mm", language)))
    if len(made) < len(designed) or missing:
        sys.exit(1)
