"""A search that is stopped while several runs wait: what was looked for and what was not is said of each."""

import pytest
from command_line import run

from pipemodel import story
from pipemodel.checks.ways_in import was_stopped, ways_in
from pipemodel.job.read import job_of_text
from pipemodel.messages.values import Name, message
from pipemodel.ways_in import helped, order, shorten
from pipemodel.ways_in.bring import Brought
from pipemodel.ways_in.plainer import Plainer
from pipemodel.ways_in.refit import Refit
from pipemodel.ways_in.values import IN_PLACE, WayIn

JOB = """
job: two pipes
tube: 15
former: {radius: 55}
bring in: {margin: 2}
room: {back: {face: {at: [0, 500, 0], facing: south}}}
runs:
  flow: {points: [[0, 0, 0], [300, 0, 0], [300, 0, 300]]}
  return: {points: [[0, 100, 0], [300, 100, 0], [300, 100, 300]]}
"""


def test_stopped_at_the_first_of_two_runs_nothing_more_is_looked_for(monkeypatch) -> None:
    asked = []

    def stopped(solved, wanted, opening, obstacles, block, **_):
        asked.append(solved.name)
        why = message("words", words="stopped")
        return Brought(WayIn(solved.name, False, False, why, wanted.margin_mm, None, (), None, 7), stopped=True)

    monkeypatch.setattr(order, "bring", stopped)
    answer = order.find_ways(story.schedule(job_of_text(JOB, "job.yaml")), lambda *_: ((), ()))
    assert asked == ["return"]
    assert answer.stopped
    assert answer.order == ()
    flow, back = answer.ways
    assert (flow.run, flow.found, flow.impossible, flow.tried) == ("flow", False, False, 0)
    assert flow.why_not is not None
    assert flow.why_not.template == "ways in.not looked for"
    assert (back.run, back.tried) == ("return", 7)


def test_what_a_way_is_clear_by_is_never_said_to_be_more(monkeypatch) -> None:
    def found(solved, wanted, opening, obstacles, block, **_):
        way = WayIn(solved.name, True, False, None, wanted.margin_mm, 3.4501, (IN_PLACE,), None, 7)
        return Brought(way)

    monkeypatch.setattr(order, "bring", found)
    report = story.check(job_of_text(JOB, "job.yaml"))
    said = [f.message for f in report.findings if f.code == "I101"]
    assert len(said) == 2
    assert all("at least 3.4 mm clear" in one for one in said)


def test_a_check_that_was_stopped_says_so_by_its_exit_code(monkeypatch, tmp_path) -> None:
    def stopped(solved, wanted, opening, obstacles, block, **_):
        why = message("ways in.not looked for", run=Name(solved.name))
        return Brought(WayIn(solved.name, False, False, why, wanted.margin_mm, None, (), None, 7), stopped=True)

    monkeypatch.setattr(order, "bring", stopped)
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    said = run("check", tmp_path / "job.yaml")
    assert said.code == 130
    assert "I103" in said.out


@pytest.mark.slow
@pytest.mark.parametrize("made", [(shorten, "_skipped"), (Refit, "_stations"), (Plainer, "_changed")])
def test_stopped_while_a_way_is_made_plainer_it_is_given_as_it_is(monkeypatch, made) -> None:
    monkeypatch.setattr(*made, interrupted)
    answer = order.find_ways(story.schedule(job_of_text(JOB, "job.yaml")), lambda *_: ((), ()))
    flow, back = answer.ways
    assert answer.stopped
    assert (back.found, back.least_mm) == (True, back.margin_mm)
    assert flow.tried == 0


def test_stopped_while_help_is_looked_for_no_more_is_said_of_it(monkeypatch) -> None:
    def none(solved, wanted, *_, **_more):
        why = message("ways in.not looked for", run=Name(solved.name))
        return Brought(WayIn(solved.name, False, False, why, wanted.margin_mm, None, (), None, 7))

    monkeypatch.setattr(order, "bring", none)
    monkeypatch.setattr(helped, "help_by", interrupted)
    schedule = story.schedule(job_of_text(JOB, "job.yaml"))
    assert [one.code for one in ways_in(schedule)] == ["I103", "I103"]
    assert was_stopped(schedule)


def interrupted(*_):
    raise KeyboardInterrupt
