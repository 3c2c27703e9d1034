"""Every file of a jig, written into a folder that is there."""

from collections.abc import Iterator
from typing import Any

from pipemodel.documents.full_size import MARGIN, FullPage, shelved, tiled
from pipemodel.documents.jig.board_sheets import board_sheet, drill_cards
from pipemodel.documents.jig.pdf import A4, WINDOW, jig_pdf
from pipemodel.documents.jig.plan_sheet import plan_sheet
from pipemodel.documents.jig.record import jig_record
from pipemodel.documents.jig.text import jig_text
from pipemodel.documents.jig.threemf import PrintItem, to_3mf
from pipemodel.documents.unavailable import LeftOut, UnavailableError
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.strips import below_each_other, foot_strip
from pipemodel.jigs.build import body_of, prism
from pipemodel.jigs.design import Jig
from pipemodel.jigs.plan import JigRefusedError
from pipemodel.jigs.plates import set_out
from pipemodel.lists.jig_picture import STEPS, picture_sheet
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Language, Units, units_for
from pipemodel.messages.values import Message, Name, message
from pipemodel.output.file_names import Folder, run_stems
from pipemodel.results.record import to_json
from pipemodel.results.results import Results
from pipemodel.solids.missing import LibraryMissingError
from pipemodel.solids.stl import write_stl
from pipemodel.wording.cautions import short_caution
from pipemodel.wording.safe_text import shown

COLOUR = (0.62, 0.68, 0.75)
WOOD = (0.80, 0.74, 0.62)
FIGURES = 13
"""Figures that a number in STEM-jig.json has: in those beyond, one build of numpy differs from another."""
BOARD_HIGH_MM = 140.0
"""The board to scale is drawn no higher than this, so that a picture goes on its page."""
BEDS_APART_MM = 30.0
"""In the 3MF, a second bed's parts stand this far beyond the first bed's edge."""


def write_jigs(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the jig of every run of a job that asks for jigs; return why any run gets none.

    Raises:
        UnavailableError: if the job asks for none.
    """
    if results.schedule.job.jig is None:
        raise UnavailableError("the job asks for no jig; write jig: in it, or run pipemodel jig")
    stems = run_stems(results.schedule)
    notes: list[str] = []
    for jig in results.jigs:
        if isinstance(jig, Jig):
            notes += write_jig(jig, stems[jig.solved.name], folder, results.paper_options.language)
        else:
            notes += [say(said, results.paper_options.reading) for said in no_jig(jig)]
    return tuple(notes)


def no_jig(refused: JigRefusedError) -> list[Message]:
    """Return why a run gets no jig, a sentence for each reason."""
    return [message("jig.none", run=Name(shown(refused.run)), why=why) for why in refused.reasons]


def write_jig(jig: Jig, stem: str, folder: Folder, language: Language = "en") -> list[LeftOut]:
    """Write all files of a jig: STEM-jig-….stl for each part, STEM-jig.3mf, and its papers, in mm.

    Returns what was left out because this machine cannot write it, a line each.
    """
    for part in (*jig.parts, *jig.gauges):
        write_stl(folder / f"{stem}-jig-{part.stem}.stl", part.body, f"{jig.solved.name}, {part.name}")
    left_out = []
    try:
        (folder / f"{stem}-jig.step").write_bytes(_step(jig))
    except LibraryMissingError as error:
        left_out.append(LeftOut(f"left out {stem}-jig.step: {error}"))
    units = units_for("mm", language)
    text, plan, picture = jig_text(jig, units), plan_sheet(jig, units), picture_sheet(jig, units)
    title = words(units, "jig pdf.title", run=Name(jig.solved.name, quoted=False))
    for end, content in (
        (".3mf", package_of(jig)),
        (".pdf", jig_pdf(title, picture, text, _full_size(jig, plan, units), _together(jig, units))),
        (".svg", _with_caution(picture, units)),
        ("-plan.svg", _with_caution(plan, units)),
        (".txt", text.encode()),
        (".json", to_json(_rounded(jig_record(jig))).encode()),
    ):
        (folder / f"{stem}-jig{end}").write_bytes(content)
    return left_out


def _with_caution(sheet: Sheet, units: Units) -> bytes:
    """Return a drawing as SVG at its size, the caution in a strip under it."""
    strip = foot_strip(short_caution(units), sheet.width)
    return below_each_other(sheet.title, [sheet, strip]).encode()


def _full_size(jig: Jig, plan: Sheet, units: Units) -> Iterator[FullPage]:
    """Return what is to be drilled by: a card per cradle on timber, else the plan in tiles."""
    if jig.plan.timber:
        title = words(units, "jig card.page", run=Name(shown(jig.solved.name, 60), quoted=False))
        return shelved(list(drill_cards(jig, jig.plan.timber, units)), WINDOW, title, units)
    return tiled(plan, WINDOW, units)


def _together(jig: Jig, units: Units) -> list[Sheet]:
    """Return the board and pictures, step by step, of how a jig on timber is put together."""
    if not jig.plan.timber:
        return []
    # A jig all of whose cradles stand on the board has no posts to show.
    steps = STEPS if jig.plan.timber.batten_mm else STEPS[1:]
    room = (A4[0] - 2 * MARGIN, BOARD_HIGH_MM)
    return [board_sheet(jig, jig.plan.timber, room, units), *(picture_sheet(jig, units, step) for step in steps)]


def _rounded(value: Any) -> Any:
    """Return plain data, its numbers to `FIGURES` figures, and none beyond the twelfth place."""
    if isinstance(value, float):
        return round(float(f"{value:.{FIGURES}g}"), FIGURES - 1) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    return [_rounded(item) for item in value] if isinstance(value, list | tuple) else value


def _step(jig: Jig) -> bytes:
    """Return the parts in their places as STEP, exact since every face of a jig is flat; lettering left off."""
    from pipemodel.solids.facets import faceted_solid
    from pipemodel.solids.step import StepPart, step_bytes

    parts = [
        StepPart(f"{jig.solved.name} {name}", faceted_solid(body.vertices, body.faces), COLOUR)
        for name, body in jig.plain_parts()
    ]
    timber = jig.plan.timber
    if timber:
        posts = [(f"post {p.cradle}", p.outline, p.length_mm) for p in timber.posts]
        posts += [(f"prop {p.letter}", p.outline, p.length_mm) for p in timber.props if p.length_mm]
        bodies = [(name, body_of(prism(outline, 0.0, length))) for name, outline, length in posts]
        parts += [
            StepPart(f"{jig.solved.name} {name}", faceted_solid(body.vertices, body.faces), WOOD)
            for name, body in bodies
        ]
    return step_bytes(f"{jig.solved.name} jig", parts)


def package_of(jig: Jig) -> bytes:
    """Return the 3MF of a jig: its parts and gauges, named, set out on beds."""
    bed = jig.settings.bed
    sizes = [(float(p.body.size[0]), float(p.body.size[1])) for p in (*jig.parts, *jig.gauges)]
    items = [
        PrintItem(
            f"{jig.solved.name} {part.name}",
            part.stem,
            part.body,
            (round(spot.bed * (bed.x_mm + BEDS_APART_MM) + spot.x_mm, 4), round(spot.y_mm, 4), 0.0),
        )
        for part, spot in zip((*jig.parts, *jig.gauges), set_out(sizes, bed), strict=True)
    ]
    return to_3mf(f"Checking jig, {jig.solved.name}, revision {jig.settings.revision}", items)
