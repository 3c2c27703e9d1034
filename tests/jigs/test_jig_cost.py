"""What the choice between ways up weighs: of two jigs with as much plastic the one on longer posts is the worse."""

from types import SimpleNamespace

from pipemodel.jigs import plan
from pipemodel.job.jig import JigSettings


def cost(seats, monkeypatch):
    monkeypatch.setattr(plan, "tower_plastic", lambda tower, settings: 1000.0)
    towers = [SimpleNamespace(seat=seat, cradle=SimpleNamespace(stop=None)) for seat in seats]
    axis = SimpleNamespace(legs=[SimpleNamespace(direction=(1.0, 0.0, 0.0))])
    layout = SimpleNamespace(towers=towers, unjudged=(), lone=(), axis=axis)
    return plan._cost(layout, SimpleNamespace(bars=()), JigSettings())


def test_longer_posts_make_a_jig_worse(monkeypatch):
    none, short, long = (cost(seats, monkeypatch) for seats in ((0.0, 0.0), (100.0, 100.0), (100.0, 300.0)))
    assert none < short < long
    assert long - short == (short - none)
