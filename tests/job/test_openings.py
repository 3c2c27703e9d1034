"""Openings and `bring in`: what is read, and what cannot be meant, said at its line."""

import pytest
from command_line import run

from pipemodel.job.model import BringIn
from pipemodel.story import read

JOB = """\
job: in by the hatch
tube: {outside: 15, wall: 0.7}
former: {radius: 55, hold: 1, guide: 1, springback: {fixed: 0}}
room:
  sill: {box: {from: [0, -20, 0], to: [1000, 0, 100]}}
openings:
  hatch: {corners: [[100, 0, 100], [300, 0, 100], [300, 0, 300], [100, 0, 300]], outside: [200, -500, 200]}
bring in: {through: hatch, margin: 2}
runs:
  r: {points: [[40, 460, 40], [40, 460, 700], [500, 460, 700]]}
"""


def job(tmp_path, text=JOB):
    file = tmp_path / "job.yaml"
    file.write_text(text)
    return file


def said(tmp_path, old, new, *options):
    assert old in JOB
    done = run("schedule", job(tmp_path, JOB.replace(old, new)), *options)
    assert done.code == 2
    assert done.out == ""
    return done.err.splitlines()


def test_what_is_written_is_read(tmp_path):
    found = read(job(tmp_path))
    (opening,) = found.openings
    assert opening.name == "hatch"
    assert opening.corners[1] == (300.0, 0.0, 100.0)
    assert opening.outside == (200.0, -500.0, 200.0)
    asked = found.runs[0].bring_in
    assert (asked.through, asked.margin_mm, asked.effort) == ("hatch", 2.0, BringIn().effort)


def test_a_run_s_own_word_wins_and_an_opening_alone_asks(tmp_path):
    own = JOB.replace("460, 700]]}", "460, 700]], bring in: {margin: 7, seed: 3}}")
    asked = read(job(tmp_path, own)).runs[0].bring_in
    assert (asked.through, asked.margin_mm, asked.seed) == ("hatch", 7.0, 3)
    asked = read(job(tmp_path, JOB.replace("bring in: {through: hatch, margin: 2}\n", ""))).runs[0].bring_in
    assert (asked.through, asked.margin_mm) == ("hatch", 0.0)
    none = JOB[: JOB.index("openings")] + JOB[JOB.index("runs") :]
    assert read(job(tmp_path, none)).runs[0].bring_in is None


def test_a_room_file_holds_openings_and_they_are_placed_with_it(tmp_path):
    (tmp_path / "front.yaml").write_text(JOB[JOB.index("room") : JOB.index("bring in")])
    rest = JOB[: JOB.index("room")] + "room: {file: {file: front.yaml, at: [0, 0, 50], turned: 90, called: east}}\n"
    behind = "runs:\n  r: {points: [[-40, 460, 40], [-40, 460, 700], [-500, 460, 700]]}\n"
    found = read(job(tmp_path, rest + behind))
    (opening,) = found.openings
    assert opening.name == "east hatch"
    assert opening.corners[1] == pytest.approx((0.0, 300.0, 150.0))
    assert opening.outside == pytest.approx((500.0, 200.0, 250.0))
    assert found.runs[0].bring_in.through == "east hatch"


@pytest.mark.parametrize(
    ("old", "new", "place", "what"),
    [
        ("through: hatch", "through: hach", "8:21", "there is no opening 'hach'; did you mean 'hatch'?"),
        ("[300, 0, 300]", "[300, -60, 300]", "7:20", "these corners do not lie in one plane"),
        ("[300, 0, 300], [100, 0, 300]", "[100, 0, 300], [360, 0, 390]", "7:20", "the outline crosses itself"),
        ("[300, 0, 100], [300, 0, 300], [100, 0, 300]", "[300, 0, 100], [200, 0, 100]", "7:20", "enclose no area"),
        ("[100, 0, 300]]", "[100, 0, 300], [100, 0, 100]]", "7:20", "a corner is there twice"),
        ("outside: [200, -500, 200]", "outside: [200, 0, 900]", "7:91", "outside lies in the plane of the opening"),
        ("to: [1000, 0, 100]", "to: [1000, 20, 400]", "7:3", "is no hole: 'sill' fills it"),
        ("to: [1000, 0, 100]", "to: [1000, 0, 400]", "7:3", "is no hole: 'sill' fills it"),
        ("to: [1000, 0, 100]", "to: [1000, 0, 40]", "7:3", "the opening 'hatch' touches nothing"),
        ("margin: 2", "margin: 95", "8:36", "needs 205, and the opening 'hatch' is 200.0 at its least; ask for 92.5"),
        ("margin: 2", "margin: -2", "8:36", "-2"),
        ("margin: 2", "margin: 2, effort: 0", "8:47", "0"),
        ("margin: 2", "marign: 2", "8:28", "unknown key 'marign'"),
    ],
)
def test_what_cannot_be_meant_is_said_at_its_line(tmp_path, old, new, place, what):
    lines = said(tmp_path, old, new)
    assert any(f"job.yaml:{place}: " in line and what in line for line in lines), lines


def test_outside_is_not_where_the_runs_are_to_be(tmp_path):
    [line] = said(tmp_path, "outside: [200, -500, 200]", "outside: [200, 500, 200]")
    assert "job.yaml:7:3: outside of the opening 'hatch' lies on the side where 'r' is to be; give a point on" in line


BAY = "  bay: {void: {from: [0, 0, 0], to: [450, 500, 900]}}\nopenings:"


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("to: [1000, 0, 100]", "to: [1000, 20, 400]", "die Öffnung „hatch“ ist kein Loch: „sill“ füllt sie aus"),
        ("to: [1000, 0, 100]", "to: [1000, 0, 40]", "keine ihrer Seiten liegt höchstens 20 mm von etwas im Raum"),
        ("outside: [200, -500", "outside: [200, 500", "auf der Seite, auf der „r“ ihren Platz hat"),
        (
            "margin: 2",
            "margin: 95",
            "braucht 205, und die Öffnung „hatch“ ist an ihrer engsten Stelle 200,0; höchstens 92,5",
        ),
        ("margin: 2", "margin: 2, spread: yes", "wie weit 15 x 0.7 zurückfedert, ist nicht bekannt"),
        ("runs:", "reach: {through: hach}\nruns:", "es gibt „hatch“; eine Hand greift durch eine Öffnung"),
        (
            "openings:",
            BAY,
            "das Ende von „r“ liegt 50 außerhalb des Hohlraums „bay“ (east); den Hohlraum größer machen",
        ),
    ],
)
def test_what_cannot_be_meant_is_said_in_german_too(tmp_path, old, new, what):
    lines = said(tmp_path, old, new, "--language", "de")
    assert any(what in line for line in lines), lines


def test_a_margin_that_is_said_to_do_does(tmp_path):
    """The opening is 200.1 wide: half of what 15 leaves of it is 92.55, and 92.6 would be too much."""
    wide = JOB.replace("[300, 0,", "[300.1, 0,")
    lines = run("schedule", job(tmp_path, wide.replace("margin: 2", "margin: 95"))).err
    assert "ask for 92.5 or less" in lines
    assert "or less" not in run("schedule", job(tmp_path, wide.replace("margin: 2", "margin: 92.5"))).err


def test_a_run_that_lies_outside_already_is_no_fault_of_the_opening(tmp_path):
    text = JOB + "  s: {points: [[40, -460, 40], [40, -460, 700], [500, -460, 700]]}\n"
    assert len(read(job(tmp_path, text)).openings) == 1


@pytest.mark.parametrize("block", ["[90, -9, 90], to: [200, 9, 310]", "[250, -40, 90], to: [320, 5, 200]"])
def test_an_opening_that_something_reaches_into_is_one_all_the_same(block, tmp_path):
    assert (
        len(read(job(tmp_path, JOB.replace("  sill:", f"  block: {{box: {{from: {block}}}}}\n  sill:"))).openings) == 1
    )
