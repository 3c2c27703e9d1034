"""`pipemodel jig JOB.yaml`: a checking jig to print for each run, or for one of them."""

import sys
from pathlib import Path

import click

from pipemodel import story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.paper_options import language_option, still_english
from pipemodel.cli.stream import say, tell
from pipemodel.job.jig import JigSettings
from pipemodel.output.file_names import Folder, run_stems
from pipemodel.output.folder import check_free, write_whole
from pipemodel.wording.safe_text import shown
from pipemodel.wording.units import Language


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
    still_english(language or solved.job.language, "the jig and its sheets")
    runs = [r for r in solved.runs if name is None or r.name == name]
    if not runs:
        known = ", ".join(r.name for r in solved.runs)
        raise click.BadParameter(f"there is no run {name!r}; there are {known}", param_hint="--run")
    from pipemodel.documents.jig.files import write_jig
    from pipemodel.jig.design import design
    from pipemodel.jig.plan import JigRefusedError

    settings = solved.job.jig or JigSettings()
    stems = run_stems(solved)
    jigs, refused = [], False
    missing: list[str] = []
    for run in runs:
        try:
            jigs.append(design(run, settings))
        except JigRefusedError as error:
            refused = True
            for reason in error.reasons:
                tell(f"{job}: run {run.name!r} gets no jig: {reason}")
    if jigs:

        def write(folder: Folder) -> None:
            for jig in jigs:
                missing.extend(write_jig(jig, stems[jig.solved.name], folder))

        say("".join(f"{path}\n" for path in write_whole(out, write)))
        for line in missing:
            tell(shown(line))
    if refused or missing:
        sys.exit(1)
