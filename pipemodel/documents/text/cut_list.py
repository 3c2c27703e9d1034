"""The cut list: which pieces come out of which length of stock, and where long runs are jointed."""

from pipemodel.bending.schedule import Schedule
from pipemodel.cutting.cuts import Cutting
from pipemodel.cutting.joint_places import side_of
from pipemodel.cutting.split import Split, Unsplittable
from pipemodel.documents.text.schedule import write_run
from pipemodel.job.model import Job
from pipemodel.messages.say import say, words
from pipemodel.messages.values import Name, Tape, listed, message
from pipemodel.output.file_names import Folder
from pipemodel.results.answer import Answer
from pipemodel.results.record import Record, run_record, to_json
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words
from pipemodel.wording.safe_text import shown
from pipemodel.wording.text_page import LONGEST_NAME, WIDTH, TextPage
from pipemodel.wording.units import MM, Units

CUTS_FORMAT = "pipemodel.cuts/1"


def cuts_record(schedule: Schedule, cutting: Cutting) -> Record:
    """Return the cut list of a job as plain data; mm."""
    return {
        "format": CUTS_FORMAT,
        "job": schedule.job.name,
        "kerf_mm": schedule.job.kerf_mm,
        "runs": [_run(s.name, split, schedule.job) for s, split in zip(schedule.runs, cutting.runs, strict=True)],
        "tubes": [
            {
                "tube": cuts.tube.name,
                "why_not": str(cuts.why_not),
                "used_mm": cuts.stock.used_mm if cuts.stock else None,
                "bound_mm": cuts.stock.bound_mm if cuts.stock else None,
                "waste_mm": cuts.stock.waste_mm if cuts.stock else None,
                "bars": [
                    {
                        "length_mm": bar.length_mm,
                        "offcut": bar.offcut,
                        "pieces": [{"name": p.name, "length_mm": p.length_mm} for p in bar.pieces],
                        "left_mm": bar.left_mm,
                    }
                    for bar in (cuts.stock.bars if cuts.stock else ())
                ],
            }
            for cuts in cutting.cuts
        ],
    }


def _run(name: str, split: Split | Unsplittable, job: Job) -> Record:
    if not isinstance(split, Split):
        return {"name": name, "pieces": [], "joints": [], "why_not": str(split.why)}
    return {
        "name": name,
        "pieces": [
            # A run in one piece stands in the schedule.
            run_record(piece, plan, job.things)
            if split.joints
            else {"name": piece.name, "cut_length_mm": piece.cut_length_mm}
            for piece, plan in zip(split.pieces, split.plans, strict=True)
        ],
        "joints": [
            {
                "at_mm": j.at_mm,
                "point": list(j.point),
                "leg": j.leg,
                "side": None if j.side is None else list(j.side),
                "away_from": j.away_from,
            }
            for j in split.joints
        ],
        "why_not": "",
    }


def cuts_text(schedule: Schedule, cutting: Cutting, ascii: bool = False, width: int = WIDTH, units: Units = MM) -> str:
    """Return the cut list for reading: one line for each length of stock, longest piece first.

    How the pieces of jointed runs are marked and bent comes after it.

    Args:
        schedule: the solved job.
        cutting: what is cut for it.
        ascii: write nothing but ASCII.
        width: columns to a line.
        units: what lengths are read in, and in which language.
    """
    page = TextPage(ascii, width, units.language)
    page.heading(words(units, "cuts.title", job=Name(schedule.job.name, quoted=False)))
    page.raw("")
    page.text(units_words(units))
    for solved, split in zip(schedule.runs, cutting.runs, strict=True):
        if not isinstance(split, Split):
            page.raw("")
            page.text(say(split.why, units), words(units, "cuts.not possible"))
        elif split.joints:
            places = listed([Tape(joint.at_mm, unit=False) for joint in split.joints], ",")
            page.raw("")
            page.text(words(units, "cuts.jointed", run=_name(solved.name), places=places))
            for joint in split.joints:
                if joint.side is not None:
                    at, side = Tape(joint.at_mm, unit=False), side_of(joint.side)
                    page.text(words(units, "cuts.joint", at=at, side=side, other=_name(joint.away_from)), "  ")
    for cuts in cutting.cuts:
        page.raw("")
        page.text(say(cuts.tube.called, units), longest=LONGEST_NAME)
        if cuts.stock is None:
            page.text(say(cuts.why_not, units), "  " + words(units, "cuts.not possible"))
            continue
        for bar in cuts.stock.bars:
            pieces = [
                message("cuts.piece", length=Tape(p.length_mm, unit=False), name=_name(p.name, 30)) for p in bar.pieces
            ]
            whole = Tape(bar.length_mm, unit=False)
            kind = message("cuts.offcut of", length=whole) if bar.offcut else message("cuts.length of", length=whole)
            rest = words(units, "cuts.bar", pieces=listed(pieces, "+"), left=Tape(bar.left_mm, unit=False))
            page.text(rest, f"  {say(kind, units)}", " " * 6)
        used, waste = Tape(cuts.stock.used_mm, unit=False), Tape(cuts.stock.waste_mm, unit=False)
        if cuts.stock.proven_best:
            page.text(words(units, "cuts.best", used=used, waste=waste), "  ")
        else:
            bound = Tape(cuts.stock.bound_mm, unit=False)
            page.text(words(units, "cuts.bound", used=used, waste=waste, bound=bound), "  ")
    for split in cutting.runs:
        if isinstance(split, Split) and split.joints:
            for piece, plan in zip(split.pieces, split.plans, strict=True):
                page.raw("")
                write_run(page, piece, plan, units)
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def _name(name: str, longest: int = LONGEST_NAME) -> Name:
    return Name(shown(name, longest), quoted=False)


def write_cuts(answer: Answer, folder: Folder) -> tuple[str, ...]:
    """Write the cut list as JSON and as text."""
    record = cuts_record(answer.schedule, answer.cutting)
    (folder / "cuts.json").write_text(to_json(record), encoding="utf-8", newline="\n")
    (folder / "cuts.txt").write_text(
        cuts_text(answer.schedule, answer.cutting, units=answer.paperwork.reading), encoding="utf-8", newline="\n"
    )
    return ()
