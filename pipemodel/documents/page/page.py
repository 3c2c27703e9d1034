"""The page itself: everything worth reading is plain HTML first; the script adds the picture and the walk."""

import json
import re
from collections.abc import Sequence
from functools import cache, partial
from importlib import resources
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import SolvedRun
from pipemodel.documents.page.corrections import answers_data
from pipemodel.documents.page.data import page_data
from pipemodel.documents.page.drawings import PageFigures
from pipemodel.documents.page.parts import listing_view, parts_view
from pipemodel.documents.page.room import RoomPart, room_parts
from pipemodel.documents.page.script import worded
from pipemodel.documents.page.steps import steps_of
from pipemodel.lists.all_lists import apart
from pipemodel.lists.run_block import run_block
from pipemodel.lists.table import COLUMN
from pipemodel.messages.say import named, say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name
from pipemodel.results.results import Results
from pipemodel.solids.near import far_words
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words, verdict_words
from pipemodel.wording.safe_text import shown

if TYPE_CHECKING:
    from jinja2 import Template

POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:"
"""The page may load nothing at all: what it needs is in it."""
SCRIPTS = (
    "geometry.js",
    "viewer.js",
    "labels.js",
    "way.js",
    "scene.js",
    "kept.js",
    "ticks.js",
    "readings.js",
    "fit.js",
    "tables.js",
    "page.js",
)

ANSWERS = (
    "correct_slices.js",
    "correct_likely.js",
    "correct_piece.js",
    "correct_slopes.js",
    "correct_squares.js",
    "correct_ways.js",
    "correct_bent.js",
    "correct_rest.js",
    "correct_card.js",
    "correct.js",
)
"""Answers readings; it needs the page."""


def page_html(results: Results, policy: str = POLICY, scripts: Sequence[str] = ()) -> str:
    """Return the hand-over page of a job as one HTML document.

    Args:
        results: the job with its answers.
        policy: what the page may load, as a Content-Security-Policy.
        scripts: script to run after the page's own.
    """
    from markupsafe import Markup

    scripts = (*map(_part, ANSWERS), *scripts)
    schedule, report = results.schedule, results.report
    pieces, room = results.pieces, room_parts(schedule)
    steps = steps_of(results, pieces)
    units = results.paper_options.reading
    drawings = PageFigures(units)
    held = {**page_data(results, pieces, room), "answers": answers_data(pieces, schedule.job.hands, units)}
    data = json.dumps(held, separators=(",", ":"))
    stated = [
        {"step": step, "drawings": drawings.of_step(number, step, results, pieces)} for number, step in enumerate(steps)
    ]
    lists = [listing_view(listing, units) for listing in apart(results)]
    for part in (part for one in lists for group in one["groups"] for part in group["parts"]):
        if part["kind"] == "picture":
            part["figure"] = drawings.figure(part["svg"], part["caption"], "picture")
    building, building_notes = drawings.of_building(results)
    return _template().render(
        policy=policy,
        css=Markup(_part("page.css") + drawings.css),
        script=Markup(worded("\n".join([*(_part(name) for name in SCRIPTS), *scripts]), units)),
        data=Markup(_inside_script(data)),
        job=schedule.job.name,
        file=schedule.job.path.name,
        language=units.language,
        say=partial(words, units),
        say_wanted=lambda wanted: words(units, "page.wanted", wanted=Name(wanted, quoted=False)),
        head=lambda column: named(column, units, COLUMN),
        passes=report.verdict == "pass",
        looks=any(f.severity != "note" for f in report.findings),
        verdict=verdict_words(report, units),
        summary=_summary(schedule.runs, units),
        measured=words(units, "page.measured", unit=Name(units.said, quoted=False)),
        measured_in=units_words(units),
        state=results.paper_options.state,
        steps=stated,
        pieces=[
            {
                "name": piece.name,
                "parts": parts_view(run_block(piece), units, piece.name, words(units, "page.schedule")),
            }
            for piece in pieces
        ],
        lists=lists,
        building=building,
        building_notes=building_notes,
        notes=[*(say(note, units) for note in schedule.notes), *far_words(schedule, units), *_boxed(room, units)],
        cautions=caution_lines(units),
    )


@cache
def _template() -> "Template":
    from jinja2 import Environment

    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["shown"] = shown
    whole = "".join(map(_part, ("parts.html", "checks.html", "page.html")))
    # Nobody reads the page's source on a phone: without its indents a page of 80 pulls is 1 % smaller.
    return environment.from_string(re.sub(r"(?m)^ +", "", whole))


def _boxed(room: Sequence[RoomPart], units: Units) -> list[str]:
    """Say which things the picture shows as less than they are."""
    return [words(units, "page.boxed", thing=Name(part.name, quoted=False)) for part in room if part.boxed]


def _summary(runs: Sequence[SolvedRun], units: Units) -> str:
    bends = sum(len(s.table.bends) for s in runs)
    return words(units, "page.summary", runs=Count(len(runs)), bends=Count(bends))


def _inside_script(data: str) -> str:
    """JSON that no markup in a name can break out of."""
    return data.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _part(name: str) -> str:
    return resources.files("pipemodel.documents.page").joinpath(name).read_text("utf-8")
