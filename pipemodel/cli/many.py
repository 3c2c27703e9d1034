"""Several jobs by one command: each by itself, in worker processes, and what they said in the order they were given.

A job that cannot be read, or fails, keeps none of the others from being done; the exit code is the worst.
"""

import contextlib
import importlib
import io
import json
import multiprocessing
import signal
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any, NamedTuple, TypeAlias

import click

from pipemodel.cli.interrupt import on_signal, stop
from pipemodel.cli.stream import hand_over, say, tell
from pipemodel.wording.safe_text import shown

OneJob: TypeAlias = Callable[..., None]
"""Does a command for one job, given as `job`; ends with `sys.exit` where all is not well."""


class Outcome(NamedTuple):
    """How one job ended: its exit code, and what went to each stream."""

    code: int
    out: str
    err: str


Options: TypeAlias = dict[str, Any]
"""What a command is given besides its jobs, as it takes them."""


def _the_same(jobs: Sequence[Path], options: Options) -> list[Options]:
    """Give every job the same options; answers that cannot stand one after the other are refused."""
    if options.get("form") == "csv":
        raise click.UsageError("--format csv takes one job: give text or json, or one job at a time")
    return [options] * len(jobs)


def several_jobs(
    module: str, share: Callable[[Sequence[Path], Options], list[Options]] = _the_same
) -> Callable[[OneJob], Callable[..., None]]:
    """Let a command of one job take several; one is done as if there were no others.

    Args:
        module: the name of the module that the command is in.
        share: returns what each of several jobs is given, out of what all are; raises `click.UsageError`.
    """

    def decorate(one: OneJob) -> Callable[..., None]:
        def command(jobs: tuple[Path, ...], workers: int, **options: Any) -> None:
            if len(jobs) == 1:
                one(job=jobs[0], **options)
                return
            sys.exit(_do_all(module, jobs, workers, share(jobs, options)))

        command.__doc__ = one.__doc__
        command.__dict__.update(vars(one), one_job=one)
        for decorator in (
            click.option(
                "--workers",
                type=click.IntRange(1, 64),
                default=1,
                show_default=True,
                help="How many of several jobs are done at the same time, each by a process.",
            ),
            click.argument(
                "jobs", metavar="JOB.yaml...", nargs=-1, required=True, type=click.Path(path_type=Path, readable=False)
            ),
        ):
            command = decorator(command)
        return command

    return decorate


def _do_all(module: str, jobs: Sequence[Path], workers: int, options: Sequence[Options]) -> int:
    """Do all jobs, each with its options, and return the worst exit code."""
    records: list[dict[str, Any]] = []
    as_json, worst = options[0].get("form") == "json", 0
    pool = ProcessPoolExecutor(min(workers, len(jobs)), multiprocessing.get_context("spawn"))
    try:
        # Workers are started deaf to an interrupt: it is for this process, which ends them.
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        waiting = [pool.submit(_do_one, module, job, own) for job, own in zip(jobs, options, strict=True)]
        on_signal(signal.SIGINT, stop)
        for number, (job, future) in enumerate(zip(jobs, waiting, strict=True), 1):
            done = _outcome(future)
            worst = max(worst, done.code)
            tell(f"job {number} of {len(jobs)}: {shown(str(job))}: exit code {done.code}")
            for line in done.err.splitlines():
                tell(line)
            if as_json:
                records.append({"file": str(job), "exit": done.code, **_record(done)})
            else:
                say(f"{'' if number == 1 else chr(10)}{shown(str(job))}\n\n{done.out}")
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        for worker in multiprocessing.active_children():
            worker.terminate()
        raise
    pool.shutdown()
    if as_json:
        hand_over(json.dumps({"jobs": records}, ensure_ascii=False, indent=2) + "\n")
    return worst


def _record(done: Outcome) -> dict[str, Any]:
    """Return what a job answered, or its faults where it could not be read."""
    if not done.out:
        return {"faults": done.err.splitlines()}
    record: dict[str, Any] = json.loads(done.out)
    return record


def _outcome(future: "Future[Outcome]") -> Outcome:
    try:
        return future.result()
    except BrokenProcessPool:
        return Outcome(2, "", "pipemodel: the process that did this job was ended; it may have run out of memory\n")


def _do_one(module: str, job: Path, options: Options) -> Outcome:
    """Do one job in a worker, and return what it would have written."""
    from pipemodel.cli import run

    command = importlib.import_module(module).command
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="") for _ in range(2))
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = run(lambda: command.callback.one_job(job=job, **options))
    texts = []
    for stream in (out, err):
        stream.flush()
        raw = stream.buffer
        assert isinstance(raw, io.BytesIO)
        texts.append(raw.getvalue().decode("utf-8"))
    return Outcome(code, *texts)
