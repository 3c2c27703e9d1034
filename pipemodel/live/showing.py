"""What is being shown: the last good page, and what is wrong with the file as it is now."""

import json
import os
import threading
import traceback
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.live.page import waiting_html
from pipemodel.live.watch import LOOK_S, files_of, look_at, settled
from pipemodel.messages.units import Language, units_for
from pipemodel.results.paper_options import paper_options_for
from pipemodel.wording.safe_text import shown

if TYPE_CHECKING:
    from pipemodel.results.results import Results

LONGEST_LINE = 160
MOST_FAULTS = 20


@dataclass(frozen=True)
class Wrong:
    """One fault, with the line of the file it is in; `file` is empty for the job's own."""

    line: int
    column: int
    message: str
    text: str
    file: str = ""


@dataclass(frozen=True)
class State:
    """One look at the job: `good` counts the pages made so far, `wrong` says why the newest text made none."""

    number: int
    good: int
    page: str
    wrong: tuple[Wrong, ...] = ()

    def to_json(self, file: str) -> str:
        """Return what a browser gets to know of it."""
        wrong = [
            {"file": w.file or file, "line": w.line, "column": w.column, "message": w.message, "text": w.text}
            for w in self.wrong
        ]
        return json.dumps({"number": self.number, "good": self.good, "file": file, "wrong": wrong})


class Showing:
    """A job file being shown, made again in a thread of its own whenever it is saved.

    Args:
        path: the job file.
        render: makes the page of a job and its answers.
        parameters: values that win over the job's own parameters.
        allow_outside: let mesh files lie outside the job's folder.
        language: the language of the page; as the job says if left out.
        start: show a guided start as long as the file is not there.
    """

    def __init__(
        self,
        path: Path,
        render: Callable[["Results"], str],
        parameters: Mapping[str, float | str] | None = None,
        allow_outside: bool = False,
        language: Language | None = None,
        start: bool = False,
    ) -> None:
        self.path = path
        self._render = render
        self._parameters = parameters or {}
        self._allow_outside = allow_outside
        self._news = threading.Condition()
        self._ended = threading.Event()
        self._chosen = language
        self.language: Language = language or "en"
        """The language of the page; that of the job once it could be read, if none was chosen."""
        self._start = start
        self._state = State(0, 0, self._waiting())

    @property
    def name(self) -> str:
        """The file's name, safe to show."""
        return shown(self.path.name)

    @property
    def state(self) -> State:
        """What is shown now."""
        return self._state

    @property
    def ended(self) -> bool:
        """Whether the showing is over."""
        return self._ended.is_set()

    @property
    def starts(self) -> bool:
        """Whether a job is still to be started, its file not there yet."""
        return self._start and not os.path.lexists(self.path)

    def write(self, text: str) -> None:
        """Write the file of a job that is started, and show it.

        Raises:
            OSError: if it is there meanwhile, or the disk refuses.
        """
        with self.path.open("xb") as file:
            file.write(text.encode("utf-8"))
        self.make()

    def _waiting(self) -> str:
        return waiting_html(self.path.name, units_for("mm", self.language), self.starts)

    def make(self) -> None:
        """Make the page again from the file as it is now."""
        old = self._state
        if self.starts and not old.good:
            self._tell(State(old.number + 1, 0, self._waiting()))
            return
        try:
            job = story.read(self.path, self._parameters, self._allow_outside)
            papers = paper_options_for(job)
            self.language = self._chosen or papers.language
            papers = replace(papers, language=self.language)
            page = self._render(story.results(job, paper_options=papers))
            new = State(old.number + 1, old.good + 1, page)
        except JobError as error:
            new = State(old.number + 1, old.good, old.page, self._wrong(error))
        except Exception as error:
            # Whatever goes wrong in here, the view must not freeze in silence: page and console say so.
            traceback.print_exc()
            said = Wrong(1, 1, f"pipemodel itself failed: {shown(str(error)) or type(error).__name__}", "")
            new = State(old.number + 1, old.good, old.page, (said,))
        self._tell(new)

    def _tell(self, new: State) -> None:
        with self._news:
            self._state = new
            self._news.notify_all()

    def watch(self) -> None:
        """Make the page again at every save, until the showing ends."""
        files = files_of(self.path)
        seen = look_at(files)
        while not self._ended.wait(LOOK_S):
            if look_at(files) == seen:
                continue
            settled(files, self._ended.wait)
            files = files_of(self.path)
            seen = look_at(files)
            self.make()

    def after(self, number: int, seconds: float) -> State | None:
        """Wait for a state later than `number`; None when there is none within some seconds, or the showing ends."""
        with self._news:
            self._news.wait_for(lambda: self._state.number > number or self._ended.is_set(), seconds)
            return self._state if self._state.number > number and not self._ended.is_set() else None

    def end(self) -> None:
        """End the showing, and let go of everyone who waits."""
        self._ended.set()
        with self._news:
            self._news.notify_all()

    def _wrong(self, error: JobError) -> tuple[Wrong, ...]:
        return tuple(
            Wrong(
                f.place.line,
                f.place.column,
                shown(f.worded(self._chosen or error.language)),
                _line(Path(f.place.file or self.path), f.place.line),
                shown(Path(f.place.file).name),
            )
            for f in error.faults[:MOST_FAULTS]
        )


def _line(path: Path, number: int) -> str:
    try:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        lines = []
    return shown(lines[number - 1], LONGEST_LINE) if 0 < number <= len(lines) else ""
