"""What is wrong with a job file, in German: the same places and figures as in English, and no English word left."""

import ast
import re
from pathlib import Path

import pytest
from command_line import LEAST, TOO_TIGHT, run

from pipemodel.bending.schedule import solve
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text

ENGLISH = re.compile(r"\b(the|this|is|are|of|and|not|must|write|here|there|leave|has|more|too|lacks|did)\b")
FIGURE = re.compile(r"-?\d+(?:\.\d+)?")


def figures(line):
    """The figures of a line, its decimals behind a point or a comma."""
    return FIGURE.findall(re.sub(r"(\d),(\d)", r"\1.\2", line))


ROUTE = LEAST[: LEAST.index("    points")] + "    start: [0, 0, 0]\n    route: [ITEMS]\n"
MEASURED = """\
job: x
tube: 15
measured:
  points: {A: [0, 0, 0], B: [1200, 0, 0], C: POINT}
  readings: [READINGS]
WALLSruns: {r: {points: [A, C]}}
"""


BOTH = "{points: [A, C], reads: 1500}, {points: [B, C], reads: 900}"


def measured(point="{z: 0, side: north}", readings=BOTH, walls=""):
    """A job with a point C that is found by tape."""
    walls = f"  walls: {walls}\n" if walls else ""
    return MEASURED.replace("POINT", point).replace("READINGS", readings).replace("WALLS", walls)


RUNS = LEAST[LEAST.index("runs:") :]
IN_ROOM = LEAST[: LEAST.index("runs:")]
FAULTS = {
    "key": (LEAST.replace("clearance", "clearence"),
            "unbekannter Schlüssel „clearence“; ist „clearance“ gemeint?"),
    "keys": (LEAST.replace("diameter: 50", "colour: 50"), "die Schlüssel hier sind"),
    "missing": (LEAST.replace(", diameter: 50", ""), "es fehlt „diameter“"),
    "unit": (LEAST.replace("radius: 55", "radius: 55 furlong"), "ist hier keine Einheit einer Länge"),
    "comma": (LEAST.replace("[600, 0, 0]", "['600,5', 0, 0]"), "einen Dezimalpunkt nehmen: 600.5"),
    "fraction": (LEAST.replace("radius: 55", "radius: 2 1/8"), "2 1/8 in schreiben"),
    "length": (LEAST.replace("radius: 55", "radius: wide"), "„wide“ ist keine Länge"),
    "empty": (LEAST.replace("radius: 55", "radius: "), "ein leerer Wert ist keine Länge"),
    "far": (LEAST.replace("[600, 0, 0]", "[1e12, 0, 0]"), "keine Länge geht hier über 1.000.000.000 mm"),
    "point": (LEAST.replace("[600, 0, 0]", "[600, 0]"), "ein Punkt sind drei Längen, [x, y, z]; hier sind es 2"),
    "group": (LEAST.replace("runs:", "clips: 7\nruns:"),
              "hier gehört eine Gruppe von Schlüsseln hin, nicht 7"),
    "formula": (LEAST.replace("[600, 0, 0]", "['${drop', 0, 0]"), "'${' ohne seine '}'"),
    "parameter": (LEAST.replace("[600, 0, 0]", "['${drop}', 0, 0]"), "es gibt keinen Parameter „drop“"),
    "by zero": (LEAST.replace("[600, 0, 0]", "['${1/0}', 0, 0]"), "teilt durch null"),
    "twice": (LEAST + "clearance: 6\n",
              "„clearance“ kommt zweimal vor (zuerst in Zeile 4); eines weglassen"),
    "bracket": (LEAST.replace("[600, 400, 350]]", "[600, 400, 350]"), "schließende ']'"),
    "tab": (LEAST.replace("  return", "\treturn"), "ein Tabulator; mit Leerzeichen einrücken"),
    "heading": (ROUTE.replace("ITEMS", "{go: 600}"), "hat noch keine Richtung; mit einer beginnen"),
    "right": (ROUTE.replace("ITEMS", "{right: 600}"), "auf welcher Seite man steht, etwa seen from: south"),
    "bend": (ROUTE.replace("ITEMS", "{east: 600}, {turn: up}"), "die Leitung endet in einem Bogen"),
    "bends": (ROUTE.replace("ITEMS", "{east: 600}, {turn: up}, {turn: north}, {go: 300}"), "liegt kein Schenkel"),
    "short": (ROUTE.replace("ITEMS", "{east: 100}, {up: 60}, {north: 200}"), "seine Bögen brauchen"),
    "behind": (ROUTE.replace("ITEMS", "{east: -100}"), "liegt hinter ihm"),
    "no face": (LEAST + "    clips: {face: waste pipe}\n", "hat keine ebene Fläche für eine Schelle"),
    "no thing": (LEAST + "    clips: {face: boxin}\n",
                 "es gibt im Raum nichts mit dem Namen „boxin“; ist „boxing“ gemeint?"),
    "no join": (LEAST + "    ends: {start: {joins: boiler}}\n", "„boiler“; es gibt „waste pipe“, „boxing“"),
    "joins itself": (LEAST + "    ends: {start: {joins: return}}\n", "mündet nicht in sich selbst"),
    "start": (LEAST + "    ends: {start: {within: {sideways: 5, along: 9}}}\n", "within unter finish schreiben"),
    "no level": (ROUTE.replace("ITEMS", "{up: {to level: attic}}"),
                 "es gibt keine Höhe „attic“; es gibt noch nichts"),
    "no wall": (LEAST.replace("[600, 0, 0]", "{wall: north, along: 5}"), "es gibt im Raum keine Wand „north“"),
    "no run": (IN_ROOM + "rules: [{set: NHBC 2020, runs: [retur]}]\n" + RUNS,
               "es gibt keine Leitung „retur“; ist „return“ gemeint?"),
    "no opening": (LEAST + "bring in: {through: hatch}\n", "es gibt keine Öffnung „hatch“; es gibt noch nichts"),
    "rules": (IN_ROOM + "rules: [NHBC 2020, NHBC 2020]\n" + RUNS, "gibt es schon; einmal nennen"),
    "sleeve": (IN_ROOM + "  s: {sleeve: {in: wal, at: [0, 0, 0], diameter: 30, for: [return]}}\n" + RUNS,
               "es gibt keine Wand und keine Decke „wal“"),
    "hands": (LEAST + "hands: {mark: 500}\n", "mm liegt keine Hand daneben"),
    "hands by": (LEAST + "hands: {by: Jo}\n", "by sagt, wessen Stücke einer Datei gelten"),
    "no history": (LEAST + "learned: bends.yaml\n", "weglassen, bis pipemodel learn sie angelegt hat"),
    "not tied": (measured(readings="{points: [A, C], reads: 1500}"), "C ist lose: x und y brauchen 2 Messungen"),
    "two places": (measured(point="{z: 0}"), "kann bei [1200, -900, 0] oder [1200, 900, 0] liegen"),
    "do not meet": (measured(readings=BOTH.replace("1500", "2500")), "treffen sich nicht"),
    "no point": (measured(readings=BOTH.replace("A, C", "A, Q")),
                 "es gibt keinen Messpunkt „Q“; es gibt „A“, „B“, „C“"),
    "no other wall": (measured(walls="{north: {through: [A, C], square_to: west}}"),
                      "es gibt keine andere Wand „west“"),
    "no bend": (ROUTE.replace("ITEMS", "{east: 600}, {turn: east}"), "das Rohr geht schon nach east"),
    "turns back": (ROUTE.replace("ITEMS", "{east: 600}, {turn: west}"),
                   "also kehrte es hier um; für einen Umkehrbogen die Seite"),
    "set": (ROUTE.replace("ITEMS", "{east: 600}, {set: {offset: 60, to: north}}, {go: 300}"),
            "eine Etage braucht entweder einen Winkel"),
    "small set": (ROUTE.replace("ITEMS", "{east: 600}, {set: {offset: 10, to: north, angle: 60}}, {go: 300}"),
                  "zwei Bögen von 60 Grad um 55 versetzen das Rohr um mindestens 55,0"),
    "no passover": (ROUTE.replace("ITEMS", "{east: 600}, {pass over: {thing: boxing, gap: 5, bends: 5, angle: 30}}"),
                    "ein Überbogen hat 3 oder 4 Bögen, nicht 5"),
    "along": (ROUTE.replace("ITEMS", "{up: 99}, {set: {clear: waste pipe, gap: 5, to: up, angle: 30}}, {go: 9}"),
              "liegt in der Richtung des Rohrs, das hier up läuft"),
    "two ways": (ROUTE.replace("ITEMS", "{east: 600}") + "    points: [[0, 0, 0], [5, 0, 0]]\n",
                 "diese hat points und start"),
    "flat box": (LEAST.replace("[900, 160, 400]", "[900, 100, 400]"), "der Quader hat entlang y"),
    "two shapes": (LEAST.replace("  boxing: ", "  w: {stack: {at: [0, 0], from: 0, to: 9, diameter: 9}, "
                                 "box: {from: [0, 0, 0], to: [1, 1, 1]}}\n  boxing: "), "ein Ding ist eines von"),
    "outline": (LEAST.replace("runs:", "  p: {extrusion: {outline: [[0, 0], [9, 9], [9, 0], [0, 9]], "
                              "from: 0, to: 5}}\nruns:"),
                "der Umriss kreuzt oder berührt sich selbst: die Seite ab Ecke"),
    "wall faces": (LEAST.replace("runs:", "  w: {wall: {from: [0, 0], to: [9, 0], facing: east, thickness: 1, "
                                 "height: 9}}\nruns:"), "eine Wand sieht zu einer Seite ihrer Linie"),
    "no bore": (LEAST.replace("wall: 0.7", "wall: 8"), "lässt in einem Rohr von 15 keinen Hohlraum"),
    "springback": (LEAST.replace("radius: 55", "radius: 55, springback: {per_degree: 5}"),
                   "eine Rückfederung von 5 je Grad"),
    "corner": (TOO_TIGHT, "ihre Bögen brauchen aber 110,0000 dazwischen"),
    "back": (LEAST.replace("[600, 400, 0]", "[100, 0, 0]"), "bei Punkt 2 läuft die Leitung in sich zurück"),
    "slight": (LEAST.replace("[600, 400, 350]", "[604, 900, 0]"), "zu klein zum Biegen"),
    "no such bend": (LEAST + "jig: {bends: [1, 9]}\n", "einen Bogen 9 gibt es nicht"),
    "tube": (LEAST.replace("tube: {outside: 15, wall: 0.7}", "tube: 16.5"), "am nächsten kommen"),
    "odd tube": (LEAST.replace("tube: {outside: 15, wall: 0.7}", "tube: 15 of tin"), "'15 x 1.0'"),
    "former": (LEAST.replace("former: {radius: 55}", "former: nonsuch"), "keine Biegematrize „nonsuch“"),
    "radius": (LEAST.replace("radius: 55", "radius: 5"), "der Radius der Mittellinie muss größer sein"),
    "tight": (LEAST.replace("tube: {outside: 15, wall: 0.7}", "tube: 15").replace("radius: 55", "radius: 20"),
              "ist kleiner, als"),
    "ring": (LEAST + "  a: {beside: {run: b, gap: 40}}\n  b: {beside: {run: a, gap: 40}}\n",
             "die neben dieser liegt"),
    "fitting": (LEAST + "    ends: {start: {fitting: elbow, to: centre, depth: 9, centre_to_stop: 700}}\n",
                "der Schenkel am Anfang ist bis zur Mitte"),
    "clips": (LEAST + "clips: {service: steam}\n", "keine Schellenabstände bekannt"),
    "reach": (LEAST + "reach: yes\n", "der Auftrag hat keine Öffnungen"),
    "filled": (LEAST + "openings: {o: {corners: [[750, 110, 50], [850, 110, 50], [850, 110, 90], [750, 110, 90]], "
               "outside: [800, 900, 70]}}\n", "ist kein Loch: „boxing“ füllt sie aus"),
    "in the air": (LEAST + "openings: {o: {corners: [[0, 900, 0], [90, 900, 0], [90, 900, 90], [0, 900, 90]], "
                   "outside: [50, 1900, 50]}}\n", "berührt nichts"),
    "fall": (LEAST + "    fall: steep\n", "ist kein Gefälle; ein Gefälle schreiben wie 1 in 80"),
    "no job": ("5\n", "ein Auftrag ist eine Gruppe von Schlüsseln"),
    "nothing": ("", "die Datei ist leer"),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_said_in_german_at_the_same_place_with_the_same_figures(name):
    text, words = FAULTS[name]
    with pytest.raises(JobError) as raised:
        solve(job_of_text(text, "job.yaml"))
    english, german = raised.value.lines("en"), raised.value.lines("de")
    assert any(words in line for line in german), german
    assert len(english) == len(german)
    for one, other in zip(english, german, strict=True):
        assert one.split(" ")[0] == other.split(" ")[0]
        assert figures(one.replace(",000", "")) == figures(other.replace(".000", ""))
        # What a key holds is quoted in brackets, and what somebody wrote in quotes.
        assert not ENGLISH.search(re.sub(r"\(.*?\)|„.*?“|'.*?'", "", other.split(" ", 1)[1])), other
    assert str(raised.value) == "\n".join(english)


def test_the_command_line_wins_over_the_job_and_the_job_over_nothing(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(LEAST.replace("clearance", "clearence"))
    english, german = "did you mean 'clearance'?", "ist „clearance“ gemeint?"
    assert english in run("check", path).err
    for command in (("check",), ("schedule",), ("make", "--out", tmp_path / "out", "--only", "txt"), ("cut",)):
        assert german in run(*command, path, "--language", "de").err
    path.write_text("language: de\n" + path.read_text())
    assert german in run("schedule", path).err
    assert english in run("schedule", path, "--language", "en").err
    missing = run("check", tmp_path / "other.yaml", "--language", "de")
    assert (missing.code, "diese Datei gibt es nicht" in missing.err) == (2, True)
    # What one command was asked is not kept for the next.
    assert "there is no such file" in run("check", tmp_path / "other.yaml").err


def test_what_a_job_refuses_is_a_message():
    """No sentence is written out where it is raised: it would be English in every language."""
    home = Path(job_of_text.__code__.co_filename).parent
    whole = ["job/routing", "job/building", "job/room_forms.py", "job/outline.py", "job/build_openings.py"]
    whole += ["job/build_routes.py", "job/build_find.py", "job/build_ends.py", "bending/bends.py"]
    whole += ["bending/corner_faults.py", "trade/fittings.py", "trade/tubes.py", "trade/formers.py"]
    files = [file for name in whole for file in [home.parent / name, *(home.parent / name).glob("*.py")]]
    written, raised = [], 0
    for file in (file for file in files if file.is_file()):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and (called(node) in NOTED or called(node).endswith("Error")):
                raised += 1
                texts = [one.value if isinstance(one, ast.Constant) else one for one in node.args]
                written += [(file.name, node.lineno) for one in texts if isinstance(one, str | ast.JoinedStr)]
    assert written == []
    assert raised > 120


NOTED = {"at", "once", "Fault", "CornerFault"}


def called(call):
    """The name that a call is made by, without what it is an attribute of."""
    return getattr(call.func, "attr", None) or getattr(call.func, "id", "")
