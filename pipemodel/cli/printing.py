"""What the commands that read jobs and print of them have in common: their options, the reading, and the streams."""

import csv
import io
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

import click

from pipemodel import story
from pipemodel.cli.job_file import job_files
from pipemodel.cli.many_jobs import JobAnswer, JobAsked, answers, workers_option
from pipemodel.cli.paper_options import language_option, paper_options_of, units_option
from pipemodel.cli.stream import count, hand_over, is_plain, say, tell
from pipemodel.job.model import Job
from pipemodel.results.paper_options import PaperOptions
from pipemodel.results.plain import to_json
from pipemodel.wording.safe_text import shown

Answering: TypeAlias = Callable[[JobAsked], JobAnswer]


def printing_command(answer: Answering, *forms: str) -> click.Command:
    """Return the command that prints what a module's `answer` has to say of one job or more, in one of these forms.

    It takes the job files, what goes with reading them, units and language; its help is that of `answer`.
    """
    name = answer.__module__.rpartition(".")[2]

    @click.command(name=name, help=answer.__doc__)
    @job_files
    @click.option("--format", "form", type=click.Choice(forms), default=forms[0], show_default=True)
    @units_option
    @language_option
    @workers_option
    def command(
        jobs: tuple[Path, ...],
        parameters: dict[str, str],
        allow_outside: bool,
        form: str,
        units: str | None,
        language: str | None,
        workers: int,
    ) -> None:
        options = {"form": form, "units": units, "language": language, "plain": is_plain(sys.stdout)}
        asked = [JobAsked(file, parameters, allow_outside, options) for file in jobs]
        if len(asked) == 1:
            sys.exit(_print_one(next(answers(name, asked)), form))
        sys.exit(_print_many(asked, answers(name, asked, workers), form))

    return command


def read_asked(asked: JobAsked) -> tuple[Job, str, PaperOptions, bool]:
    """Read the job that is asked about; return it with the form, how to write, and whether in plain ASCII."""
    options = asked.options
    job = story.read(asked.file, asked.parameters, asked.allow_outside)
    return job, options["form"], paper_options_of(job, options["units"], options["language"]), options["plain"]


def _print_one(answer: JobAnswer, form: str) -> int:
    for line in answer.messages:
        tell(line)
    if answer.record is not None:
        hand_over(to_json(answer.record))
    elif answer.text:
        say(answer.text) if form == "text" else hand_over(answer.text)
    return answer.exit


def _print_many(asked: list[JobAsked], given: Any, form: str) -> int:
    """Print of each job as soon as those before it are printed; of JSON only when all are there."""
    worst, records, header = 0, list[dict[str, Any]](), list[str]()
    for one, answer in zip(asked, given, strict=True):
        worst = max(worst, answer.exit)
        for line in answer.messages:
            tell(line)
        if form == "json":
            count(len(records) + 1, len(asked))
            of_it = answer.record if answer.record is not None else {"faults": list(answer.messages)}
            records.append({"file": str(one.file), "exit": answer.exit, **of_it})
        elif form == "text" and answer.text:
            title = shown(str(one.file))
            say(f"{title}\n{'#' * len(title)}\n\n{answer.text}\n")
        elif answer.text:
            hand_over(_with_file(answer.text, str(one.file), header))
    if form == "json":
        hand_over(to_json({"jobs": records}))
    return worst


def _with_file(text: str, file: str, header: list[str]) -> str:
    """Return a table as CSV with the job's file in a first column, and without its heading if that is the last one's.

    `header` is the last heading that was given, and takes this one.
    """
    from pipemodel.documents.tables.csv_table import BYTE_ORDER_MARK, cell

    own, *rows = csv.reader(io.StringIO(text.removeprefix(BYTE_ORDER_MARK), newline=""))
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    if own != header:
        out.write("" if header else BYTE_ORDER_MARK)
        writer.writerow(["file", *own])
        header[:] = own
    writer.writerows([cell(file), *row] for row in rows)
    return out.getvalue()
