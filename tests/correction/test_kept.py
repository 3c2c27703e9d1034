"""What is kept of a piece whose checks were read, held against pieces bent and read by the tests' own bench."""

from contextlib import suppress
from dataclasses import replace

import numpy as np
import pytest
import yaml
from bent_and_read import Hands, Made
from made_answers import answer, cases, readings_after
from wide import few_or_many

from pipemodel.bending.schedule import Schedule
from pipemodel.calibration.finished_piece import PieceFacts
from pipemodel.correction.kept import is_of_checks, records_of_checks
from pipemodel.job import model
from pipemodel.job.model import Job, JobError
from pipemodel.learning.learned import learned_hands
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.plan import plan_pulls


def named(solved):
    """The run with a former that has a name of its own, for each offset of its mark."""
    former = replace(solved.former, name=f"mine, marked {solved.former.mark_mm:g}")
    return replace(solved, run=replace(solved.run, former=former))


def kept(folder, solved, blocks, hands=(1.0, 1.0, 1.0)):
    path = folder / "readings.yaml"
    path.write_text(yaml.safe_dump(blocks))
    assert is_of_checks(path)
    run = named(solved)
    schedule = Schedule(Job("made", (run.run,), hands=model.Hands(*hands)), (run,))
    return records_of_checks(path, schedule, run, cards_of(run, plan_pulls(run)), PieceFacts())


def bent_and_kept(folder, hands, seeds):
    """For pieces bent by hands and read after every pull: the records, and each bend as it really is."""
    for seed, (solved, run) in enumerate(cases(seeds)):
        random = np.random.default_rng(seed)
        made, pulls = Made(run), run["plan"]["pulls"]
        made.follow(pulls, Hands(random, len(run["bends"]), *hands))
        blocks = [readings_after(made, pulls[:j], random, digits=3) for j in range(1, len(pulls) + 1)]
        # Now and then true readings look as if one of them were wrong; then it is to be taken again.
        with suppress(JobError):
            yield kept(folder, solved, blocks, hands), made, run


@pytest.mark.slow
def test_what_is_kept_is_what_was_bent_as_surely_as_it_says(tmp_path):
    """Angle and start lie within 2 of their standard deviations about 19 times in 20."""
    off = {"angle": [], "start": []}
    for rows, made, _ in bent_and_kept(tmp_path, (1.0, 1.0, 1.0), range(few_or_many(24, 400))):
        for row in rows:
            start, angle, *_ = made.bends[row.bend]
            if row.got_deg is not None:
                off["angle"].append((row.got_deg - angle) / row.got_sd)
            if row.start_mm is not None:
                off["start"].append((row.start_mm - start) / row.start_sd)
    for what, found in off.items():
        assert len(found) > 15, what
        assert np.mean(np.abs(found) <= 2.0) > 0.88, what


@pytest.mark.slow
@pytest.mark.parametrize("hands", [(0.7, 0.7, 1.0), (2.0, 2.0, 3.0)])
def test_the_hands_are_found_that_bent(tmp_path, hands):
    pieces = [rows for rows, *_ in bent_and_kept(tmp_path, hands, range(few_or_many(24, 200)))]
    assert len(pieces) > 8
    rows = [row for piece in pieces for row in piece]
    found = learned_hands(rows)
    assert found.angle.value == pytest.approx(hands[1], rel=0.35)
    assert found.mark.value == pytest.approx(hands[0], rel=0.5)


def bent_by_corrected_cards(run, random, hands, record_of):
    """A piece bent pull by pull, each by the answer to what was read after the one before; with the file of readings.

    Returns the piece and the file; None where the answer is another way out.
    """
    made, pulls, file = Made(run), run["plan"]["pulls"], []
    rows, to_do, corrected = run["bends"], pulls, False
    for k, pull in enumerate(pulls):
        planes, bend = np.cumsum([row["turn_deg"] for row in rows]), pull["bend"] - 1
        card = to_do[0]
        if (card["bend"], card["held"]) != (pull["bend"], pull["held"]):
            return None
        last = pulls[k - 1]["bend"] - 1 if k else None
        # The new inside line is drawn from that of the bend pulled last, as it really lies on the tube.
        plane = planes[bend] if last is None else made.bends[last + 1][2] + planes[bend] - planes[last]
        errors = [float(random.normal(0.0, sd)) for sd in hands]
        made.pull(bend + 1, pull["held"], rows[bend]["start_mm"], rows[bend]["angle_deg"], plane, *errors)
        file.append({**readings_after(made, pulls[: k + 1], random, digits=3), "corrected": corrected})
        answered = record_of(file)
        if answered["verdict"] not in ("go on", "change"):
            return None if k + 1 < len(pulls) else (made, file)
        rows, to_do, corrected = answered["bends"], answered["pulls"], True
    return made, file


@pytest.mark.slow
def test_pieces_bent_by_corrected_cards_teach_as_well(tmp_path):
    """Angle and start are those really bent, and what was asked for is what the corrected card said."""
    off, by_corrected = {"angle": [], "start": []}, 0
    for seed, (solved, run) in enumerate(cases(range(few_or_many(14, 400)))):
        pulls = run["plan"]["pulls"]
        random = np.random.default_rng(seed)
        made = bent_by_corrected_cards(run, random, (1.0, 0.5, 1.0), lambda file, s=solved: answer(s, file))
        if len(pulls) < 2 or made is None:
            continue
        piece, file = made
        with suppress(JobError):
            rows = kept(tmp_path, solved, file, (1.0, 0.5, 1.0))
            by_corrected += sum(row.bend != pulls[0]["bend"] for row in rows)
            for row in rows:
                start, angle, *_ = piece.bends[row.bend]
                if row.got_deg is not None:
                    off["angle"].append((row.got_deg - angle) / row.got_sd)
                    # The card's pull springs back to the card's angle: per_degree 0.05 and 1.5 of these formers.
                    assert row.pulled_deg == pytest.approx(row.angle_deg * 1.05 + 1.5, abs=1e-3)
                if row.start_mm is not None:
                    off["start"].append((row.start_mm - start) / row.start_sd)
    assert by_corrected > 2
    for what, found in off.items():
        assert len(found) > 3, what
        assert np.mean(np.abs(found) <= 2.5) > 0.85, what


def test_the_angle_of_a_bend_that_was_pulled_on_is_not_kept(tmp_path):
    [(solved, run), *_] = [case for case in cases(range(30)) if len(case[1]["plan"]["pulls"]) >= 3]
    made, pulls = Made(run), run["plan"]["pulls"]
    made.follow(pulls[:1], Hands(np.random.default_rng(1), len(run["bends"]), 0.1, 0.1, 0.1))
    made.bends[pulls[0]["bend"]] = (lambda s, a, p, r: (s, a - 4.0, p, r))(*made.bends[pulls[0]["bend"]])
    short = readings_after(made, pulls[:1], digits=3)
    short["readings"] = {
        check: value if isinstance(value, str) else [value, value] for check, value in short["readings"].items()
    }
    assert answer(solved, short)["verdict"] == "pull on"
    made.bends[pulls[0]["bend"]] = (lambda s, a, p, r: (s, a + 4.0, p, r))(*made.bends[pulls[0]["bend"]])
    on = readings_after(made, pulls[:1], digits=3)
    rows = kept(tmp_path, solved, [short, {**on, "corrected": True}])
    assert all(row.got_deg is None for row in rows if row.bend == pulls[0]["bend"])
    [plain] = [row for row in kept(tmp_path, solved, on) if row.bend == pulls[0]["bend"]]
    assert plain.got_deg is not None


def test_readings_that_contradict_each_other_are_named_and_nothing_is_kept(tmp_path):
    [(solved, run), *_] = cases(range(20), bends=1)
    made, pulls = Made(run), run["plan"]["pulls"]
    made.follow(pulls, Hands(np.random.default_rng(1), 1, 0.0, 0.0, 0.0))
    block = readings_after(made, pulls, digits=3)
    lengths = [c["id"] for c in pulls[0]["checks"] if c["unit"] == "mm" and c["value"] > 100]
    block["readings"][lengths[0]] += 25.0
    with pytest.raises(JobError) as caught:
        kept(tmp_path, solved, block)
    [line] = caught.value.lines()
    assert "readings.yaml:" in line
    assert f"{lengths[0]} " in line
    assert "erst noch einmal messen und beide Werte angeben" in caught.value.lines("de")[0]


def test_the_angle_of_a_flattened_bend_is_not_kept(tmp_path):
    """More than 8 % of the outside: the guide was not in, and the former is not to blame."""
    [(solved, run), *_] = cases(range(20), bends=1)
    made, pulls = Made(run), run["plan"]["pulls"]
    made.follow(pulls, Hands(np.random.default_rng(1), 1, 0.0, 0.0, 0.0))
    block, most = readings_after(made, pulls, digits=3), 0.08 * solved.tube.outside_mm
    (caliper,) = [check["id"] for check in pulls[0]["checks"] if "caliper" in check["kind"]]
    for by, has in ((most - 0.01, True), (most + 0.01, False)):
        block["readings"][caliper] = by
        (row,) = kept(tmp_path, solved, block)
        assert (row.got_deg is not None) == has
