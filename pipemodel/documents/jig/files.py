"""Every file of a jig, written into a folder that is there."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pipemodel.documents.full_size import MARGIN, FullPage, shelved, tiled
from pipemodel.documents.jig.answer import jigs_record, no_jig_record, no_jig_text, totals_text
from pipemodel.documents.jig.board_sheets import board_sheet, drill_cards
from pipemodel.documents.jig.pdf import A4, COLUMNS, WINDOW, jig_pages, jig_pdf
from pipemodel.documents.jig.plan_sheet import plan_sheet
from pipemodel.documents.jig.record import jig_record
from pipemodel.documents.jig.text import jig_text
from pipemodel.documents.jig.threemf import PrintItem, to_3mf
from pipemodel.documents.unavailable import LeftOut, UnavailableError
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.strips import below_each_other, foot_strip
from pipemodel.jigs.build import body_of, prism
from pipemodel.jigs.design import Jig
from pipemodel.jigs.of_job import JigAnswer, NotWorth
from pipemodel.jigs.plan import JigRefusedError
from pipemodel.jigs.plates import set_out
from pipemodel.lists.jig_picture import STEPS, picture_sheet
from pipemodel.lists.jig_totals import JigTotals, totals_of
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Language, Units, units_for
from pipemodel.messages.values import Message, Name, bare, message
from pipemodel.output.file_names import Folder, run_stems
from pipemodel.results.plain import to_json
from pipemodel.results.results import Results
from pipemodel.solids.missing import LibraryMissingError
from pipemodel.solids.stl import write_stl
from pipemodel.wording.cautions import short_caution
from pipemodel.wording.safe_text import shown

COLOUR = (0.62, 0.68, 0.75)
WOOD = (0.80, 0.74, 0.62)
BOARD_HIGH_MM = 140.0
"""The board to scale is drawn no higher than this, so that a picture goes on its page."""
BEDS_APART_MM = 30.0
"""In the 3MF, a second bed's parts stand this far beyond the first bed's edge."""


@dataclass(frozen=True)
class JigsWritten:
    """What came of writing the jigs of a job: lines for what this machine cannot write, and what all of them take."""

    left_out: tuple[LeftOut, ...]
    totals: JigTotals


def write_jigs(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the jig of every run of a job that asks for jigs; return why any run gets none.

    Raises:
        UnavailableError: if the job asks for none.
    """
    if results.schedule.job.jig is None:
        raise UnavailableError(message("missing.no jig"))
    options = results.paper_options
    written = write_answers(results.jigs, run_stems(results.schedule), folder, options.language)
    refused = [jig for jig in results.jigs if isinstance(jig, JigRefusedError)]
    return (*written.left_out, *(say(said, options.reading) for jig in refused for said in no_jig(jig)))


def write_answers(
    answers: Sequence[JigAnswer], stems: Mapping[str, str], folder: Folder, language: Language = "en"
) -> JigsWritten:
    """Write every jig of a job, why a run needs none, and, of several runs, what all of it takes: jigs.txt, jigs.json.

    `stems` has for each run what the names of its files begin with.
    """
    units = units_for("mm", language)
    left_out: list[LeftOut] = []
    sheets = 0
    for one in answers:
        if isinstance(one, Jig):
            missing, pages = write_jig(one, stems[one.solved.name], folder, language)
            left_out += missing
            sheets += pages
        elif isinstance(one, NotWorth):
            stem = stems[one.solved.name]
            (folder / f"{stem}-jig.txt").write_bytes(no_jig_text(one, units).encode())
            (folder / f"{stem}-jig.json").write_bytes(to_json(no_jig_record(one)).encode())
    totals = totals_of(answers, sheets)
    if len(answers) > 1:
        (folder / "jigs.txt").write_bytes(totals_text(totals, units).encode())
        (folder / "jigs.json").write_bytes(to_json(jigs_record(answers, totals)).encode())
    return JigsWritten(tuple(left_out), totals)


def no_jig(refused: JigRefusedError) -> list[Message]:
    """Return why a run gets no jig, a sentence for each reason."""
    return [message("jig.none", run=Name(shown(refused.run)), why=why) for why in refused.reasons]


def write_jig(jig: Jig, stem: str, folder: Folder, language: Language = "en") -> tuple[list[LeftOut], int]:
    """Write all files of a jig: STEM-jig-….stl for each part, STEM-jig.3mf, and its papers, in mm.

    Returns what was left out because this machine cannot write it, a line each, and how many sheets the papers take.
    """
    units = units_for("mm", language)
    for part in (*jig.parts, *jig.gauges):
        write_stl(folder / f"{stem}-jig-{part.stem}.stl", part.body, f"{jig.solved.name}, {part.name}")
    left_out = []
    try:
        (folder / f"{stem}-jig.step").write_bytes(_step(jig))
    except LibraryMissingError as error:
        file = bare(f"{stem}-jig.step")
        left_out.append(LeftOut(words(units, "screen.left out", files=file, why=error.said)))
    plan, picture = plan_sheet(jig, units), picture_sheet(jig, units)
    wide = jig_text(jig, width=COLUMNS, units=units)
    pages = jig_pages(picture, wide, _full_size(jig, plan, units), _together(jig, units))
    title = words(units, "jig pdf.title", run=Name(jig.solved.name, quoted=False))
    for end, content in (
        (".3mf", package_of(jig)),
        (".pdf", jig_pdf(title, pages)),
        (".svg", _with_caution(picture, units)),
        ("-plan.svg", _with_caution(plan, units)),
        (".txt", jig_text(jig, units=units).encode()),
        (".json", to_json(jig_record(jig) | {"sheets": len(pages)}).encode()),
    ):
        (folder / f"{stem}-jig{end}").write_bytes(content)
    return left_out, len(pages)


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
