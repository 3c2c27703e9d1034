"""Every kind of bad input: each fault at its line and column, all in one go, and never a traceback."""

import os
from itertools import pairwise
from pathlib import Path

import pytest

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.job.read import read_job

HEAD = """\
job: towel rail
tube: 15
former: {radius: 55}
"""
RUNS = """\
runs:
  rail: {points: [[0, 0, 0], [600, 0, 0], [600, 400, 0]]}
"""

# (what it shows, the file, [(line, column, part of the message)]): every fault of the file, and no other.
CASES: list[tuple[str, str, list[tuple[int, int, str]]]] = [
    # keys
    ("misspelt key", "jib: x\n" + HEAD + RUNS, [(1, 1, "unknown key 'jib'; did you mean 'job'?")]),
    (
        "misspelt key in a form",
        "job: x\ntube: {outside: 15, wal: 0.7}\n" + RUNS,
        [(2, 7 - 6, "tube lacks 'wall'"), (2, 21, "unknown key 'wal'; did you mean 'wall'?")],
    ),
    (
        "a former below nothing",
        "job: x\ntube: 15\nformer: {radius: -55, max_angle: -4}\n" + RUNS,
        [(3, 18, "-55 must be a length of more than 0"), (3, 34, "-4 must be an angle of more than 0")],
    ),
    (
        "misspelt key in a run",
        HEAD + "runs:\n  rail: {point: [[0, 0, 0], [1, 0, 0]]}\n",
        [(5, 10, "unknown key 'point'; did you mean 'points'?")],
    ),
    (
        "key that is like no other",
        HEAD + "colour: red\n" + RUNS,
        [(4, 1, "unknown key 'colour'; the keys here are job, parameters, tube,")],
    ),
    ("no job", "tube: 15\n" + RUNS, [(1, 1, "the job lacks 'job' (the job's name)")]),
    ("no runs", HEAD, [(1, 1, "the job lacks 'runs'")]),
    ("empty runs", HEAD + "runs:\n", [(4, 6, "at least one run")]),
    ("no tube", "job: x\n" + RUNS, [(3, 3, "'rail' has no tube; write tube: 15")]),
    ("duplicate key", HEAD + "tube: 22\n" + RUNS, [(4, 1, "'tube' is given twice (first on line 2)")]),
    (
        "duplicate run",
        HEAD + RUNS + "  rail: {points: [[0, 0, 0], [9, 0, 0]]}\n",
        [(6, 3, "'rail' is given twice (first on line 5)")],
    ),
    # wrong types
    ("number for text", "job: 12\ntube: 15\n" + RUNS, [(1, 6, "the job's name is text; put it in quotes")]),
    ("list for a tube", "job: x\ntube: [15]\n" + RUNS, [(2, 7, "a tube is a size such as 15")]),
    ("list for a former", "job: x\ntube: 15\nformer: 55\n" + RUNS, [(3, 9, "a former is the name of one")]),
    ("text for a length", HEAD + "clearance: five\n" + RUNS, [(4, 12, "'five' is no length; write a length such as")]),
    ("true for a length", HEAD + "clearance: true\n" + RUNS, [(4, 12, "true is no length")]),
    ("no stays text", HEAD + "clearance: no\n" + RUNS, [(4, 12, "'no' is no length")]),
    ("1:30 stays text", HEAD + "clearance: 1:30\n" + RUNS, [(4, 12, "'1:30' is no length")]),
    ("nothing for a length", HEAD + "clearance:\n" + RUNS, [(4, 11, "an empty value is no length")]),
    ("list for a room", HEAD + "room: [1]\n" + RUNS, [(4, 7, "room is a group of names")]),
    ("number for a thing", HEAD + "room: {wall: 3}\n" + RUNS, [(4, 14, "wall is a group of keys, not 3")]),
    ("text for points", HEAD + "runs: {rail: {points: abc}}\n", [(4, 23, "points is a list, not 'abc'")]),
    (
        "two numbers for a point",
        HEAD + "runs: {rail: {points: [[0, 0, 0], [1, 2]]}}\n",
        [(4, 35, "a point is three lengths, [x, y, z]; this has 2")],
    ),
    (
        "one point",
        HEAD + "runs: {rail: {points: [[0, 0, 0]]}}\n",
        [(4, 23, "points needs at least 2; this has 1")],
    ),
    ("list for a job", "- 1\n- 2\n", [(1, 1, "a job is a group of keys")]),
    ("text for a job", "hello\n", [(1, 1, "a job is a group of keys")]),
    # numbers
    ("nan", HEAD + "clearance: .nan\n" + RUNS, [(4, 12, "nan is no length; write a finite number")]),
    ("infinity", HEAD + "runs: {rail: {points: [[0, 0, 0], [1, .inf, 3]]}}\n", [(4, 39, "inf is no length")]),
    ("overflow", HEAD + "clearance: 1e999\n" + RUNS, [(4, 12, "inf is no length")]),
    ("a thousand digits", HEAD + f"clearance: {'9' * 1000}\n" + RUNS, [(4, 12, "a number of 1000 characters")]),
    (
        "a thousand digits in text",
        HEAD + f"clearance: '{'9' * 1000}'\n" + RUNS,
        [(4, 12, "'9999999999999999999999999999999999999...' is no length")],
    ),
    ("ten thousand digits", HEAD + f"clearance: -{'9' * 10000}\n" + RUNS, [(4, 12, "a number of 10001 characters")]),
    (
        "beyond any room",
        HEAD + "clearance: 2e9\n" + RUNS,
        [(4, 12, "too large; no length here is beyond 1,000,000,000")],
    ),
    ("below zero", HEAD + "clearance: -1\n" + RUNS, [(4, 12, "must not be less than 0")]),
    ("wrong unit", HEAD + "clearance: 3 ft\n" + RUNS, [(4, 12, "'ft' is no unit of length here; use mm, cm, m or in")]),
    ("decimal comma", HEAD + "clearance: 3,5 mm\n" + RUNS, [(4, 12, "use a decimal point: 3.5 mm")]),
    ("fraction of nothing", HEAD + "clearance: 3/4\n" + RUNS, [(4, 12, "a fraction is of an inch; write 3/4 in")]),
    ("fraction by zero", HEAD + "clearance: 3/0 in\n" + RUNS, [(4, 12, "divides by zero")]),
    # tubes and formers
    ("unknown size", "job: x\ntube: 16\n" + RUNS, [(2, 7, "15 x 0.7 copper")]),
    ("unknown former", "job: x\ntube: 15\nformer: 15 mm hand bendr\n" + RUNS, [(3, 9, "'15 mm hand bender'")]),
    ("former without radius", "job: x\ntube: 15\nformer: {mark: 3}\n" + RUNS, [(3, 1, "former lacks 'radius'")]),
    (
        "no bore",
        "job: x\ntube: {outside: 15, wall: 8}\nformer: {radius: 55}\n" + RUNS,
        [(2, 1, "a wall of 8 leaves no bore in a tube of 15; it must be less than 7.5")],
    ),
    (
        "radius below half the diameter",
        "job: x\ntube: {outside: 15, wall: 0.7}\nformer: {radius: 7}\n" + RUNS,
        [(3, 18, "more than half the outside diameter, 7.5 mm; 0.5 mm is missing")],
    ),
    (
        "radius below what is published",
        "job: x\ntube: 15\nformer:\n  radius: 50\n" + RUNS,
        [(4, 11, "it needs at least 55 mm, 5 mm is missing")],
    ),
    (
        "springback that is no number",
        "job: x\ntube: 15\nformer: {radius: 55, springback: {per_degree: much, fixed: 400}}\n" + RUNS,
        [(3, 47, "'much' is no number"), (3, 60, "no angle here is beyond 360 degrees")],
    ),
    (
        "negative hold",
        "job: x\ntube: 15\nformer: {radius: 55, hold: -2}\n" + RUNS,
        [(3, 28, "must not be less than 0")],
    ),
    # things
    (
        "box without thickness",
        HEAD + "room: {wall: {box: {from: [0, 0, 0], to: [9, 0, 9]}}}\n" + RUNS,
        [(4, 15, "no thickness along y (south to north)")],
    ),
    (
        "cylinder without length",
        HEAD + "room: {waste: {cylinder: {from: [0, 0, 1], to: [0, 0, 1], diameter: 40}}}\n" + RUNS,
        [(4, 16, "the cylinder has no length")],
    ),
    (
        "face that looks nowhere",
        HEAD + "room: {wall: {face: {at: [0, 0, 0], facing: nrth}}}\n" + RUNS,
        [(4, 45, "'nrth' is no way to face; write north, south")],
    ),
    (
        "face without a direction",
        HEAD + "room: {wall: {face: {at: [0, 0, 0], facing: [0, 0, 0]}}}\n" + RUNS,
        [(4, 45, "a direction of no length")],
    ),
    (
        "outline that crosses itself",
        HEAD + "room: {duct: {extrusion: {outline: [[0, 0], [9, 9], [9, 0], [0, 9]], from: 0, to: 5}}}\n" + RUNS,
        [(4, 15, "the side from corner 1 meets the one from corner 3")],
    ),
    ("thing without a shape", HEAD + "room: {wall: {clearance: 3}}\n" + RUNS, [(4, 8, "this has none")]),
    (
        "thing with two shapes",
        HEAD + "room: {wall: {face: {at: [0, 0, 0], facing: up}, box: {from: [0, 0, 0], to: [1, 1, 1]}}}\n" + RUNS,
        [(4, 8, "this has box and face")],
    ),
    # names
    (
        "run that would lie above the folder",
        HEAD + "runs: {../rail: {points: [[0, 0, 0], [1, 0, 0]]}}\n",
        [(4, 8, "'../rail' cannot be a file's; write 'rail'")],
    ),
    (
        "run that would be a folder",
        HEAD + "runs: {..: {points: [[0, 0, 0], [1, 0, 0]]}}\n",
        [(4, 8, "cannot be a file's")],
    ),
    ("hidden run", HEAD + "runs: {.rail: {points: [[0, 0, 0], [1, 0, 0]]}}\n", [(4, 8, "write 'rail'")]),
    (
        "run called like a device",
        HEAD + "runs: {nul: {points: [[0, 0, 0], [1, 0, 0]]}}\n",
        [(4, 8, "belongs to a device on some machines")],
    ),
    (
        "run called like the job's own file",
        HEAD + "runs: {Job: {points: [[0, 0, 0], [1, 0, 0]]}}\n",
        [(4, 8, "the same file as job.step")],
    ),
    (
        "runs that differ by capitals",
        HEAD + "runs:\n  rail: {points: [[0, 0, 0], [1, 0, 0]]}\n  Rail: {points: [[0, 0, 0], [1, 0, 0]]}\n",
        [(6, 3, "the runs 'Rail' and 'rail' would share a file")],
    ),
    (
        "runs that share a drawing of pulls",
        HEAD + "runs:\n  a: {points: [[0, 0, 0], [1, 0, 0]]}\n  A-Pulls: {points: [[0, 0, 0], [1, 0, 0]]}\n",
        [(6, 3, "the runs 'A-Pulls' and 'a' would share a file; rename one")],
    ),
    (
        "runs that share a jig's file, the longer name first",
        HEAD + "runs:\n  a-jig-base: {points: [[0, 0, 0], [1, 0, 0]]}\n  a: {points: [[0, 0, 0], [1, 0, 0]]}\n",
        [(6, 3, "the runs 'a' and 'a-jig-base' would share a file")],
    ),
    (
        "long name",
        HEAD + f"runs: {{{'r' * 81}: {{points: [[0, 0, 0], [1, 0, 0]]}}}}\n",
        [(4, 8, "81 characters; use at most 80")],
    ),
    (
        "name with a line in it",
        HEAD + 'runs: {"a\\nb": {points: [[0, 0, 0], [1, 0, 0]]}}\n',
        [(4, 8, "holds a control character")],
    ),
    ("no name", HEAD + 'runs: {"": {points: [[0, 0, 0], [1, 0, 0]]}}\n', [(4, 8, "a run needs a name")]),
    # YAML
    ("empty file", "", [(1, 1, "the file is empty")]),
    ("nothing but remarks", "# a job\n\n", [(1, 1, "the file is empty")]),
    ("tab", "job: x\ntube:\n\toutside: 15\n", [(3, 1, "a tab; indent with spaces")]),
    (
        "python tag",
        HEAD + "clearance: !!python/object/apply:os.system [ls]\n" + RUNS,
        [(4, 12, "the tag !!python/object/apply")],
    ),
    ("any other tag", HEAD + "clearance: !mm 5\n" + RUNS, [(4, 12, "the tag !mm is not used in a job; leave it out")]),
    ("a hundred brackets", "job: " + "[" * 100 + "]" * 100, [(1, 45, "nested more than 40 levels deep")]),
    ("thousands of braces", "{a: " * 5000, [(1, 161, "nested more than 40 levels deep")]),
    (
        "alias bomb",
        "a: &a [x, x, x, x, x, x, x, x, x]\n"
        + "".join(f"{b}: &{b} [{', '.join([f'*{a}'] * 9)}]\n" for a, b in pairwise("abcdefghi")),
        [(5, 12, "the aliases of this file repeat more than 20000 values")],
    ),
    ("alias within itself", "job: &a [*a]\n", [(1, 10, "would repeat itself without end")]),
    (
        "alias of nothing",
        HEAD + "clearance: *gap\n" + RUNS,
        [(4, 12, "*gap stands for nothing; mark what it repeats with &gap")],
    ),
    ("list as a key", HEAD + "? [1, 2]\n: 3\n", [(4, 3, "a key is plain text")]),
    ("two documents", HEAD + RUNS + "---\njob: y\n", [(6, 1, "one file holds one job")]),
    ("colon in text", "job: towel: rail\n", [(1, 11, "a ':' is not expected here")]),
    ("open bracket", HEAD + "runs: {rail: {points: [[0, 0, 0], [1, 0, 0]}}\n", [(4, 44, "closing ']' is missing")]),
    ("open quote", "job: 'towel rail\ntube: 15\n", [(1, 6, "a quote is opened here and never closed")]),
    ("at sign", "job: @x\n", [(1, 6, "text that starts with '@' must stand in quotes")]),
    # parameters
    (
        "unknown parameter",
        "job: x\nparameters: {drop: 3}\ntube: 15\nclearance: ${drip}\n" + RUNS,
        [(4, 12, "there is no parameter 'drip'; did you mean 'drop'?")],
    ),
    ("no parameters", HEAD + "clearance: ${drop}\n" + RUNS, [(4, 12, "give it a value under parameters")]),
    (
        "parameters in a ring",
        HEAD + "parameters:\n  a: ${b}\n  b: ${a}\nclearance: ${a}\n" + RUNS,
        [(5, 6, "made from itself: a -> b -> a")],
    ),
    (
        "python in an expression",
        HEAD + "clearance: ${__import__('os').system('ls')}\n" + RUNS,
        [(4, 12, "has no place in")],
    ),
    (
        "attribute in an expression",
        "job: x\nparameters: {a: 1}\ntube: 15\nclearance: ${a.real}\n" + RUNS,
        [(4, 12, "'.' has no place in 'a.real'")],
    ),
    ("huge power", HEAD + "clearance: ${9^9^9}\n" + RUNS, [(4, 12, "has no value here")]),
    ("division by zero", HEAD + "clearance: ${1/(2-2)}\n" + RUNS, [(4, 12, "'1/(2-2)' divides by zero")]),
    ("expression left open", HEAD + "clearance: '${1'\n" + RUNS, [(4, 12, "without its '}'")]),
    ("deep expression", HEAD + f"clearance: ${{{'(' * 90}1{')' * 90}}}\n" + RUNS, [(4, 12, "more than 30 deep")]),
    ("long expression", HEAD + f"clearance: ${{1{'+1' * 200}}}\n" + RUNS, [(4, 12, "an expression of 401 characters")]),
    ("parameter that is a list", HEAD + "parameters: {a: [1]}\n" + RUNS, [(4, 17, "a list is no length")]),
    (
        "parameters that are a list",
        HEAD + "parameters: [1]\n" + RUNS,
        [(4, 13, "parameters is a group of names and values")],
    ),
    (
        "parameter with a function's name",
        HEAD + "parameters: {min: 1}\n" + RUNS,
        [(4, 14, "'min' means something in expressions already")],
    ),
    ("parameter with a dash", HEAD + "parameters: {pipe-drop: 1}\n" + RUNS, [(4, 14, "but 'pipe_drop'")]),
    # runs
    ("run with nothing", HEAD + "runs: {rail: {}}\n", [(4, 8, "this has none of these")]),
    (
        "run written twice",
        HEAD + "runs: {rail: {points: [[0, 0, 0], [1, 0, 0]], start: [0, 0, 0], route: [{go: 5}]}}\n",
        [(4, 8, "this has points and start")],
    ),
    ("route without start", HEAD + "runs: {rail: {route: [{go: 5}]}}\n", [(4, 8, "a route needs its start")]),
]


@pytest.mark.parametrize(("text", "expected"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_each_fault_at_its_place(tmp_path: Path, text: str, expected: list[tuple[int, int, str]]) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(JobError) as caught:
        read_job(path)
    found = [(f.place.line, f.place.column) for f in caught.value.faults]
    assert found == [(line, column) for line, column, _ in expected], str(caught.value)
    for fault, (_, _, part) in zip(caught.value.faults, expected, strict=True):
        assert part in fault.message
    assert str(caught.value).startswith(f"{path}:{expected[0][0]}:{expected[0][1]}: ")


def test_all_faults_in_one_go(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(
        """\
job: ' a'
parameters: {a: "${b}"}
tubbe: 15
tube: 16
clearance: ${nothing}
room:
  wall: {box: {from: [0, 0, 0], to: [0, 1, 1]}}
  duct: {mesh: {file: duct.stl, turn: {about: w, by: 3}}}
  beam: {mesh: {file: beam.stl}}
runs:
  one: {points: [[0, 0, x], [1, 0, 0]], tube: 15, former: {radius: 5}}
  two: {points: [[0, 0, 0], [1, 0, 0]], tube: 15, former: {radius: 5}}
  ../three: {points: [[0, 0, 0]]}
""",
        encoding="utf-8",
    )
    with pytest.raises(JobError) as caught:
        read_job(path)
    assert [(f.place.line, f.place.column) for f in caught.value.faults] == [
        (1, 6),
        (2, 17),
        (3, 1),
        (4, 7),
        (5, 12),
        (7, 10),
        (8, 47),
        (9, 23),
        (11, 25),
        (11, 68),
        (12, 68),
        (13, 3),
        (13, 22),
    ], str(caught.value)


def test_corners_that_cannot_be_bent_are_given_with_the_rest(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(HEAD + "clearance: -1\nruns: {tight: {points: [[0, 0, 0], [20, 0, 0], [20, 400, 0]]}}\n")
    with pytest.raises(JobError) as caught:
        story.read(path)
    assert [(f.place.line, f.place.column) for f in caught.value.faults] == [(4, 12), (5, 36)], str(caught.value)
    assert "35.0000 is missing" in caught.value.faults[1].message


@pytest.mark.parametrize(
    ("data", "place", "part"),
    [
        (b"job: x\ntube: \xff15\n", (2, 7), "no UTF-8 text (byte 0xff)"),
        ("job: x\n".encode("utf-16"), (1, 1), "saved as UTF-16; save it as UTF-8"),
        (b"\x7fELF\x02\x01\x01\x00\x00", (1, 1), "no plain text (character U+007F"),
        (b"job: x\ntube: 1\x005\n", (2, 8), "no plain text (character U+0000"),
        (b"\x89PNG\r\n\x1a\n", (1, 1), "no UTF-8 text"),
        (b"job: x\n" + b"# long\n" * 800_000, (1, 1), "too large for a job"),
    ],
    ids=["not UTF-8", "UTF-16", "program", "zero byte", "picture", "too large"],
)
def test_files_that_are_no_text(tmp_path: Path, data: bytes, place: tuple[int, int], part: str) -> None:
    path = tmp_path / "job.yaml"
    path.write_bytes(data)
    with pytest.raises(JobError) as caught:
        read_job(path)
    (fault,) = caught.value.faults
    assert (fault.place.line, fault.place.column) == place
    assert part in fault.message


@pytest.mark.parametrize("text", ["job: " + "[" * 5000 + "]" * 5000, "[" * 2_000_000, "- " * 5000, "? " * 5000])
def test_thousands_of_brackets(tmp_path: Path, text: str) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(text)
    with pytest.raises(
        JobError, match=r":1:\d+: nested (too|more than 40 levels) deep; no job needs that$|cannot be a key"
    ):
        read_job(path)


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"nix.yaml:1:1: there is no such file"):
        read_job(tmp_path / "nix.yaml")


def test_folder(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="1:1: this is a folder"):
        read_job(tmp_path)


def test_name_no_file_can_have() -> None:
    with pytest.raises(JobError, match="cannot be read"):
        read_job("a\0b")


def test_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(HEAD + RUNS)
    path.chmod(0)
    if os.access(path, os.R_OK):  # the superuser may read everything

        def refused(*_: object, **__: object) -> None:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(JobError, match="may not be read"):
        read_job(path)


class TestMeshFiles:
    """Mesh files stay inside the job's folder unless they are allowed to lie outside."""

    def read(self, folder: Path, file: str, **more: bool) -> str:
        path = folder / "job.yaml"
        path.write_text(HEAD + f"room: {{duct: {{mesh: {{file: '{file}'}}}}}}\n" + RUNS)
        job = read_job(path, **more)
        return job.things[0].shape.path  # type: ignore[union-attr]

    def fault(self, folder: Path, file: str) -> str:
        with pytest.raises(JobError) as caught:
            self.read(folder, file)
        (fault,) = caught.value.faults
        assert (fault.place.line, fault.place.column) == (4, 28)
        return fault.message

    def test_beside_the_job(self, tmp_path: Path) -> None:
        (tmp_path / "duct.stl").write_text("solid\n")
        assert self.read(tmp_path, "duct.stl") == str((tmp_path / "duct.stl").resolve())

    @pytest.mark.parametrize("name", ["../duct.stl", "/etc/duct.stl", "a/../../duct.stl"])
    def test_outside(self, tmp_path: Path, name: str) -> None:
        folder = tmp_path / "jobs"
        folder.mkdir()
        (tmp_path / "duct.stl").write_text("solid\n")
        assert "lies outside the job's folder" in self.fault(folder, name)

    def test_outside_by_a_link(self, tmp_path: Path) -> None:
        folder = tmp_path / "jobs"
        folder.mkdir()
        (tmp_path / "duct.stl").write_text("solid\n")
        (folder / "duct.stl").symlink_to(tmp_path / "duct.stl")
        assert "lies outside the job's folder" in self.fault(folder, "duct.stl")

    def test_outside_when_allowed(self, tmp_path: Path) -> None:
        folder = tmp_path / "jobs"
        folder.mkdir()
        (tmp_path / "duct.stl").write_text("solid\n")
        assert self.read(folder, "../duct.stl", allow_outside=True) == str((tmp_path / "duct.stl").resolve())

    def test_missing(self, tmp_path: Path) -> None:
        assert "there is no file 'duct.stl'" in self.fault(tmp_path, "duct.stl")

    def test_folder(self, tmp_path: Path) -> None:
        (tmp_path / "duct.stl").mkdir()
        assert "is a folder" in self.fault(tmp_path, "duct.stl")

    def test_other_ending(self, tmp_path: Path) -> None:
        (tmp_path / "duct.dwg").write_text("")
        assert "its ending may be stl, obj" in self.fault(tmp_path, "duct.dwg")

    def test_link_to_itself(self, tmp_path: Path) -> None:
        (tmp_path / "duct.stl").symlink_to(tmp_path / "duct.stl")
        assert "cannot be read" in self.fault(tmp_path, "duct.stl")


class TestParametersSetFromOutside:
    def read(self, tmp_path: Path, **given: float | str) -> float:
        path = tmp_path / "job.yaml"
        path.write_text(HEAD + "parameters: {drop: x, gap: '${drop / 10}'}\nclearance: ${gap}\n" + RUNS)
        return read_job(path, given).clearance_mm

    def test_value_of_the_file_is_not_looked_at(self, tmp_path: Path) -> None:
        assert self.read(tmp_path, drop=50) == 5.0
        assert self.read(tmp_path, drop="5 cm") == 5.0

    def test_unknown(self, tmp_path: Path) -> None:
        with pytest.raises(JobError, match=r":4:1: there is no parameter 'dorp' to set; did you mean 'drop'\?"):
            self.read(tmp_path, drop=3, dorp=3)

    def test_no_value(self, tmp_path: Path) -> None:
        with pytest.raises(JobError, match=r":4:20: 'deep' is no length"):
            self.read(tmp_path, drop="deep")
