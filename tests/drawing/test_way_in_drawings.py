"""A way in as frames, and openings in the drawings, measured on the paper; turns are scipy's."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from way_jobs import HATCH, results_with_way, stood

from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.primitives import Line, Role, Text
from pipemodel.messages.say import capital, say
from pipemodel.messages.values import listed, message


@pytest.fixture(scope="module")
def results():
    return results_with_way()


def frames_of(results):
    (one,) = results.ways_shown
    sheets = results.drawings.of_way_in(one.solved, one.way, one.words.steps, one.opening)
    view = results.drawings.way_seen_from(one.solved, one.way, one.opening)
    return one, sheets, view


def test_every_step_has_its_frame_with_the_piece_where_it_then_is(results) -> None:
    one, sheets, view = frames_of(results)
    steps = one.words.steps
    flat = np.array([view.right, view.upright])
    corners = np.array(HATCH.corners) @ flat.T
    line = one.solved.centreline
    axis = np.array([line.point_at(s) for s in np.linspace(1.0, line.length - 1.0, 60)])
    seen = 0
    for sheet in sheets:
        outlines = [i for i in sheet.items if isinstance(i, Line) and i.role is Role.MARK and i.closed]
        tubes = [i for i in sheet.items if isinstance(i, Line) and i.role is Role.TUBE_NEW]
        for outline in sorted(outlines, key=lambda line: min(p[0] for p in line.points)):
            paper = np.array(outline.points)
            # Size and place of the frame's picture, from the opening alone.
            k = np.ptp(paper[:, 0]) / np.ptp(corners[:, 0])
            shift = paper.mean(axis=0) - k * corners.mean(axis=0)
            assert np.allclose(paper, k * corners + shift, atol=1e-6)
            there = k * (stood(one.way.states[steps[seen].last], axis) @ flat.T) + shift
            drawn = shapely.union_all([shapely.Polygon(i.points).buffer(0.05) for i in tubes if len(i.points) > 3])
            assert shapely.contains_xy(drawn, there[:, 0], there[:, 1]).mean() > 0.97
            seen += 1
    assert seen == len(steps)


def test_frames_stay_on_their_sheet_and_say_the_number_of_their_step(results) -> None:
    one, sheets, _ = frames_of(results)
    numbers = []
    for sheet in sheets:
        for item in sheet.primitives():
            points = item.points if isinstance(item, Line) else [item.at] if isinstance(item, Text) else [item.centre]
            assert all(-0.1 <= x <= sheet.width + 0.1 and -0.1 <= y <= sheet.height + 0.1 for x, y in points)
        numbers += [i.text for i in sheet.items if isinstance(i, Text) and i.height == 3.5 and i.text.isdigit()]
    assert numbers == [str(i) for i in range(len(one.words.steps))]
    assert max(sheet.width for sheet in sheets) <= 180.0


def test_words_of_a_step_fill_the_width_of_its_frame_and_stay_under_it(results) -> None:
    """They begin 8 from the frame's edge and end 2 before the other: a line ends where its next word would not fit."""
    _, sheets, _ = frames_of(results)
    broken = 0
    for sheet in sheets:
        frames = [i.points for i in sheet.items if isinstance(i, Line) and i.role is Role.PAPER and i.closed]
        for frame in frames:
            left, right = min(x for x, _ in frame) - 0.3, max(x for x, _ in frame) + 0.3
            under = min(y for _, y in frame)
            words = [i for i in sheet.items if isinstance(i, Text) and i.at[1] < under and i.at[0] == left + 8.0]
            assert words
            ends = [word.at[0] + width_of(word.text, word.height) for word in words]
            assert max(ends) <= right - 2.0 + 1e-6
            for end, word, after in zip(ends, words, words[1:], strict=False):
                assert end + width_of(f" {after.text.split()[0]}", word.height) > right - 2.0
                broken += 1
    assert broken >= 2


def test_a_long_step_is_said_whole_under_its_picture(results) -> None:
    one, _, _ = frames_of(results)
    steps = [replace(step, said=message("several", said=listed([step.said] * 4, ";"))) for step in one.words.steps]
    texts = []
    for sheet in results.drawings.of_way_in(one.solved, one.way, steps, one.opening):
        words = [i for i in sheet.items if isinstance(i, Text) and i.height == 2.4]
        for left in sorted({word.at[0] for word in words}):
            texts.append(" ".join(word.text for word in words if word.at[0] == left))
    assert texts == [capital(say(step.said)) for step in steps]
    assert max(map(len, texts)) > 400


def test_an_opening_is_dimensioned_once_in_its_true_size(results) -> None:
    sheet = results.drawings.of_job()
    sizes = [i for i in sheet.items if isinstance(i, Dimension) and i.text in ("500", "400")]
    drawn = sorted(round(np.hypot(i.b[0] - i.a[0], i.b[1] - i.a[1]) * sheet.factor, 3) for i in sizes)
    # The run has a leg of 400 as well.
    assert drawn == [400.0, 400.0, 500.0]
    assert sum(isinstance(i, Text) and i.text == "hatch" for i in sheet.items) == 1


@pytest.mark.slow
@pytest.mark.parametrize(("east", "whole"), [(60.0, True), (1400.0, False)])
def test_an_opening_beside_the_runs_is_shown_whole_and_one_far_off_makes_nothing_smaller(results, east, whole) -> None:
    schedule = results.schedule
    points = [p for run in schedule.runs for p in run.run.route.corners]
    x = max(p[0] for p in points) + east
    away = replace(HATCH, corners=((x, 0.0, 0.0), (x + 300.0, 0.0, 0.0), (x + 300.0, 0.0, 350.0), (x, 0.0, 350.0)))
    made = []
    for openings in ((), (away,)):
        sheet = Drawings(replace(schedule, job=replace(schedule.job, openings=openings))).of_job()
        made.append(([i.text for i in sheet.items if isinstance(i, Dimension)], sheet.factor))
    assert {"300", "350"} <= set(made[1][0]) - set(made[0][0]) if whole else made[1] == made[0]


def test_an_opening_no_view_shows_true_has_its_sizes_beside_its_name(results) -> None:
    slanted = replace(
        HATCH, corners=((200.0, 0.0, 0.0), (700.0, 0.0, 0.0), (700.0, 240.0, 320.0), (200.0, 240.0, 320.0))
    )
    schedule = results.schedule
    job = replace(schedule.job, openings=(slanted,))
    sheet = Drawings(replace(schedule, job=job)).of_job()
    assert any(isinstance(i, Text) and i.text == "hatch: 500 by 400" for i in sheet.items)


def test_frames_name_the_runs_that_are_in_already_and_no_others() -> None:
    _, sheets, _ = frames_of(results_with_way(past=("flow",)))
    said = [item.text for sheet in sheets for item in sheet.primitives() if isinstance(item, Text)]
    assert "flow" in said
    assert "drain" not in said
