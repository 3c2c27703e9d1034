"""The page itself: everything worth reading is plain HTML first; the script adds the picture and the walk."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from importlib import resources
from typing import Any

from pipemodel.bending.plan import Plan, Pull
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Report
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.drawing.svg import to_svg
from pipemodel.handover.drawing.tape_line import tape_line
from pipemodel.handover.figures import deg, mm, run_figures, tidy, turn_words
from pipemodel.handover.plain import shown
from pipemodel.handover.web.data import page_data
from pipemodel.job.model import Thing
from pipemodel.solids.mesh import TriangleMesh

POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:"
"""The page may load nothing at all: what it needs is in it."""
SIGNS = {"error": "\u2715 error", "warning": "! warning", "note": "note"}
MOST_DISTANCES = 200
SCRIPTS = ("geometry.js", "viewer.js", "page.js")


@dataclass(frozen=True)
class Step:
    """One step of the walk: what the picture shows, the card beside it, and the tick at its foot."""

    run: int
    view: str
    title: str
    before: list[int]
    after: list[int]
    tick: str
    done: str
    rows: list[tuple[str, str]] = field(default_factory=list)
    marks: list[tuple[int, str]] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    drawings: list[tuple[str, str]] = field(default_factory=list)
    bend: int = 0
    held: str = "start"


def page_html(
    schedule: Schedule, plans: Sequence[Plan], report: Report, room: Sequence[tuple[Thing, TriangleMesh]]
) -> str:
    """Return the hand-over page of a job as one HTML document.

    Args:
        schedule: the solved job.
        plans: one plan of pulls per run.
        report: what the checks found.
        room: each thing of the room with its triangles.
    """
    from jinja2 import Environment
    from markupsafe import Markup

    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["shown"] = shown
    data = json.dumps(page_data(schedule, report, room), separators=(",", ":"))
    runs = list(zip(schedule.runs, plans, strict=True))
    return environment.from_string(_part("page.html")).render(
        policy=POLICY,
        css=Markup(_part("page.css")),
        script=Markup("".join(_part(name) for name in SCRIPTS)),
        data=Markup(_inside_script(data)),
        job=schedule.job.name,
        file=schedule.job.path.name,
        verdict=report.verdict,
        summary=_summary(schedule),
        steps=[step for i, (solved, plan) in enumerate(runs) for step in _steps(i, solved, plan, report)],
        runs=[_run(solved, plan) for solved, plan in runs],
        findings=report.findings,
        distances=sorted(report.distances, key=lambda d: d.distance_mm)[:MOST_DISTANCES],
        signs=SIGNS,
        cautions=CAUTIONS,
    )


def _steps(index: int, solved: SolvedRun, plan: Plan, report: Report) -> Iterator[Step]:
    """The steps of one run: cut and mark, each pull, and the piece in its place."""
    name, figures = shown(solved.name), run_figures(solved)
    made = [0] * len(solved.table.bends)
    yield Step(
        index,
        "flat",
        f"{name}: cut and mark",
        made,
        made,
        f"{index}/cut",
        "Cut and marked",
        rows=[("Tube", shown(solved.tube.name)), ("Cut", mm(figures.cut_length))],
        marks=[(row.bend.number, mm(row.mark)) for row in figures.bends],
    )
    for pull in plan.pulls:
        after = list(made)
        after[pull.bend - 1] = 1
        yield Step(
            index,
            "bender",
            f"{name}: pull {pull.number}, bend {pull.bend}",
            made,
            after,
            f"{index}/pull {pull.number}",
            "Pulled and checked",
            rows=_pull_rows(solved, pull),
            bend=pull.bend - 1,
            held=pull.held,
        )
        made = after
    mine = [f.message for f in report.findings if f.run == solved.name and f.severity != "note"]
    yield Step(
        index,
        "place",
        f"{name}: in its place",
        made,
        made,
        f"{index}/fixed",
        "Fixed",
        lines=mine or ["Clear of everything it was checked against."],
    )


def _pull_rows(solved: SolvedRun, pull: Pull) -> list[tuple[str, str]]:
    rows = [("Mark", f"{mm(pull.mark_mm)} from the start end")]
    if pull.turn_round:
        rows.append(("Turn round", "the other end of the tube goes into the stop"))
    if pull.number > 1:
        rows.append(("Turn", _roll_words(pull.roll_deg)))
    rows += [
        ("In the stop", f"the {pull.held} side of the tube"),
        ("Guide", "in, under the roller, before anything moves"),
        ("Level", "the free leg level with the former"),
        ("Look", "is the picture the way it should go?"),
        ("Pull to", f"{deg(pull.pull_deg)}\u00b0, let go at {deg(pull.angle_deg)}\u00b0"),
    ]
    return rows


def _roll_words(roll: float) -> str:
    if abs(roll) < 0.05:
        return "same side up as for the pull before"
    if abs(abs(roll) - 180.0) < 0.05:
        return "the tube right over (180\u00b0)"
    return f"{deg(abs(roll))}\u00b0 {'clockwise' if roll > 0 else 'anticlockwise'}, seen from the start end"


def _run(solved: SolvedRun, plan: Plan) -> dict[str, Any]:
    from markupsafe import Markup

    figures = run_figures(solved)
    order = {pull.bend: pull.number for pull in plan.pulls}
    return {
        "name": solved.name,
        "tube": solved.tube.name,
        "former": f"{solved.former.name}, radius {tidy(solved.former.radius_mm)}",
        "cut": mm(figures.cut_length),
        "after": mm(figures.straight_after),
        "tape": Markup(to_svg(tape_line(solved))),
        "why_not": plan.why_not,
        "notes": solved.notes,
        "bends": [
            {
                "number": row.bend.number,
                "mark": mm(row.mark),
                "before": mm(row.straight_before),
                "angle": deg(row.bend.angle_deg),
                "pull": deg(solved.pull_deg(row.bend)),
                "turn": turn_words(row.bend.turn_deg, row.bend.number == 1),
                "order": order.get(row.bend.number, "-"),
            }
            for row in figures.bends
        ],
    }


def _summary(schedule: Schedule) -> str:
    n, bends = len(schedule.runs), sum(len(s.table.bends) for s in schedule.runs)
    return f"{n} run{'s' if n != 1 else ''}, {bends} bend{'s' if bends != 1 else ''}."


def _inside_script(data: str) -> str:
    """JSON that no markup in a name can break out of."""
    return data.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _part(name: str) -> str:
    return resources.files("pipemodel.handover.web").joinpath(name).read_text("utf-8")
