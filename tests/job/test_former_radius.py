"""A measured radius is judged with its interval, and `allow_tight` is honoured in every form of `former`."""

import re
from pathlib import Path

import pytest

import pipemodel
from pipemodel.job.model import JobError

LEAST = 55.0
"""EN 1057 R250 tube of 15 mm: 55 mm to the neutral axis (IKZ-Praxis 2/2000, p. 8, table 1)."""


def job(folder: Path, former: str, tube: str = "15") -> Path:
    path = folder / "job.yaml"
    path.write_text(
        f"job: x\ntube: {tube}\nformer: {former}\nruns: {{a: {{points: [[0, 0, 0], [500, 0, 0], [500, 400, 0]]}}}}\n"
    )
    return path


def codes(path: Path) -> dict[str, str]:
    return {f.code: f.severity for f in pipemodel.check(pipemodel.load(path)).findings}


def own(folder: Path, entry: str) -> str:
    (folder / "formers.yaml").write_text(f"ours: {{outside: 15, hold: 30, guide: 10, {entry}}}\n")
    return "{file: formers.yaml, name: ours}"


@pytest.mark.parametrize(
    ("radius", "within", "refused", "code"),
    [
        (54.43, 1.5, False, "D106"),
        (54.43, 0.57, False, "D106"),
        (54.43, 0.56, True, ""),
        (54.43, 0.0, True, ""),
        (55.0, 1.5, False, None),
        (58.0, 6.0, False, None),
        (40.0, 1.5, True, ""),
    ],
)
@pytest.mark.parametrize("in_file", [True, False])
def test_a_measured_radius_is_judged_with_its_interval(tmp_path, radius, within, refused, code, in_file):
    entry = f"radius: {radius}, radius_within: {within}"
    path = job(tmp_path, own(tmp_path, entry) if in_file else f"{{{entry}}}")
    if refused:
        assert radius + within < LEAST
        missing = f"{LEAST - radius - within:.4g} mm is missing"
        with pytest.raises(JobError, match=rf"smaller than .* allows: it needs at least 55 mm, {re.escape(missing)}"):
            pipemodel.load(path)
        return
    found = codes(path)
    assert {c for c in found if c in ("D101", "D106")} == ({code} if code else set())
    assert found.get("D106", "note") == "note"


def test_the_note_says_radius_interval_and_what_is_published(tmp_path):
    path = job(tmp_path, own(tmp_path, "radius: 54.43, radius_within: 1.5"))
    (note,) = [f for f in pipemodel.check(pipemodel.load(path)).findings if f.code == "D106"]
    assert "54.43 ± 1.5 mm" in note.message
    assert "55 mm (IKZ-Praxis" in note.message


@pytest.mark.parametrize(
    "former",
    [
        "{radius: 40, allow_tight: true}",
        "{file: formers.yaml, name: tight}",
        "{file: formers.yaml, name: plain, allow_tight: true}",
    ],
)
def test_allow_tight_is_honoured_in_every_form(tmp_path, former):
    (tmp_path / "formers.yaml").write_text("tight: {radius: 40, allow_tight: true}\nplain: {radius: 40}\n")
    path = job(tmp_path, former)
    loaded = pipemodel.load(path)
    assert loaded.runs[0].former.radius_mm == 40.0
    assert codes(path)["D101"] == "warning"
    with pytest.raises(JobError, match="at least 55"):
        pipemodel.load(job(tmp_path, former.replace("tight, ", "plain, ").replace("tight}", "plain}").replace(
            ", allow_tight: true", "")))  # fmt: skip


def test_a_run_may_allow_it_for_itself_alone(tmp_path):
    (tmp_path / "formers.yaml").write_text("plain: {radius: 40}\n")
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: x\ntube: 15\nruns:\n"
        "  a: {former: {file: formers.yaml, name: plain, allow_tight: true}, points: [[0, 0, 0], [500, 0, 0]]}\n"
        "  b: {former: {file: formers.yaml, name: plain}, points: [[0, 99, 0], [500, 99, 0]]}\n"
    )
    with pytest.raises(JobError) as caught:
        pipemodel.load(path)
    assert len(caught.value.faults) == 1
    assert caught.value.faults[0].place.line == 5


def test_a_former_of_the_tool_by_name_takes_the_key_too(tmp_path):
    former = pipemodel.load(job(tmp_path, "{name: 15 mm hand bender, allow_tight: true}")).runs[0].former
    assert former.radius_mm == 55.0
    assert former.allow_tight
    with pytest.raises(JobError, match="no former 'unheard of'"):
        pipemodel.load(job(tmp_path, "{name: unheard of}"))


@pytest.mark.parametrize(
    ("former", "key", "offered"),
    [
        ("{file: formers.yaml, name: a, radius: 50}", "radius", "file, name, history, allow_tight"),
        ("{file: formers.yaml, name: a, hold: 50}", "hold", "file, name, history, allow_tight"),
        ("{radius: 55, nam: a}", "nam", "did you mean 'name'"),
        ("{file: formers.yaml, name: a, allow_tigth: true}", "allow_tigth", "allow_tight"),
    ],
)
def test_a_key_that_does_not_go_there_is_never_offered_as_what_was_meant(tmp_path, former, key, offered):
    with pytest.raises(JobError) as caught:
        pipemodel.load(job(tmp_path, former))
    (line,) = caught.value.lines()
    assert f"unknown key {key!r}" in line
    assert f"did you mean {key!r}" not in line
    assert offered in line
