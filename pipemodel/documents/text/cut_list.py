"""The cut list: which pieces come out of which length of stock, and where long runs are jointed."""

from pipemodel.checks.supports import clips_on_piece
from pipemodel.cutting.split import Split
from pipemodel.documents.text.parts import write_listing
from pipemodel.documents.text.schedule import write_run
from pipemodel.lists.all_lists import on_text_page
from pipemodel.messages.say import words
from pipemodel.messages.values import Name
from pipemodel.output.file_names import Folder
from pipemodel.results.plain import Record, fields_of, to_json
from pipemodel.results.record import run_record
from pipemodel.results.results import Results
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words
from pipemodel.wording.text_page import TextPage

CUTS_FORMAT = "pipemodel.cuts/1"
_NOT_CUT = {"used_mm": None, "bound_mm": None, "waste_mm": None}


def cuts_record(results: Results) -> Record:
    """Return the cut list of a job as plain data; mm."""
    schedule, cutting = results.schedule, results.cutting
    return {
        "format": CUTS_FORMAT,
        "job": schedule.job.name,
        "kerf_mm": schedule.job.kerf_mm,
        "runs": [_run(results, number, split) for number, split in enumerate(cutting.runs)],
        "tubes": [
            {
                "tube": cuts.tube.name,
                "why_not": str(cuts.why_not),
                **(fields_of(cuts.stock, "used_mm bound_mm waste_mm") if cuts.stock else _NOT_CUT),
                "bars": [
                    {
                        **fields_of(bar, "length_mm offcut"),
                        "pieces": [fields_of(piece, "name length_mm") for piece in bar.pieces],
                        "left_mm": bar.left_mm,
                    }
                    for bar in (cuts.stock.bars if cuts.stock else ())
                ],
            }
            for cuts in cutting.cuts
        ],
    }


def _run(results: Results, number: int, split: Split) -> Record:
    name = results.schedule.runs[number].name
    if split.why_not is not None:
        return {"name": name, "pieces": [], "joints": [], "why_not": str(split.why_not)}
    return {
        "name": name,
        # A run in one piece stands in the schedule.
        "pieces": _pieces(results, number, split)
        if split.joints
        else [{"name": name, "cut_length_mm": results.schedule.runs[number].cut_length_mm}],
        "joints": [fields_of(joint, "at_mm point leg side away_from") for joint in split.joints],
        "why_not": "",
    }


def _pieces(results: Results, number: int, split: Split) -> list[Record]:
    """Return the pieces of a run with what of its clips is on each: a run is clipped as one."""
    plan = results.clips[number]
    begins = [(0.0, 0), *((joint.at_mm, joint.leg) for joint in split.joints)]
    pieces = (piece for piece in results.pieces if piece.run == number)
    return [
        run_record(piece, plan and clips_on_piece(plan, piece.solved, *begin))
        for piece, begin in zip(pieces, begins, strict=True)
    ]


def cuts_text(results: Results, ascii: bool = False) -> str:
    """Return the cut list for reading: one row for each length of stock, longest piece first.

    How the pieces of jointed runs are marked and bent comes after it.

    Args:
        results: the job.
        ascii: write nothing but ASCII.
    """
    units = results.paper_options.reading
    page = TextPage(ascii, units.language)
    page.heading(words(units, "cuts.title", job=Name(results.schedule.job.name, quoted=False)))
    page.raw("")
    page.text(units_words(units))
    for listing in on_text_page(results, "cuts"):
        write_listing(page, listing, units, titled=listing.key != "cuts")
    for piece in results.pieces:
        if piece not in results.runs:
            write_run(page, piece, units)
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def write_cuts(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write the cut list as JSON and as text."""
    record = cuts_record(results)
    (folder / "cuts.json").write_text(to_json(record), encoding="utf-8", newline="\n")
    (folder / "cuts.txt").write_text(cuts_text(results), encoding="utf-8", newline="\n")
    return ()
