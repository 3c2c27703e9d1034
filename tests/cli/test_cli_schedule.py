"""The schedule by itself: where a run is longer than its stock, its clips keep off the couplings as on all papers."""

import json

import pytest
from command_line import run

TWO = """\
job: two
tube: 15
stock: {length: 3000}
former: {radius: 55, hold: 40, guide: 25}
clips: {face: [wall]}
room:
  wall: {face: {at: [0, 0, 0], facing: south}}
runs:
  long:  {points: [[0, -15, 500], [4800, -15, 500]]}
  short: {points: [[0, -15, 800], [600, -15, 800]]}
"""


def clips_of(job_file):
    said = run("schedule", job_file, "--format", "json")
    assert said.code == 0
    return [clip["at_mm"] for clip in json.loads(said.out)["runs"][0]["clips"]["clips"]]


def test_clips_of_a_run_longer_than_its_stock_keep_off_its_coupling(tmp_path):
    """4800 held every 1200 at most, the first and last 300 from the ends: in four parts of 1050, so one at 2400.

    Of lengths of 3000 the run is jointed at 2400 as well, to leave 600 for the short one. A capillary coupling of 15 mm
    takes about 11 of each side, and a clip some more.
    """
    path = tmp_path / "two.yaml"
    path.write_text(TWO.replace("length: 3000", "length: 6000"))
    assert clips_of(path) == pytest.approx([300.0, 1350.0, 2400.0, 3450.0, 4500.0])
    path.write_text(TWO)
    (joint,) = json.loads(run("cut", path, "--format", "json").out)["runs"][0]["joints"]
    assert joint["at_mm"] == 2400.0
    assert min(abs(at - 2400.0) for at in clips_of(path)) > 11.0
