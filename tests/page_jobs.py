"""Jobs for the tests of the page and the live view, and their pages."""

from dataclasses import replace

import gallery
from command_line import CUPBOARD
from made_once import kept, value_once

from pipemodel import story
from pipemodel.documents.page.page import page_html
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.job.build_bender import bender_named
from pipemodel.job.model import Thing
from pipemodel.messages.values import Name, message
from pipemodel.trade.clips import ClipRule, ClipSpacing

SHAPES = (
    Cylinder((300.0, -200.0, 80.0), (300.0, 800.0, 80.0), 50.0),
    Box((500.0, 100.0, 0.0), (900.0, 160.0, 400.0)),
    HalfSpace((0.0, 0.0, -30.0), (0.0, 0.0, 1.0)),
)
LONG = ((0.0, -900.0, 0.0), (3900.0, -900.0, 0.0), (3900.0, -900.0, 500.0))
"""Longer than any length of stock: it has to be jointed."""


def job_of(names, things=3):
    """Return a job of everything: a run in a bender, one to be jointed, clashes, clips, insulation; named in turn."""
    names = iter(names)
    title, first, second = (next(names) for _ in range(3))
    room = tuple(Thing(name, SHAPES[i % len(SHAPES)]) for i, name in enumerate(names) if i < things)
    clips = ClipRule((room[2].name,), ClipSpacing(first, 15.0, 1000.0, 1500.0, 75.0, second), 20.0, 30.0)
    runs = [
        replace(gallery.run(first, gallery.TWO_PLANES), bender=bender_named("15 mm hand bender"), insulation_mm=9.0),
        replace(gallery.run(second, LONG), clips=clips),
    ]
    return gallery.job(title, runs, room, 5.0, notes=(message("tube.name", name=Name(title, quoted=False)),))


@kept
def cupboard_page():
    """Return the page of the README's example."""
    return value_once("page of the README's example", lambda: page_of(story.load(CUPBOARD)))


def page_of(job):
    """Return the page of a job."""
    return page_html(story.results(job))
