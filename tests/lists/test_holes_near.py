"""Holes of two runs near each other in one wall: how much is left between them, by hand."""

import pytest
import yaml

from pipemodel import load, story
from pipemodel.lists.blocks import Paragraph
from pipemodel.lists.holes import holes
from pipemodel.messages.say import say
from pipemodel.messages.units import MM


def said_of(tmp_path, apart):
    """What the list of holes says of two runs of 15 that go through a wall so far apart."""
    runs = {
        name: {"points": [[x, 0, 300], [x, 700 - x, 300], [500, 700 - x, 300]]}
        for name, x in (("flow", 0), ("return", apart))
    }
    wall = {"box": {"from": [-300, 400, 0], "to": [900, 500, 2400]}}
    path = tmp_path / "job.yaml"
    path.write_text(yaml.safe_dump({"job": "two", "tube": 15, "former": {"radius": 55}, "room": {"wall": wall},
                                    "clearance": 3, "runs": runs}))  # fmt: skip
    content = holes(story.results(load(path)))
    return [say(part.text, MM) for part in content.to_read[0].parts if isinstance(part, Paragraph)]


@pytest.mark.parametrize(("apart", "left"), [(20, None), (22, "1 mm"), (30, "9 mm"), (41, "20 mm"), (42.5, None)])
def test_less_between_two_holes_than_one_is_wide_is_said(tmp_path, apart, left):
    """Holes are 15 and 3 of room all round, 21: at 30 from middle to middle 9 are left, at 42.5 more than 21."""
    near = [text for text in said_of(tmp_path, apart) if "between the holes" in text]
    assert len(near) == (left is not None)
    assert all(f"'wall': between the holes of 'flow' and 'return' {left} is left" in text for text in near)


def test_two_holes_of_one_run_near_each_other_are_of_that_run(tmp_path):
    """A return bend of radius 55 comes back 110 off; holes are 71: 39 are left."""
    points = [[0, 0, 300], [0, 700, 300], [110, 700, 300], [110, 0, 300]]
    wall = {"box": {"from": [-300, 400, 0], "to": [900, 500, 2400]}}
    path = tmp_path / "job.yaml"
    runs = {"loop": {"points": points, "insulation": 25}}
    path.write_text(yaml.safe_dump({"job": "one", "tube": 15, "former": {"radius": 55}, "room": {"wall": wall},
                                    "clearance": 3, "runs": runs}))  # fmt: skip
    content = holes(story.results(load(path)))
    said = [say(part.text, MM) for part in content.to_read[0].parts if isinstance(part, Paragraph)]
    assert [text for text in said if "between the holes of 'loop' 39 mm is left" in text]
