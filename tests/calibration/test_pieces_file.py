"""The file of test pieces: what is refused and where, and what a calibration writes into a file of formers."""

from dataclasses import replace

import pytest

from pipemodel.calibration.pieces_file import Pieces, former_values, per_degree_of, read_pieces
from pipemodel.calibration.values import Calibration, FittedFigure
from pipemodel.job.model import JobError

PIECE = "  - {cut: 500, mark: 200, angle: 90, pull: 96}\n"
GOOD = "tube: {outside: 15, wall: 0.7}\npieces:\n" + PIECE


def refused(tmp_path, text):
    path = tmp_path / "pieces.yaml"
    path.write_text(text)
    with pytest.raises(JobError) as caught:
        read_pieces(path)
    return [(f.place.line, f.place.column, f.message) for f in caught.value.faults]


KEYS = "tube, tape, protractor, hold, guide, allow_tight, pieces"
PIECE_KEYS = "cut, mark, angle, start to back, finish to back, pull"


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("pieces:\n" + PIECE, [(1, 1, "this file lacks 'tube' (the tube of all pieces: ")]),
        ("tube: {outside: 15, wall: 0.7}\n",
         [(1, 1, "this file lacks 'pieces' (the test pieces, each with its readings)")]),
        ("tube: {outside: 15, wall: 0.7}\npieces: []\n", [(2, 9, "pieces needs at least 1; this has 0")]),
        (GOOD + "  - {cut: 500, angle: 90}\n",
         [(4, 5, "item 2 of pieces lacks 'mark' (where the mark was, from the start end)")]),
        (GOOD + "tapes: 1\n", [(4, 1, "unknown key 'tapes'; did you mean 'tape'?")]),
        (GOOD + "colour: 1\n", [(4, 1, f"unknown key 'colour'; the keys here are {KEYS}")]),
        (GOOD + "  - {cut: 500, mark: 200, angle: 90, pul: 3}\n", [(4, 38, "unknown key 'pul'; did you mean 'pull'?")]),
        (GOOD + "  - {cut: 500, mark: 200, angle: 90, colour: 3}\n",
         [(4, 38, f"unknown key 'colour'; the keys here are {PIECE_KEYS}")]),
        (GOOD + "tape: 0.0009\n", [(4, 7, "no reading by hand is as fine as 0.0009; give at least 0.001, mostly 0.5")]),
        (GOOD + "protractor: 0.0009\n",
         [(4, 13, "no reading by hand is as fine as 0.0009; give at least 0.001, mostly 0.5")]),
        (GOOD + "  - {cut: 100, mark: 200, angle: 90}\n",
         [(4, 5, "piece 2: the mark at 200 is not on a tube 100 long")]),
        (GOOD + "allow_tight: 5\n", [(4, 14, "allow_tight is true or false")]),
        ("tube: 15.5\npieces:\n" + PIECE, [(1, 7, "")]),
        ("- 1\n", [(1, 1, "this is a group of keys: tube, and pieces with their readings")]),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_file_of_pieces(tmp_path, text, faults):
    found = refused(tmp_path, text)
    assert [(line, column) for line, column, _ in found] == [(line, column) for line, column, _ in faults]
    for (_, _, message), (_, _, said) in zip(found, faults, strict=True):
        assert message.startswith(said)


def test_readings_may_be_as_fine_as_a_thousandth(tmp_path):
    path = tmp_path / "pieces.yaml"
    path.write_text(GOOD + "tape: 0.001\nprotractor: 0.0015\nhold: 40\nguide: 25\n")
    read = read_pieces(path)
    assert (read.tape_mm, read.protractor_deg, read.hold_mm, read.guide_mm) == (0.001, 0.0015, 40.0, 25.0)
    assert (read.outside_mm, read.allow_tight, read.least_mm) == (15.0, False, 55.0)
    (piece,) = read.pieces
    assert (piece.name, piece.cut_mm, piece.mark_mm, piece.angle_deg, piece.pull_deg) == ("1", 500.0, 200.0, 90.0, 96.0)
    path.write_text(GOOD + "allow_tight: true\n")
    assert read_pieces(path).least_mm is None
    assert read_pieces(path).allow_tight


@pytest.mark.parametrize(
    ("former", "held"),
    [({}, 0.0), ({"springback": None}, 0.0), ({"springback": {"fixed": 1}}, 0.0),
     ({"springback": {"per_degree": 0.03}}, 0.03), ({"springback": {"per_degree": "x"}}, 0.0)],
)  # fmt: skip
def test_the_springback_a_former_has(former, held):
    assert per_degree_of(former) == held


def found(**figures):
    some = dict.fromkeys(("radius_mm", "mark_mm", "fixed_deg", "per_degree"))
    some |= {name: FittedFigure(*figure, None) for name, figure in figures.items()}
    return Calibration(**some, pulls=(), springback_covariance=None, quantile=1.96, doubts=(), suspicions=(),
                       mistakes=(), spread=1.0, notes=())  # fmt: skip


def pieces(**more):
    return Pieces(**{"outside_mm": 15.0, "pieces": (), "tape_mm": 0.5, "protractor_deg": 0.5, "hold_mm": None,
                     "guide_mm": None, "allow_tight": False, "least_mm": 55.0} | more)  # fmt: skip


NONE = float("inf")


@pytest.mark.parametrize(
    ("result", "more", "written"),
    [
        (found(), {}, {}),
        (found(), {"hold_mm": 40.0, "guide_mm": 25.0}, {"hold": 40.0, "guide": 25.0}),
        (found(), {"guide_mm": 25.0, "allow_tight": True}, {"guide": 25.0, "allow_tight": True}),
        (found(), {"hold_mm": 0.0}, {"hold": 0.0}),
        # The interval is rounded up, so that it is never said to be narrower than it is.
        (found(radius_mm=(54.216, 0.731), mark_mm=(37.994, 0.8)), {},
         {"radius": 54.22, "radius_within": 0.74, "mark": 37.99, "mark_within": 0.8}),
        (found(radius_mm=(54.2, NONE), mark_mm=(38.0, 0.5)), {}, {"mark": 38.0, "mark_within": 0.5}),
        (found(radius_mm=(54.2, 0.5), mark_mm=(38.0, NONE)), {}, {"radius": 54.2, "radius_within": 0.5}),
        (found(fixed_deg=(1.23456, 0.5), per_degree=(0.0512345, 0.01)), {},
         {"springback": {"fixed": 1.235, "per_degree": 0.05123}}),
        (found(fixed_deg=(1.2, 0.5)), {}, {"springback": {"fixed": 1.2, "per_degree": 0.03}}),
        (found(fixed_deg=(1.2, 0.5), per_degree=(0.05, NONE)), {}, {}),
        (found(fixed_deg=(1.2, NONE), per_degree=(0.05, 0.01)), {}, {}),
    ],
)  # fmt: skip
def test_what_is_written_of_a_former(result, more, written):
    assert former_values(result, pieces(**more), 0.03) == {"outside": 15.0} | written


def test_both_parts_of_springback_are_written_with_their_intervals_and_how_they_go_together():
    """A correlation of -0.0045 / (0.5 x 0.01), which is -0.9."""
    result = found(fixed_deg=(1.2, 0.98001), per_degree=(0.05, 0.019601))
    result = replace(result, springback_covariance=((0.25, -0.0045), (-0.0045, 0.0001)))
    springback = former_values(result, pieces(), 0.03)["springback"]
    assert springback == {
        "fixed": 1.2,
        "per_degree": 0.05,
        "fixed_within": 0.981,
        "per_degree_within": 0.01961,
        "correlation": -0.9,
    }


def test_what_is_wrong_is_said_in_german_too(tmp_path):
    path = tmp_path / "pieces.yaml"
    path.write_text("tube: 15\ntapes: 1\n")
    with pytest.raises(JobError) as caught:
        read_pieces(path)
    assert [line.split(": ", 1)[1] for line in caught.value.lines("de")] == [
        "in dieser Datei: es fehlt „pieces“ (the test pieces, each with its readings)",
        "unbekannter Schlüssel „tapes“; ist „tape“ gemeint?",
    ]
