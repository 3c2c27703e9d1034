"""Each change in words, from two records that differ in one place: which was before, which is now, by how much."""

import copy
import re
from dataclasses import replace

import pytest
from worked_job import WORKED, worked

from pipemodel.documents.text.changes import changes_text
from pipemodel.messages.say import say
from pipemodel.messages.units import INCHES, MM, units_for
from pipemodel.messages.values import Word, bare, message
from pipemodel.results.changes import changes_between
from pipemodel.results.changes_values import Changes, change, changes_record, read_back


def records(yaml=WORKED):
    """Return the records of schedule and checks, to change."""
    answer = worked(yaml)
    return copy.deepcopy(answer.schedule_record), copy.deepcopy(answer.check_record)


def changes(edit, units=MM, back=False):
    """Return the changes from the worked job to it with one edit, or back."""
    was, now = [dict(zip(("schedule", "check"), records(), strict=True)) for _ in range(2)]
    edit(now)
    was, now = (now, was) if back else (was, now)
    found = changes_between(was["schedule"] | {"check": was["check"]}, now["schedule"], units, now["check"])
    return changes_record(found, units)["changes"]


def said(edit, units=MM, back=False):
    return [change["text"] for change in changes(edit, units, back)]


def setter(value, *way):
    """Return an edit that puts a value at a place of both records."""

    def edit(both):
        holder = both
        for key in way[:-1]:
            holder = holder[key]
        assert holder[way[-1]] != value
        holder[way[-1]] = value

    return edit


RISE = ("schedule", "runs", 0)
ON = "along the tube on north wall (610.5 to the right of the start of the run, 1022.5 from floor)"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("way", "value", "what", "there", "back"),
    [
        (("schedule", "clearance_mm"), 4.0, "clearance", "the clearance asked for changed from 5.0 to 4.0",
         "the clearance asked for changed from 4.0 to 5.0"),
        ((*RISE, "former", "name"), "short bender", "former",
         "run rise: former changed from former of the job to short bender",
         "run rise: former changed from short bender to former of the job"),
        ((*RISE, "former", "radius_mm"), 60.0, "former's radius", "run rise: former's radius changed from 55 to 60",
         "run rise: former's radius changed from 60 to 55"),
        ((*RISE, "bends", 1, "radius_mm"), 60.0, "radius of bend 2", "run rise: radius of bend 2 changed from 55 to 60",
         "run rise: radius of bend 2 changed from 60 to 55"),
        ((*RISE, "bends", 1, "angle_deg"), 88.0, "angle", "run rise: bend 2 changed from 90° to 88°",
         "run rise: bend 2 changed from 88° to 90°"),
        ((*RISE, "bends", 0, "pull_deg"), 94.0, "pull", "run rise: pull of bend 1 changed from 92.8° to 94°",
         "run rise: pull of bend 1 changed from 94° to 92.8°"),
        ((*RISE, "bends", 1, "turn_deg"), -90.0, "turn of the plane",
         "run rise: turn of the plane at bend 2 changed from 90 clockwise to 90 anticlockwise",
         "run rise: turn of the plane at bend 2 changed from 90 anticlockwise to 90 clockwise"),
        ((*RISE, "plan", "pulls", 0, "drawn_mark_mm"), 545.6, "mark", "run rise: mark 1 moved from 565.5 to 545.5",
         "run rise: mark 1 moved from 545.5 to 565.5"),
        ((*RISE, "plan", "pulls", 1, "roll_deg"), 90.0, "turn of the tube",
         "run rise: turn of the tube before pull 2 changed from 90 anticlockwise to 90 clockwise",
         "run rise: turn of the tube before pull 2 changed from 90 clockwise to 90 anticlockwise"),
        ((*RISE, "plan", "pulls", 1, "turn_round"), True, "turn of the tube",
         "run rise: turn of the tube before pull 2 changed from 90 anticlockwise to end for end, 90 anticlockwise",
         "run rise: turn of the tube before pull 2 changed from end for end, 90 anticlockwise to 90 anticlockwise"),
        ((*RISE, "plan", "pulls", 1, "held"), "finish", "order",
         "run rise: order of pulls changed from 1 held by the start, 2 held by the start to 1 held by the start, "
         "2 held by the finish",
         "run rise: order of pulls changed from 1 held by the start, 2 held by the finish to 1 held by the start, "
         "2 held by the start"),
        ((*RISE, "plan", "bender_stands"), "upright", "bender",
         "run rise: the bender now stands upright; take the new cards",
         "run rise: the bender now stands flat; take the new cards"),
        ((*RISE, "ends", "finish", "joins"), "post", "joins at the finish",
         "run rise: joins at the finish changed from nothing to post",
         "run rise: joins at the finish changed from post to nothing"),
        ((*RISE, "ends", "start", "fitting"), "plain", "fitting at the start",
         "run rise: fitting at the start changed from capillary to plain",
         "run rise: fitting at the start changed from plain to capillary"),
        ((*RISE, "finish"), [600.0, -315.0, 1112.0], "finish",
         "run rise: finish end moved from 600, -315, 1100 to 600, -315, 1112",
         "run rise: finish end moved from 600, -315, 1112 to 600, -315, 1100"),
        ((*RISE, "clips", "service"), "gas", "service the clips are for",
         "run rise: service the clips are for changed from water to gas",
         "run rise: service the clips are for changed from gas to water"),
        ((*RISE, "clips", "upright_mm"), 1500.0, "greatest distance of clips on upright tube",
         "run rise: greatest distance of clips on upright tube changed from 1800 to 1500",
         "run rise: greatest distance of clips on upright tube changed from 1500 to 1800"),
        ((*RISE, "clips", "near_fitting_mm"), 250.0, "greatest distance of a clip from a fitting",
         "run rise: greatest distance of a clip from a fitting changed from 300 to 250",
         "run rise: greatest distance of a clip from a fitting changed from 250 to 300"),
        ((*RISE, "clips", "clips", 1, "at_mm"), 1000.0, "clip",
         f"run rise: clip 2 moved from 1109.5 {ON} to 1000 {ON}",
         f"run rise: clip 2 moved from 1000 {ON} to 1109.5 {ON}"),
        ((*RISE, "clips", "unsupported"), [], "without a clip",
         "run rise: without a clip was 1109.5 to 1463.5 along the tube, and is nothing",
         "run rise: without a clip was nothing along the tube, and is 1109.5 to 1463.5"),
        (("check", "verdict"), "pass", "verdict", "the verdict was FAIL and is PASS",
         "the verdict was PASS and is FAIL"),
        (("check", "findings", 4, "severity"), "warning", "finding",
         "what was note is now warning: run 'rise': the back of a bend thins to about 0.61 mm "
         "(estimate); across its middle, it may be 1.20 mm wider one way than the other",
         "what was warning is now note: run 'rise': the back of a bend thins to about 0.61 mm "
         "(estimate); across its middle, it may be 1.20 mm wider one way than the other"),
    ],
)  # fmt: skip
def test_one_place_changed_is_one_change_there_and_back(way, value, what, there, back):
    (change,) = changes(setter(value, *way))
    assert (change["what"], change["text"]) == (what, there)
    (returned,) = changes(setter(value, *way), back=True)
    assert (returned["what"], returned["text"]) == (what, back)
    assert (returned["from"], returned["to"]) == (change["to"], change["from"])
    # Whether it is turned end for end is in the text; from and to give the roll.
    assert change["from"] != change["to"] or way[-1] == "turn_round"
    # The verdict, the clearance and what is in the room are the job's, all else a run's.
    of_the_job = what in ("verdict", "clearance")
    assert change["run"] == (None if of_the_job else "rise")
    numbered = {"angle": 2, "pull": 1, "turn of the plane": 2, "mark": 1, "turn of the tube": 2}
    assert change["bend"] == numbered.get(what)


def test_what_came_and_what_is_gone():
    def other(both):
        both["schedule"]["runs"][1]["name"] = "spur"

    assert said(other) == ["run stub is gone", "run spur is new"]
    assert said(other, back=True) == ["run spur is gone", "run stub is new"]

    def no_clash(both):
        gone = both["check"]["findings"].pop(0)
        assert gone["code"] == "C102"

    words = "error: run 'rise' comes within 3 mm of 'post', 1190 mm from the start end, in bend 2; "
    words += "6 mm is asked for; moving bend 2 by 3 mm west clears it"
    assert said(no_clash) == [f"gone, {words}"]
    assert said(no_clash, back=True) == [f"new, {words}"]

    def shed(both):
        for distance in both["check"]["distances"]:
            distance["against"] = distance["against"].replace("floor", "shed")

    assert said(shed) == ["floor is gone from the room", "shed is new in the room"]


def test_clips_by_their_number():
    def one(both):
        both["schedule"]["runs"][0]["clips"]["clips"].pop()

    def none(both):
        both["schedule"]["runs"][0]["clips"]["clips"].clear()

    def unasked(both):
        both["schedule"]["runs"][0]["clips"] = None

    assert said(one) == ["run rise: 2 clips became 1 clip; see the clip list"]
    assert said(one, back=True) == ["run rise: 1 clip became 2 clips; see the clip list"]
    assert said(none) == ["run rise: 2 clips became no clips; see the clip list"]
    bare = "run rise: without a clip was"
    assert said(unasked) == [
        "run rise: 2 clips became no clips; see the clip list",
        f"{bare} 1109.5 to 1463.5 along the tube, and is nothing",
    ]


def distances(both, run, against):
    return next(d for d in both["check"]["distances"] if (d["run"], d["against"]) == (run, against))


@pytest.mark.parametrize(
    ("against", "key", "value", "words"),
    [
        # 3.0 to the post, asked 6.0; 492.5 to the floor.
        ("post", "distance_mm", 4.5, "run rise: the distance to post changed from 3.0 to 4.5"),
        ("post", "distance_mm", 3.04, None),
        ("post", "distance_mm", 200.0, "run rise: the distance to post changed from 3.0 to 200.0"),
        ("floor", "distance_mm", 99.0, "run rise: the distance to floor changed from 492.5 to 99.0"),
        ("floor", "distance_mm", 480.0, "1 distance over 100.0 changed"),
        ("post", "required_mm", 8.0, "run rise: the distance asked for to post changed from 6.0 to 8.0"),
        ("post", "required_mm", 6.04, None),
    ],
)
def test_distances_near_one_by_one_and_far_ones_counted(against, key, value, words):
    def edit(both):
        distances(both, "rise", against)[key] = value

    assert said(edit) == ([] if words is None else [words])

    def two(both):
        for run in ("rise", "stub"):
            distances(both, run, "floor")["distance_mm"] += 20.0

    assert said(two) == ["2 distances over 100.0 changed"]


def test_in_inches():
    # 565.6 mm is 22.268 in; 591 mm is 23.268.
    assert said(setter(591.0, *RISE, "plan", "pulls", 0, "drawn_mark_mm"), INCHES) == [
        "run rise: mark 1 moved from 22 1/4 (22.27) to 23 1/4 (23.27)"
    ]
    # 12.7 mm is half an inch, 5 mm 0.197.
    assert said(setter(12.7, "schedule", "clearance_mm"), INCHES) == [
        "the clearance asked for changed from 0.20 to 0.50"
    ]


def test_a_change_too_small_for_the_papers_is_none():
    assert said(setter(565.7, *RISE, "plan", "pulls", 0, "drawn_mark_mm")) == []
    assert said(setter(90.04, *RISE, "bends", 0, "angle_deg")) == []
    assert said(setter([600.0, -315.0, 1100.2], *RISE, "finish")) == []
    assert said(lambda both: None) == []


def test_a_run_with_other_bends_is_marked_again_and_no_more_is_said():
    def edit(both):
        run = both["schedule"]["runs"][0]
        run["bends"].pop()
        run["bends"][0]["angle_deg"] = 45.0

    assert said(edit) == ["run rise: 2 bends became 1; mark the tube again"]
    assert said(edit, back=True) == ["run rise: 1 bends became 2; mark the tube again"]


def test_an_order_that_no_longer_works():
    def edit(both):
        both["schedule"]["runs"][0]["plan"]["pulls"].clear()

    # Without a plan the marks are those of a tube held by its start, as they were.
    there = "1 held by the start, 2 held by the start"
    assert said(edit) == [f"run rise: order of pulls changed from {there} to none that works"]
    assert said(edit, back=True) == [f"run rise: order of pulls changed from none that works to {there}"]


@pytest.mark.parametrize(
    ("was", "now", "n", "compared", "words"),
    [
        ("A", "B", 2, True, "2 changes from revision A to revision B."),
        (None, "B", 1, True, "1 change from the earlier pack to revision B."),
        ("A", None, 0, True, "No changes from revision A."),
        (None, None, 3, False,
         "3 changes from the earlier pack. Of the schedule only: there was no check.json of the same job beside the "
         "earlier schedule.json."),
    ],
)  # fmt: skip
def test_since_when(was, now, n, compared, words):
    one = change(None, "thing", None, "there", "gone", message("changes.nothing"))
    assert str(Changes("worked", was, now, compared, (one,) * n).since) == words


def test_the_page_of_changes():
    was, now = worked(), worked(WORKED.replace("job: worked", "job: worked\nrevision: B"))
    earlier = copy.deepcopy(was.schedule_record) | {"check": was.check_record}
    changes = changes_between(earlier, now.schedule_record, MM, now.check_record)
    record = changes_record(changes, MM)
    assert (record["job"], record["from_revision"], record["to_revision"]) == ("worked", None, "B")
    assert record["checks_compared"] is True
    assert changes_text(changes).splitlines() == [
        "What changed: worked", "====================", "No changes from the earlier pack to revision B.",
    ]  # fmt: skip
    gone = change("stub", "run", None, "there", "gone", message("changes.run gone", run=bare("stub")))
    assert changes_text(replace(changes, changes=(gone,))).splitlines()[2:] == [
        "1 change from the earlier pack to revision B.", "", "  - run stub is gone",
    ]  # fmt: skip
    assert changes_between(was.schedule_record, now.schedule_record, MM, now.check_record).checks_compared is False


def in_german(edit):
    """Return the changes from the worked job to it with one edit, in German."""
    was, now = [dict(zip(("schedule", "check"), records(), strict=True)) for _ in range(2)]
    edit(now)
    changes = changes_between(was["schedule"] | {"check": was["check"]}, now["schedule"], MM, now["check"])
    return [say(change.said, units_for("mm", "de")) for change in changes.changes]


def test_what_a_record_holds_as_english_text_is_read_back():
    """Where a clip is measured from, names of tubes and formers: a record has them as sentences, not as values."""
    on = "entlang des Rohrs auf north wall (610,5 rechts vom Anfang der Leitung, 1022,5 von floor)"
    clip = setter(1000.0, *RISE, "clips", "clips", 1, "at_mm")
    assert in_german(clip) == [f"Leitung rise: Schelle 2 verschoben von 1109,5 {on} nach 1000 {on}"]
    former = setter("former of radius 55 mm", *RISE, "former", "name")
    changed = "Leitung rise: Biegematrize geändert von Biegematrize des Auftrags auf"
    assert in_german(former) == [f"{changed} Biegematrize mit Radius 55 mm"]
    assert in_german(setter("15 mm spring", *RISE, "former", "name")) == [f"{changed} Biegefeder 15 mm"]
    assert in_german(setter("mine", *RISE, "former", "name")) == [f"{changed} mine"]
    (tube,) = in_german(setter("nobody's tube", *RISE, "tube", "name"))
    assert re.fullmatch(r"Leitung rise: Rohr geändert von 15 x 0,7( Kupfer)? auf nobody's tube", tube)


@pytest.mark.parametrize(
    ("english", "template", "values"),
    [
        ("from the inside corner of the shed", "tape.inside corner", {"thing": "the shed"}),
        ("from the left edge of wall", "tape.edge", {"side": "left", "thing": "wall"}),
        # No edge is called wide: what is measured from is a thing of that name.
        ("from the wide edge of wall", "tape.from", {"thing": "the wide edge of wall"}),
        ("above the start of the run", "tape.of start", {"side": "above"}),
        # What somebody named stays what it is called, though our tables have that word.
        ("from note", "tape.from", {"thing": "note"}),
        ("beside the start of the run", None, {}),
        ("from ", None, {}),
        ("", None, {}),
    ],
)
def test_a_sentence_of_a_record_gives_back_its_template_or_nothing(english, template, values):
    found = read_back(english, ("tape.inside corner", "tape.edge", "tape.of start", "tape.from"))
    wanted = {name: Word(value) if name == "side" else bare(value) for name, value in values.items()}
    assert found == (template and message(template, **wanted))
    assert found is None or str(found) == english


def test_a_finding_of_another_version_is_said_as_it_was_written():
    def edit(both):
        both["check"]["findings"][0] |= {"template": "clash.long gone", "message": "run 'rise' is odd"}

    assert in_german(edit) == ["anders als zuvor: run 'rise' is odd"]
