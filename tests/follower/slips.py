"""The mistakes of a hand, made one at a time at the bench, and which of a card's checks would show each.

The cards before are done right; at one card something goes wrong; then what the card says must be true is measured on
the piece that came out. A mistake is missed when every check reads as printed, to the accuracy it is read to.
"""

from copy import deepcopy
from dataclasses import dataclass

from follower.bench import Bench, WrongStepError
from follower.cards import ROLL, Worker, length_of
from follower.shape import compare

SLIPS = (
    ("wrong roll", 0),
    ("not rolled", 0),
    ("angle", 2),
    ("angle", -2),
    ("twist", 5),
    ("twist", -5),
    ("wrong end", 0),
    ("wrong end", 1),
    ("mark", 10),
    ("mark", -10),
    ("wrong way", 0),
    ("other mark", 1),
    ("other mark", -1),
    ("no springback", 0),
)
"""What goes wrong, and by how much: degrees, mm, or which of two ways."""


@dataclass(frozen=True)
class Slipped:
    """A mistake at one pull: the checks that show it, with how far each is from what is printed."""

    pull: int
    bend: int
    name: str
    much: float
    shown: tuple[str, ...]
    checks: int
    off_mm: float
    """How far the worst place of the wrong piece is from the right one, laid on it as well as can be."""

    @property
    def missed(self):
        """Whether no check shows it."""
        return not self.shown


class _Slipping(Worker):
    """Does a card with one mistake in it, and notices nothing."""

    slip, marks = (None, 0), {}

    def _claim(self, holds, words):
        pass

    def _lay(self, text, mark):
        held = super()._lay(text, mark)
        if self.slip == ("wrong end", 0):
            self.bench.end_for_end()
        return held

    def _roll(self, text, bend):
        name, much = self.slip
        if name == "wrong roll":
            away, towards = "its top away from you", "its top towards you"
            text = text.replace(away, "-").replace(towards, away).replace("-", towards)
        if name != "not rolled" or self.last is None:
            super()._roll(text, bend)
        if name == "twist":
            self.bench.roll(much)
        elif name == "wrong way":
            self.bench.roll(180)
        elif self.slip == ("wrong end", 1):
            # The line drawn for the inside is brought to face the fitter all the same; on an upright bender it still
            # faces down.
            self.bench.end_for_end()
            if self.bench.pulled_to[2] == 0.0:
                self.bench.roll(180)

    def _pull(self, bend, mark, to, left, at):
        name, much = self.slip
        to = float(to)
        if name == "mark":
            mark += much
        elif name == "other mark":
            if bend + much not in self.marks or bend + much in self.made:
                raise WrongStepError("there is no such mark")
            mark = self.marks[bend + much]
        elif name == "angle":
            to += much * (1 + self.bench.former.per_degree)
        elif name == "no springback":
            to = float(left or to)
        self.made[bend] = self.bench.pull(mark, to)


def slips_of(cards, cut, formers, outside, stands="flat"):
    """Make each mistake at each card of a run that it changes the piece at.

    Yields:
        A `Slipped` for each.
    """
    bench = Bench(cut, *formers.values() if len(formers) == 1 else (None,), stands)
    worker = Worker(bench, outside, formers)
    marks = {bend: length_of("; ".join(to_do)) for _, bend, to_do, _ in cards}
    for number, bend, to_do, to_check in cards:
        before, text = deepcopy(worker), "; ".join(to_do)
        worker.do(bend, text)
        right = worker.bench.piece()
        worker.measure(to_check)
        for slip in SLIPS:
            wrong = deepcopy(before)
            wrong.__class__, wrong.slip, wrong.marks = _Slipping, slip, marks
            if slip[0] == "wrong roll" and (found := ROLL.search(text)) and not found[2]:
                continue
            try:
                wrong.do(bend, text)
            except WrongStepError:
                continue
            off = compare(wrong.bench.piece(), right)
            if off.within(0.7, 0.2):
                continue
            shown = tuple(line for line in to_check if not _as_printed(wrong, line))
            yield Slipped(number, bend, *slip, shown, len(to_check), off.apart_mm)


def _as_printed(worker, line):
    """Whether a check reads as printed; on a piece that has nothing there to read it at, it does not."""
    try:
        return worker.reads_as_printed(line)
    except WrongStepError:
        return False
