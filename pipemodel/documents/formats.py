"""The documents that `make` writes: one file per format, one line here to register it."""

import importlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, TypeAlias

from pipemodel.documents.unavailable import LeftOut, UnavailableError
from pipemodel.messages.say import words
from pipemodel.messages.values import NOTHING, Message, Name, bare, listed, message
from pipemodel.output.file_names import Folder
from pipemodel.results.results import Results
from pipemodel.solids.missing import LibraryMissingError

if TYPE_CHECKING:
    from concurrent.futures import Future

Writer: TypeAlias = Callable[[Results, Folder], Sequence[str]]
"""Writes a document into a folder, and returns what there is to tell about it, a line each; mostly nothing."""


@dataclass(frozen=True)
class Format:
    """A document: what writes it into a folder ("module:function", within `pipemodel`), and the files it is."""

    writer: str
    files: str
    apart: bool = False
    """Whether the writer works in a process of its own, and can be left to itself meanwhile."""
    wanted: Callable[[Results], bool] = lambda results: True
    """Whether a job asks for it; what it does not ask for is written only when named."""

    def load(self) -> Writer:
        """Import and return the writer."""
        module, function = self.writer.split(":")
        writer: Writer = getattr(importlib.import_module(f"pipemodel.{module}"), function)
        return writer


def _when_named(results: Results) -> bool:
    return False


FORMATS: dict[str, Format] = {
    "json": Format("documents.record_files:write_json", "schedule.json, check.json"),
    "txt": Format("documents.record_files:write_txt", "schedule.txt, check.txt"),
    "csv": Format("documents.record_files:write_csv", "schedule.csv"),
    "lists": Format("documents.record_files:write_lists", "LIST.csv"),
    "xlsx": Format("documents.record_files:write_xlsx", "schedule.xlsx"),
    "md": Format("documents.record_files:write_md", "schedule.md"),
    "cuts": Format("documents.text.cut_list:write_cuts", "cuts.json, cuts.txt"),
    "pulls": Format("documents.pull_files:write_card_files", "RUN-pulls.svg"),
    "step": Format("documents.solid_files:write_step_files", "job.step, RUN.step"),
    "stl": Format("documents.solid_files:write_stl_files", "RUN.stl"),
    "ifc": Format("documents.ifc.file:write_ifc", "job.ifc", wanted=_when_named),
    "bcf": Format("documents.bcf_file:write_bcf", "job.bcf", wanted=_when_named),
    "svg": Format("documents.drawing_files:write_svg_files", "job.svg, job-….svg, RUN.svg"),
    "dxf": Format("documents.drawing_files:write_dxf_files", "job.dxf, job-….dxf, RUN.dxf"),
    "jig": Format(
        "documents.jig.files:write_jigs",
        "RUN-jig.3mf, RUN-jig-….stl",
        wanted=lambda results: results.schedule.job.jig is not None,
    ),
    "html": Format("documents.page_and_pack:write_html", "job.html"),
    "pdf": Format("documents.page_and_pack:write_pdf", "job.pdf"),
    "templates": Format("documents.page_and_pack:write_templates", "job-templates.pdf", wanted=_when_named),
    "design": Format("documents.page_and_pack:write_design", "job-design.pdf"),
    "png": Format("documents.picture:write_png", "job.png", apart=True),
}
"""Name for `--only`, and the document."""


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
        names, there = listed([_no_such(name) for name in unknown], ";"), bare(", ".join(FORMATS))
        raise UnknownFormatError(message("usage.formats", names=names, there=there))
    return {name: FORMATS[name] for name in FORMATS if name in only}


def _no_such(name: str) -> Message:
    near = get_close_matches(name.lower(), FORMATS, n=1, cutoff=0.5)
    meant = message("usage.format meant", near=bare(near[0])) if near else NOTHING
    return message("usage.format", name=Name(name), meant=meant)


def write_formats(
    results: Results,
    folder: Folder,
    formats: dict[str, Format],
    by_name: bool,
    tell: Callable[[str], None],
    miss: Callable[[str], None],
) -> None:
    """Write documents into a folder, one after the other; those that work apart, beside the others.

    What cannot be written on this machine (a picture where nothing can render) is left out, and `miss` is called with
    a line that says why, unless it was asked for by name.

    Raises:
        UnavailableError: if a document asked for by name cannot be written here.
    """
    formats = {name: format for name, format in formats.items() if by_name or format.wanted(results)}
    with _beside([format for format in formats.values() if format.apart], results, folder) as begun:
        for format in sorted(formats.values(), key=lambda format: format.apart):
            tell(format.files)
            try:
                notes = begun[format.files].result() if format.apart else _written(format, results, folder)
            except UnavailableError as error:
                if by_name:
                    raise
                said = words(results.paper_options.reading, "screen.left out", files=bare(format.files), why=error.said)
                miss(said)
                continue
            for note in notes:
                (miss if isinstance(note, LeftOut) else tell)(note)


@contextmanager
def _beside(apart: Sequence[Format], results: Results, folder: Folder) -> "Iterator[dict[str, Future[Sequence[str]]]]":
    """Begin the documents that work apart, and see that they have ended before the folder goes anywhere."""
    if not apart:
        yield {}
        return
    from concurrent.futures import ThreadPoolExecutor

    from pipemodel.processes.child import end_all

    with ThreadPoolExecutor() as pool:
        try:
            yield {format.files: pool.submit(_written, format, results, folder) for format in apart}
        except BaseException:
            # Nobody will look at what they are drawing.
            end_all()
            raise


def _written(format: Format, results: Results, folder: Folder) -> Sequence[str]:
    try:
        return format.load()(results, folder)
    except LibraryMissingError as error:
        raise UnavailableError(error.said) from error
    except ImportError as error:
        # A library that finds no driver or font of the system says so when it is loaded.
        raise UnavailableError(message("missing.loading", reason=bare(str(error)))) from error
