"""Names that people write, and the files they become: every run has its own, safe on every system."""

import json
import re

import pytest
import trimesh
from command_line import run

TITLE = "15/22 mm riser: return \\ flow"
NAMES = ["15/22 mm riser", "15_22 mm riser", "15\\22 MM RISER", "flow: upper", "flow_ upper", "a*?", "job/x", "長/長"]
SAFE = re.compile(r'[^\x00-\x1f<>:"/\\|?*]+')


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("names")
    job = folder / "job.yaml"
    runs = {name: {"points": [[0, 60 * n, 0], [100 + n, 60 * n, 0]]} for n, name in enumerate(NAMES)}
    job.write_text(json.dumps({"job": TITLE, "tube": 15, "former": {"radius": 55}, "runs": runs}), encoding="utf-8")
    said = run("make", job, "--out", folder / "out", "--only", "json,stl,txt,csv,pulls,dxf")
    assert said.code == 0, said.err
    return folder / "out"


@pytest.mark.slow
def test_each_run_has_its_own_file_and_every_name_is_safe(made):
    lengths = {}
    for path in made.rglob("*"):
        assert path.is_file()
        assert path.parent == made
        assert SAFE.fullmatch(path.name)
        if path.suffix == ".stl":
            x, _, _ = trimesh.load_mesh(path).extents
            lengths[round(x)] = path.stem
    assert sorted(lengths) == [100 + n for n in range(len(NAMES))]
    stems = list(lengths.values())
    assert len({stem.casefold() for stem in stems}) == len(NAMES)
    assert lengths[100] == "15_22 mm riser"
    assert lengths[103] == "flow_ upper"


@pytest.mark.slow
def test_in_the_papers_they_are_called_as_written(made):
    record = json.loads((made / "schedule.json").read_text(encoding="utf-8"))
    assert record["job"] == TITLE
    assert [r["name"] for r in record["runs"]] == NAMES
    assert TITLE in (made / "schedule.txt").read_text(encoding="utf-8")


def test_an_editor_takes_them(tmp_path):
    jsonschema = pytest.importorskip("jsonschema")
    schema = json.loads(run("schema").out)
    check = jsonschema.Draft202012Validator(schema)
    runs = {name: {"points": [[0, 0, 0], [100, 0, 0]]} for name in NAMES}
    job = {"job": TITLE, "tube": 15, "runs": runs}
    check.validate(job)
    for name in ("../rail", ".hidden", " a"):
        assert not check.is_valid({**job, "runs": {name: runs["a*?"]}})
