"""Ends, trim, kerf and clips as a job file says them."""

from functools import cache
from pathlib import Path

import jsonschema
import pytest

from pipemodel.bending.schedule import solve
from pipemodel.checks.supports import plan_clips
from pipemodel.checks.table import run_checks
from pipemodel.documents.text.schedule import schedule_text
from pipemodel.job.model import Job, JobError
from pipemodel.job.read import read_job
from pipemodel.job.schema import json_schema
from pipemodel.job.yaml_tree import read_tree
from pipemodel.results.results import Results

PLAIN = """\
job: ends
tube: 15
room:
  north wall: {{face: {{at: [0, 1000, 0], facing: south}}}}
  waste pipe: {{cylinder: {{from: [0, 500, 0], to: [0, 500, 900], diameter: 40}}}}
{job}
runs:
  rise:
    points: [[0, 985, 100], [900, 985, 100], [900, 985, 1400]]
{run}
"""


@cache
def validator() -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(json_schema())


def read(tmp_path: Path, run: str = "", job: str = "") -> Job:
    path = tmp_path / "job.yaml"
    text = PLAIN.format(job=job, run="\n".join(f"    {line}" for line in run.splitlines()))
    path.write_text(text)
    validator().validate(read_tree(text).values)
    return read_job(path)


def faults(tmp_path: Path, run: str = "", job: str = "") -> list[str]:
    path = tmp_path / "job.yaml"
    path.write_text(PLAIN.format(job=job, run="\n".join(f"    {line}" for line in run.splitlines())))
    with pytest.raises(JobError) as error:
        read_job(path)
    return [f"{f.place.line}:{f.place.column} {f.message}" for f in error.value.faults]


def cut(job: Job) -> float:
    return solve(job).runs[0].cut_length_mm


@pytest.mark.slow
def test_sockets_at_the_mouth_lengthen_the_tube(tmp_path):
    plain = cut(read(tmp_path))
    mouth = read(tmp_path, "ends: {start: {fitting: capillary}, finish: {fitting: capillary, to: mouth}}")
    # EN 1254-1, from memory: 10.6 mm for 15 mm tube, once at each end.
    assert cut(mouth) == pytest.approx(plain + 2 * 10.6)
    assert solve(mouth).runs[0].centreline.start == pytest.approx((-10.6, 985, 100))
    first = solve(mouth).runs[0].table.bends[0]
    assert first.start_mm == pytest.approx(900 - 55 + 10.6)


@pytest.mark.slow
def test_given_to_the_end_nothing_moves(tmp_path):
    job = read(tmp_path, "ends: {start: {fitting: compression, to: end}}")
    assert cut(job) == cut(read(tmp_path))
    assert job.runs[0].ends.start.depth_mm == 19


@pytest.mark.slow
def test_centre_to_centre_takes_the_fittings_off(tmp_path):
    # City & Guilds Plumbing Book 1 (2019) p. 136: 12 mm from the stop to the centre of a 15 mm elbow.
    job = read(tmp_path, "ends: {start: {fitting: elbow, to: centre}, finish: {fitting: elbow, to: centre}}")
    assert cut(job) == pytest.approx(cut(read(tmp_path)) - 24)
    assert "so it ends 12 mm short of the point given" in job.runs[0].route.notes[0]


@pytest.mark.slow
def test_trim_is_left_on_at_the_finish(tmp_path):
    job = read(tmp_path, "trim: 2 cm")
    plain = read(tmp_path)
    assert cut(job) == pytest.approx(cut(plain) + 20)
    assert solve(job).runs[0].table == solve(plain).runs[0].table
    assert "20 mm is left on at the finish" in job.runs[0].route.notes[-1]


@pytest.mark.slow
def test_own_measures_of_a_fitting(tmp_path):
    job = read(tmp_path, "ends: {finish: {fitting: press, depth: 7/8 in}, start: {fitting: plain}}")
    assert cut(job) == pytest.approx(cut(read(tmp_path)) + 22.225)
    tee = read(tmp_path, "ends: {finish: {fitting: tee, to: centre, centre_to_stop: 9}}")
    assert cut(tee) == pytest.approx(cut(read(tmp_path)) - 9)


@pytest.mark.slow
def test_kerf(tmp_path):
    assert read(tmp_path, job="kerf: 1.5").kerf_mm == 1.5


@pytest.mark.parametrize(
    ("run", "says"),
    [
        ("ends: {start: {fitting: press}}", ["10:12", "press fitting stands in no table: give its depth"]),
        ("ends: {start: {fitting: tee, to: centre}}", ["10:12", "give its centre_to_stop, or measure to its mouth"]),
        ("ends: {start: {fitting: plain, to: mouth}}", ["plain end goes into nothing"]),
        (
            "ends: {start: {fitting: capilary}}",
            ["10:29", "fitting is plain, capillary, compression, press, elbow or tee"],
        ),
        ("ends: {start: {to: mouth}}", ["plain end goes into nothing: name its fitting"]),
        ("ends: {begin: {fitting: capillary}}", ["unknown key 'begin'"]),
        ("trim: -5", ["10:11", "must not be less than 0"]),
        (
            "ends: {start: {fitting: tee, to: centre, centre_to_stop: 900}}",
            ["10:5", "start leg is 900 long to the centre of its fitting, which alone takes 900"],
        ),
        ("clips: {face: northwall}", ["10:19", "there is no thing in the room called 'northwall'", "'north wall'"]),
        ("clips: {face: waste pipe}", ["'waste pipe' has no flat face"]),
        ("clips: {face: north wall, service: steam}", ["no clip spacings are known for 'steam'", "water, gas"]),
        ("clips: {face: north wall, standoff: 0}", ["more than 0"]),
        ("clips: {face: []}", ["face"]),
        ("clips: {}", ["clips lacks 'face'"]),
        (
            "tube: 10\nclips: {face: north wall}",
            ["no clip spacing is published", "spacing: {level: ..., upright: ...}"],
        ),
    ],
)
def test_what_is_wrong_is_said_where_it_stands(tmp_path, run, says):
    (said,) = faults(tmp_path, run)
    for part in says:
        assert part in said


def test_a_fault_of_the_jobs_clips_is_said_once(tmp_path):
    two = "clips: {face: nowhere}\n"
    path = tmp_path / "job.yaml"
    path.write_text(PLAIN.format(job=two, run="  fall:\n    points: [[0, 0, 0], [100, 0, 0]]"))
    with pytest.raises(JobError) as error:
        read_job(path)
    assert len(error.value.faults) == 1


@pytest.mark.slow
def test_clips_of_the_job_and_of_a_run(tmp_path):
    job = read(tmp_path, job="clips: {face: north wall, standoff: 15, service: gas}")
    rule = job.runs[0].clips
    # BS 6891, from memory: 15 mm gas, 1.5 m level and 2.0 m upright.
    assert (rule.spacing.horizontal_mm, rule.spacing.vertical_mm, rule.standoff_mm) == (1500, 2000, 15)
    assert rule.off_bend_mm == 22.5
    own = "clips: {face: [north wall], spacing: {level: 500, upright: 0.6 m}, near_fitting: 100, off_bend: 30}"
    rule = read(tmp_path, own, job="clips: {face: north wall}").runs[0].clips
    assert (rule.spacing.horizontal_mm, rule.spacing.vertical_mm) == (500, 600)
    assert (rule.spacing.near_fitting_mm, rule.off_bend_mm) == (100, 30)
    usual = read(tmp_path, "clips: {face: [north wall], spacing: {level: 500, upright: 600}}").runs[0].clips
    # Water-mist system installation guide, table 2: 300 mm either side of a fitting.
    assert (usual.spacing.near_fitting_mm, usual.standoff_mm, usual.edge_mm) == (300, None, 20)
    assert usual.spacing.source == "spacings of the job; near a fitting: water-mist guide, table 2"
    assert (usual.faces, usual.spacing.service, usual.spacing.outside_mm) == (("north wall",), "water", 15)
    assert read(tmp_path, "tube: 10\n" + own).runs[0].clips is not None


@pytest.mark.slow
def test_clips_come_out_as_findings(tmp_path):
    found = run_checks(solve(read(tmp_path, job="clips: {face: north wall, standoff: 15}"))).findings
    assert [f.code for f in found if f.check == "supports"] == ["S102"]
    found = run_checks(solve(read(tmp_path, job="clips: {face: north wall, standoff: 40}"))).findings
    assert [(f.code, f.severity) for f in found if f.check == "supports"] == [("S101", "error")]


@pytest.mark.slow
def test_the_schedule_tells_where_clips_go_and_what_is_in_the_fittings(tmp_path):
    run = "ends: {start: {fitting: capillary}}\ntrim: 20"
    solved = solve(read(tmp_path, run, job="clips: {face: north wall, standoff: 15}"))
    made = plan_clips(solved.runs[0], solved.job.things)
    text = schedule_text(Results(solved), ascii=True)
    assert max(map(len, text.splitlines())) <= 80
    assert "10.5 goes into the fittings and 20 is trimmed" in " ".join(text.split())
    assert len([line for line in text.splitlines() if "north wall: " in line]) == len(made.clips) == 3
    record = Results(solved).schedule_record["runs"][0]
    assert [clip["at_mm"] for clip in record["clips"]["clips"]] == [clip.at_mm for clip in made.clips]
    assert record["ends"]["in_fittings_mm"] == 10.6
    assert record["cut_length_mm"] == pytest.approx(record["centreline_mm"] + 20)
    assert Results(solve(read(tmp_path))).schedule_record["runs"][0]["clips"] is None


@pytest.mark.slow
def test_what_an_end_is_given_of_in_a_note(tmp_path):
    """Depths and centres of EN 1254-1 and City & Guilds, as in the tests of the fittings."""

    def notes(ends):
        return tuple(map(str, read(tmp_path, f"ends: {ends}").runs[0].route.notes))

    assert notes("{start: {fitting: capillary}}") == (
        "start: the tube goes 10.6 mm into a capillary fitting (EN 1254-1 least engagement, from memory), so it ends "
        "10.6 mm beyond the point given, which is the fitting's mouth",
    )
    (elbow,) = notes("{finish: {fitting: elbow, to: centre}}")
    assert elbow.startswith("finish: the tube goes ")
    assert " mm into an elbow fitting (" in elbow
    assert elbow.endswith("so it ends 12 mm short of the point given, which is the fitting's centre")
    (end,) = notes("{finish: {fitting: press, depth: 20, to: end}}")
    assert end == "finish: the tube goes 20 mm into a press fitting (given in the job)"
    assert notes("{start: {fitting: plain}}") == ()


@pytest.mark.parametrize(
    ("ends", "fault"),
    [
        (
            "{start: {joins: boiler}}",
            "10:27 there is no thing in the room, or other run, called 'boiler'; there are 'north wall'",
        ),
        (
            "{finish: {joins: northwall}}",
            "10:28 there is no thing in the room, or other run, called 'northwall'; did you mean 'north wall'?",
        ),
        ("{finish: {joins: rise}}", "10:28 a run does not join itself, nor by way of another; name another"),
        ("{finish: {}}", "10:12 say what the end goes into, such as fitting: capillary, or what it joins; or leave it"),
    ],
)
def test_an_end_that_joins_nothing(tmp_path, ends, fault):
    (said,) = faults(tmp_path, f"ends: {ends}")
    assert said.startswith(fault)


@pytest.mark.slow
def test_what_is_bare_at_an_end_is_at_least_what_is_in_the_fitting(tmp_path):
    """10.6 mm of a capillary socket, or what is said where that is more."""
    for bare, there in ((4, 10.6), (40, 40)):
        job = read(
            tmp_path, f"ends: {{start: {{fitting: capillary, bare: {bare}}}, finish: {{joins: north wall, bare: 7}}}}"
        )
        ends = job.runs[0].ends
        assert (ends.start.bare_mm, ends.finish.bare_mm) == (there, 7)
        assert (ends.start.joins, ends.finish.joins) == ("", "north wall")
