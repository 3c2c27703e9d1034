"""What is found alike of several runs."""

import json

from command_line import run

ALIKE = """job: three alike
tube: 15
former: {radius: 55}
runs:
  a: {points: [[0, 0, 0], [400, 0, 0], [400, 300, 0]]}
  b: {points: [[0, 0, 500], [400, 0, 500], [400, 300, 500]]}
  c: {tube: 22, former: {radius: 77}, points: [[0, 0, 900], [500, 0, 900], [500, 400, 900]]}
"""


def test_what_is_found_alike_of_several_runs_is_said_once_and_listed_for_each(tmp_path):
    """Counted by hand: a and b are bent round the former of 15 mm, c round that of 22; the record names each run."""
    (tmp_path / "job.yaml").write_text(ALIKE, encoding="utf-8")
    said = " ".join(run("check", tmp_path / "job.yaml").out.split())
    assert said.count("B112") == 2
    assert "runs 'a', 'b': former of the job: springback" in said
    found = json.loads(run("check", "--format", "json", tmp_path / "job.yaml").out)["findings"]
    assert [f["run"] for f in found if f["code"] == "B112"] == ["a", "b", "c"]
