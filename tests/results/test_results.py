"""Each thing that is known of a job is worked out once, however many papers are written from it."""

from collections import Counter

import pytest
import worked_job

from pipemodel import story
from pipemodel.checks import supports
from pipemodel.cutting import cuts
from pipemodel.drawing import pull_drawing
from pipemodel.messages.units import MM
from pipemodel.results import pieces
from pipemodel.results.paper_options import PaperOptions


def counted(monkeypatch, module, name, key):
    """Count the calls of a function by what it is asked about."""
    calls, real = Counter(), getattr(module, name)

    def counting(*given, **named):
        calls[key(*given)] += 1
        return real(*given, **named)

    monkeypatch.setattr(module, name, counting)
    return calls


@pytest.mark.slow
def test_make_works_everything_out_once(monkeypatch, tmp_path):
    clips = counted(monkeypatch, supports, "plan_clips", lambda solved, things: solved.name)
    cards = counted(monkeypatch, pieces, "cards_of", lambda solved, plan: solved.name)
    figures = counted(monkeypatch, pieces, "run_text", lambda solved, plan, units: solved.name)
    cutting = counted(monkeypatch, cuts, "_planned", lambda schedule: "job")
    drawn = counted(monkeypatch, pull_drawing, "pull_pictures", lambda solved, card, _: (solved.name, card.pull.number))
    path = tmp_path / "worked.yaml"
    path.write_text(worked_job.SHORT_STOCK, encoding="utf-8")
    results = story.results(story.read(path, {}, False), paper_options=PaperOptions(MM))
    files = story.write(results, tmp_path / "out", ["json", "txt", "csv", "xlsx", "md", "cuts", "pulls", "html", "pdf"])
    assert len(files) >= 10
    assert {"rise", "stub"} <= set(clips)
    assert set(clips.values()) == {1}
    # The record of the schedule has the cards of a jointed run as a whole as well as of its pieces.
    assert cards == {"rise": 1, "rise piece 1": 1, "rise piece 2": 1, "stub": 1}
    assert set(figures) == set(cards)
    assert set(figures.values()) == {1}
    assert cutting == {"job": 1}
    assert drawn == {(piece.name, card.pull.number): 1 for piece in results.pieces for card in piece.cards}
