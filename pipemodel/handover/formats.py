"""The documents that `make` writes: one file per format, one line here to register it."""

import importlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TypeAlias

from pipemodel.handover.answer import Answer

Writer: TypeAlias = Callable[[Answer, Path], Sequence[str]]
"""Writes a document into a folder, and returns what there is to tell about it, a line each; mostly nothing."""


@dataclass(frozen=True)
class Format:
    """A document: the function that writes it into a folder ("module:function"), and what it is for people."""

    writer: str
    files: str
    about: str

    def load(self) -> Writer:
        """Import and return the writer."""
        module, function = self.writer.split(":")
        writer: Writer = getattr(importlib.import_module(module), function)
        return writer


FORMATS: dict[str, Format] = {
    "json": Format("pipemodel.handover.files:write_json", "schedule.json, check.json", "the record, for programs"),
    "txt": Format("pipemodel.handover.files:write_txt", "schedule.txt, check.txt", "schedule and findings to read"),
    "csv": Format("pipemodel.handover.files:write_csv", "schedule.csv", "the schedule for a spreadsheet"),
    "step": Format("pipemodel.handover.solid_files:write_step_files", "job.step, RUN.step", "solids, exact"),
    "stl": Format("pipemodel.handover.solid_files:write_stl_files", "RUN.stl", "solids, as triangles"),
    "html": Format("pipemodel.handover.pages:write_html", "job.html", "the page for a phone, no signal needed"),
    "pdf": Format("pipemodel.handover.pages:write_pdf", "job.pdf", "the pack for paper"),
    "png": Format("pipemodel.handover.picture:write_png", "job.png", "a picture of room, runs, bends and clashes"),
}
"""Name for `--only`, and the document."""


class UnavailableError(RuntimeError):
    """A document that cannot be written on this machine; the message names what is missing."""


class UnknownFormatError(ValueError):
    """A format that nobody registered; the message names those there are, and the nearest."""


def chosen(only: Sequence[str] | None) -> dict[str, Format]:
    """Return the formats named, in the order of the table; all of them when nothing is named.

    Raises:
        UnknownFormatError: with every name that is not in the table.
    """
    if not only:
        return dict(FORMATS)
    unknown = [name for name in only if name not in FORMATS]
    if unknown:
        raise UnknownFormatError("; ".join(_no_such(name) for name in unknown) + f". There are {', '.join(FORMATS)}")
    return {name: FORMATS[name] for name in FORMATS if name in only}


def _no_such(name: str) -> str:
    near = get_close_matches(name.lower(), FORMATS, n=1, cutoff=0.5)
    return f"no format {name!r}" + (f"; did you mean {near[0]}?" if near else "")


def write_formats(
    answer: Answer, folder: Path, formats: dict[str, Format], by_name: bool, tell: Callable[[str], None]
) -> None:
    """Write documents into a folder, one after the other.

    What cannot be written on this machine (a picture where nothing can render) is left out, and told, unless it
    was asked for by name.

    Raises:
        UnavailableError: if a document asked for by name cannot be written here.
    """
    for format in formats.values():
        tell(format.files)
        try:
            for note in format.load()(answer, folder):
                tell(note)
        except UnavailableError as error:
            if by_name:
                raise
            tell(f"left out {format.files}: {error}")
