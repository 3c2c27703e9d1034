"""The page itself: everything worth reading is plain HTML first; the script adds the picture and the walk."""

import json
import re
from collections.abc import Sequence
from importlib import resources
from typing import Any

from pipemodel.bending.schedule import SolvedRun
from pipemodel.handover.answer import Answer
from pipemodel.handover.card_drawing import HEAD, PANEL, card_svg
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.drawing.svg import to_svg
from pipemodel.handover.drawing.tape_line import tape_line
from pipemodel.handover.figures import marks_to_draw
from pipemodel.handover.plain import shown
from pipemodel.handover.web.data import page_data
from pipemodel.handover.web.lists import clip_rows, cut_rows, distance_rows, schedule_rows
from pipemodel.handover.web.room import RoomPart, room_parts
from pipemodel.handover.web.stand_in import stand_in
from pipemodel.handover.web.steps import Piece, Step, pieces_of, steps_of

POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:"
"""The page may load nothing at all: what it needs is in it."""
SIGNS = {"error": "\u2715 wrong", "warning": "! look at", "note": "note"}
SCRIPTS = ("geometry.js", "viewer.js", "labels.js", "scene.js", "ticks.js", "page.js")


def page_html(answer: Answer, policy: str = POLICY, scripts: Sequence[str] = ()) -> str:
    """Return the hand-over page of a job as one HTML document.

    Args:
        answer: the job with its answers.
        policy: what the page may load, as a Content-Security-Policy.
        scripts: script to run after the page's own.
    """
    from jinja2 import Environment
    from markupsafe import Markup

    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["shown"] = shown
    schedule, report = answer.schedule, answer.report
    pieces, room = pieces_of(answer), room_parts(schedule)
    steps = steps_of(answer, pieces)
    data = json.dumps(page_data(answer, pieces, room), separators=(",", ":"))
    return environment.from_string(_part("page.html")).render(
        policy=policy,
        css=Markup(_part("page.css")),
        script=Markup("\n".join([*(_part(name) for name in SCRIPTS), *scripts])),
        data=Markup(_inside_script(data)),
        job=schedule.job.name,
        file=schedule.job.path.name,
        verdict=report.verdict,
        errors=sum(f.severity == "error" for f in report.findings),
        summary=_summary(schedule.runs),
        steps=[
            {"step": step, "drawings": _drawings(number, step, answer, pieces, room)}
            for number, step in enumerate(steps)
        ],
        pieces=[schedule_rows(piece) for piece in pieces],
        cuts=cut_rows(answer),
        clips=clip_rows(schedule),
        findings=report.findings,
        signs=SIGNS,
        distances=distance_rows(answer),
        notes=schedule.notes,
        cautions=CAUTIONS,
    )


def _drawings(
    number: int, step: Step, answer: Answer, pieces: Sequence[Piece], room: Sequence[RoomPart]
) -> list[dict[str, Any]]:
    """The drawings of a step, each as SVG with its caption, and the class it is styled by."""
    if step.run < 0:
        return []
    if step.view == "place":
        solved = answer.schedule.runs[step.run]
        clashes = [f for f in answer.report.findings if f.run == solved.name and f.severity == "error"]
        return [_figure(stand_in(solved, room, clashes), "In its place; bends in boxes.", "stand-in")]
    piece = pieces[step.piece]
    if step.card is None:
        sheet = tape_line(piece.solved, planned=marks_to_draw(piece.solved, piece.plan))
        return [_figure(to_svg(sheet), "The tape line, to scale; marks from the start end.", "tape")]
    return _before_and_after(f"card-{number}", piece.solved, step)


def _before_and_after(name: str, solved: SolvedRun, step: Step) -> list[dict[str, Any]]:
    """The two panels of a card's drawing, one under the other on a narrow screen; drawn once, shown twice."""
    assert step.card is not None
    inside = re.sub(r"^<svg[^>]*>|</svg>$|<title>.*?</title>", "", card_svg(solved, step.card))
    number = step.card.pull.bend
    return [
        _figure(
            f'<svg viewBox="{left:g} {HEAD:g} {PANEL[0]:g} {PANEL[1]:g}" role="img" aria-label="{words}" '
            f'font-family="DejaVu Sans, Arial, sans-serif">{content}</svg>',
            "",
            "panel",
        )
        for left, words, content in (
            (0.0, f"The piece in the bender before bend {number} is pulled", f'<g id="{name}">{inside}</g>'),
            (PANEL[0], f"The piece after bend {number} is pulled", f'<use href="#{name}"/>'),
        )
    ]


def _figure(svg: str, caption: str, kind: str) -> dict[str, Any]:
    from markupsafe import Markup

    return {"svg": Markup(svg), "caption": caption, "kind": kind}


def _summary(runs: Sequence[SolvedRun]) -> str:
    bends = sum(len(s.table.bends) for s in runs)
    return f"{len(runs)} run{'s' if len(runs) != 1 else ''}, {bends} bend{'s' if bends != 1 else ''}"


def _inside_script(data: str) -> str:
    """JSON that no markup in a name can break out of."""
    return data.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _part(name: str) -> str:
    return resources.files("pipemodel.handover.web").joinpath(name).read_text("utf-8")
