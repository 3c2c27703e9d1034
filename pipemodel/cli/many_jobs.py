"""One job or many: each is answered by itself, here or in child processes, and the worst exit code counts.

A command's module has a function `answer` from an `JobAsked` to an `JobAnswer`. Children hand theirs over as JSON.
"""

import json
import os
import pickle
import sys
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pipemodel.cli.said import lines_of

if TYPE_CHECKING:
    from queue import SimpleQueue

    from pipemodel.processes.child import Child

MOST_WORKERS = 64
LONG_S = 1e6
"""A job may take as long as it would here."""

workers_option = click.option(
    "--workers",
    type=click.IntRange(1, MOST_WORKERS),
    default=1,
    show_default=True,
    help="How many of several jobs are worked out side by side, each in a process of its own.",
)


@dataclass(frozen=True)
class JobAsked:
    """What is asked of a command about one job: its file, how it is read, and the command's own options by name."""

    file: Path
    parameters: dict[str, str]
    allow_outside: bool
    options: dict[str, Any]


@dataclass(frozen=True)
class JobAnswer:
    """A command's answer about one job: its exit code, what goes to stdout and to stderr, and its record for JSON.

    A file that cannot be read or worked out has the exit code 2, and its faults in `messages`.
    """

    exit: int
    text: str = ""
    record: dict[str, Any] | None = None
    messages: tuple[str, ...] = field(default=())


def answers(command: str, asked: Sequence[JobAsked], workers: int = 1) -> Iterator[JobAnswer]:
    """Yield the answer about each job, in the order they are asked; see `JobAsked`.

    Args:
        command: the name of the command's module in this package.
        asked: the jobs.
        workers: how many are worked out side by side; 1 for one after the other in this process.
    """
    if workers == 1 or len(asked) == 1:
        yield from (answer_here(command, one) for one in asked)
        return
    from concurrent.futures import ThreadPoolExecutor
    from queue import SimpleQueue

    from pipemodel.processes.child import end_all

    children: SimpleQueue[Child | None] = SimpleQueue()
    for _ in range(workers):
        children.put(None)
    pool = ThreadPoolExecutor(workers)
    try:
        yield from pool.map(lambda one: _answer_apart(command, one, children), asked)
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        end_all()
        raise
    finally:
        pool.shutdown()
        while not children.empty():
            if (child := children.get()) is not None:
                child.end()


def answer_here(command: str, asked: JobAsked) -> JobAnswer:
    """Return a command's answer about one job, worked out in this process."""
    try:
        answer: JobAnswer = import_module(f"pipemodel.cli.{command}").answer(asked)
    except Exception as error:
        lines = lines_of(error, asked.options.get("papers", asked.options)["language"])
        if lines is None:
            raise
        return JobAnswer(2, messages=tuple(lines))
    return answer


def _answer_apart(command: str, asked: JobAsked, children: "SimpleQueue[Child | None]") -> JobAnswer:
    """Return an answer worked out in one of the children; a child that dies is the fault of its job alone."""
    from pipemodel.messages.say import say
    from pipemodel.messages.units import units_for
    from pipemodel.messages.values import bare, message
    from pipemodel.processes.child import Child, ChildError, ChildLimits
    from pipemodel.solids.child_words import child_said

    child = children.get()
    try:
        if child is None:
            child = Child(f"{__name__}:serve", ChildLimits(LONG_S))
        given = json.loads(child.ask(pickle.dumps((command, asked, os.getcwd()))))
    except ChildError as error:
        child = None
        said = message("child.of job", file=bare(str(asked.file)), how=child_said(error))
        units = units_for("mm", asked.options.get("papers", asked.options)["language"] or "en")
        return JobAnswer(2, messages=(f"pipemodel: {say(said, units)}",))
    finally:
        children.put(child)
    return JobAnswer(given["exit"], given["text"], given["record"], tuple(given["messages"]))


def serve(request: bytes) -> bytes:
    """Answer about one job in a child process: from a pickle of the parent's to JSON."""
    command, asked, folder = pickle.loads(request)
    os.chdir(folder)
    # What a child might tell on the way would be lost; `messages` holds what counts.
    sys.stderr = None
    return json.dumps(asdict(answer_here(command, asked))).encode()
