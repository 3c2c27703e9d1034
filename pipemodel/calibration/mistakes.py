"""What people get wrong when they measure test pieces: recognised, and named.

Many mistakes fit a former as well as right readings do: legs measured to the centre of the tube give a smaller
radius, a mark from the wrong end another mark offset. So the figures found are held against what formers are like,
and where they are not, or where the readings agree on no former at all, each mistake is undone in turn and the
pieces fitted again. What then gives a former is named. That is judgement, not proof: measure again.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from math import inf, log, radians, tan

from pipemodel.calibration.fit import APART_DEG, BestFit
from pipemodel.calibration.values import Accuracy, ContradictionError, MeasuringMistake, TestPiece
from pipemodel.messages.values import NOTHING, Message, Number, Word, bare, listed, message

SMALLEST_RADIUS_DIAMETERS = 2.0
"""The tightest of all published radii: 3/4 in for tube of 3/8 in outside (CDA (US) Copper Tube Handbook, table 4.1)."""
USUAL_RADIUS_DIAMETERS, USUAL_SPREAD = 4.0, 0.25
"""Published radii lie within about a quarter of four diameters (as a logarithm); it ranks what may have happened."""
LARGEST_RADIUS_DIAMETERS = 10.0
"""Formers of hand and stand benders have three to six diameters: common practice, no source."""
MARK_BEFORE_DIAMETERS = MARK_BEYOND_DIAMETERS = 2.0
"""A former's mark lies between the stop, so far before the bend begins, and the back of a square bend, as far beyond
a radius: common practice, no source."""
GREATEST_SPRINGBACK_DEG, GREATEST_SPRINGBACK_PER_DEGREE = 15.0, 0.25
"""More than the first and the second together is no springback of tube: common practice, no source."""
TELLS_RADIUS_DEG = 60.0
"""On a smaller bend the radius hardly shows."""
ALIKE, NEAR = 2.0, 6.0
"""Explanations whose scores (chi squared, and how unusual the radius is) differ by less than the first cannot be
separated; of those that name a mistake, the ones within the second are all listed: chance alone makes that much."""
BETTER_TIMES = 3.0
"""An explanation of readings that agree on no former has to scatter so many times less."""
LISTED = 3
ONE_PIECE = 4.0
"""What a mistake in one piece alone has to be better by, as there are as many of these as pieces."""


@dataclass(frozen=True)
class _Kind:
    what: Message
    undone: Callable[[TestPiece, float], TestPiece]
    """The piece as it would have been written without the mistake, from the piece and the outside diameter in mm."""


def _legs(piece: TestPiece, times: float = 1.0, more: float = 0.0) -> TestPiece:
    legs = (piece.start_to_back_mm, piece.finish_to_back_mm)
    start, finish = (None if leg is None else leg * times + more for leg in legs)
    return replace(piece, start_to_back_mm=start, finish_to_back_mm=finish)


def _half(piece: TestPiece) -> float:
    return tan(radians(piece.angle_deg) / 2.0)


def _exchanged(piece: TestPiece) -> TestPiece:
    return replace(piece, start_to_back_mm=piece.finish_to_back_mm, finish_to_back_mm=piece.start_to_back_mm)


def _from_other_end(piece: TestPiece) -> TestPiece:
    return replace(piece, mark_mm=piece.cut_mm - piece.mark_mm)


def _scaled(piece: TestPiece, by: float) -> TestPiece:
    return replace(_legs(piece, by), cut_mm=piece.cut_mm * by, mark_mm=piece.mark_mm * by)


def _angle_and_pull(piece: TestPiece) -> TestPiece:
    if piece.pull_deg is None:
        return piece
    return replace(piece, angle_deg=piece.pull_deg, pull_deg=piece.angle_deg)


_KINDS = (
    _Kind(message("mistake.to centre"), lambda piece, outside: _legs(piece, more=outside / 2.0 * _half(piece))),
    _Kind(message("mistake.to inside"), lambda piece, outside: _legs(piece, more=outside * _half(piece))),
    _Kind(message("mistake.mark from finish"), lambda piece, _: _from_other_end(piece)),
    _Kind(message("mistake.legs exchanged"), lambda piece, _: _exchanged(piece)),
    _Kind(message("mistake.other end"), lambda piece, _: _from_other_end(_exchanged(piece))),
    _Kind(message("mistake.between legs"), lambda piece, _: replace(piece, angle_deg=180.0 - piece.angle_deg)),
    _Kind(message("mistake.angle and pull"), lambda piece, _: _angle_and_pull(piece)),
    _Kind(message("mistake.centimetres"), lambda piece, _: _scaled(piece, 10.0)),
)


def refuse_impossible(piece: TestPiece, outside_mm: float, accuracy: Accuracy) -> None:
    """Refuse a piece that is impossible in itself.

    Raises:
        ContradictionError: with the value, what would be possible, and what probably happened.
    """
    if fault := _impossible(piece, outside_mm, accuracy):
        guesses = [
            kind.what
            for kind in _KINDS
            if (undone := kind.undone(piece, outside_mm)) != piece
            and _impossible(undone, outside_mm, accuracy) is None
            and _may_be_a_former(undone, outside_mm, accuracy)
        ]
        hint = message("piece.probably", what=listed(guesses[:2], "or")) if guesses else NOTHING
        raise ContradictionError(message("piece.impossible", piece=bare(piece.name), fault=fault, hint=hint))


def _impossible(piece: TestPiece, outside: float, accuracy: Accuracy) -> Message | None:
    angle, pull, cut = piece.angle_deg, piece.pull_deg, piece.cut_mm
    if not 0.0 < angle < 180.0:
        return message("piece.angle", angle=Number(angle))
    if not 0.0 <= piece.mark_mm <= cut:
        return message("piece.mark", mark=Number(piece.mark_mm), cut=Number(cut))
    if pull is not None and pull < angle - 4.0 * accuracy.protractor_deg:
        return message("piece.pulled less", pull=Number(pull), angle=Number(angle))
    if piece.start_to_back_mm is None or piece.finish_to_back_mm is None:
        return None
    legs = piece.start_to_back_mm + piece.finish_to_back_mm
    # The radius is at least half the tube's outside.
    least, most = _sums(piece, outside, accuracy, 0.5, 2.0 * LARGEST_RADIUS_DIAMETERS)
    most = most if angle >= TELLS_RADIUS_DEG else inf
    if least <= legs <= most:
        return None
    bound, limit = ("least", least) if legs < least else ("most", most)
    return message(
        "piece.legs",
        legs=Number(legs),
        cut=Number(cut),
        angle=Number(angle),
        bound=Word(bound),
        limit=Number(limit, ".1f"),
    )


def _sums(piece: TestPiece, outside: float, accuracy: Accuracy, least: float, most: float) -> tuple[float, float]:
    """Return between what the sum of the legs to the back lies, mm, by the radius in outside diameters.

    Readings may shift it: lengths, and the angle by its worth on this bend.
    """
    # A + B - L = D tan(a/2) + R (2 tan(a/2) - a)
    half = _half(piece)
    straight, gain = piece.cut_mm + outside * half, 2.0 * half - radians(piece.angle_deg)
    play = 6.0 * accuracy.tape_mm + 6.0 * radians(accuracy.protractor_deg) * outside * (1.0 + half * half)
    return straight + least * outside * gain - play, straight + most * outside * gain + play


def _may_be_a_former(piece: TestPiece, outside: float, accuracy: Accuracy) -> bool:
    """Tell whether a piece's legs add up to what some usual former gives."""
    if piece.start_to_back_mm is None or piece.finish_to_back_mm is None:
        return True
    low, high = _sums(piece, outside, accuracy, SMALLEST_RADIUS_DIAMETERS, LARGEST_RADIUS_DIAMETERS)
    return low <= piece.start_to_back_mm + piece.finish_to_back_mm <= high


def suspicions(fit: BestFit, least_mm: float | None) -> Iterator[Message]:
    """Yield in which way the figures of a fit are not a former's, each with its interval; nothing if they may be.

    Args:
        fit: the fit.
        least_mm: the smallest centreline radius published for the tube; None for two diameters.
    """
    outside = fit.outside_mm
    radius = fit.value("radius")
    if radius is not None and (within := fit.half_width("radius")) < inf:
        least = SMALLEST_RADIUS_DIAMETERS * outside if least_mm is None else least_mm
        most = LARGEST_RADIUS_DIAMETERS * outside
        comes_out, half = Number(radius, ".1f"), Number(within, ".1f")
        if radius + within < least:
            yield message("suspicion.radius below", radius=comes_out, within=half, least=Number(least))
        if radius - within > most:
            yield message("suspicion.radius above", radius=comes_out, within=half, most=Number(most))
    mark = fit.value("mark")
    if radius is not None and mark is not None and (within := fit.half_width("mark")) < inf:
        beyond = max(radius, 0.0) + MARK_BEYOND_DIAMETERS * outside
        before = -MARK_BEFORE_DIAMETERS * outside
        if mark + within < before or mark - within > beyond:
            yield message(
                "suspicion.mark",
                mark=Number(mark, ".1f"),
                within=Number(within, ".1f"),
                low=Number(before, ".0f"),
                high=Number(beyond, ".0f"),
            )
    yield from islice(_odd_springback(fit), 1)


def _odd_springback(fit: BestFit) -> Iterator[Message]:
    for angle in (piece.angle_deg for piece in fit.pieces if piece.pull_deg is not None):
        pull, within = fit.pull(angle)
        at, by, half = Number(angle), Number(pull - angle, ".1f"), Number(within, ".1f")
        if pull - angle < -within:
            yield message("suspicion.opens", angle=at, by=by, within=half)
        most = GREATEST_SPRINGBACK_DEG + GREATEST_SPRINGBACK_PER_DEGREE * angle
        if pull - angle > most + within:
            yield message("suspicion.too much", angle=at, by=by, within=half, most=Number(most, ".0f"))


def probable_mistakes(
    found: BestFit,
    refit: Callable[[Sequence[TestPiece]], BestFit],
    accuracy: Accuracy,
    least_mm: float | None,
    beat: float = inf,
) -> tuple[MeasuringMistake, ...]:
    """Return what probably happened, the likeliest first and at most three; () if nothing explains the readings.

    Args:
        found: the fit of the pieces as written, whose figures or whose scatter are not a former's.
        refit: fits other pieces in the same way.
        accuracy: how well the readings were taken.
        least_mm: the smallest centreline radius published for the tube; None for two diameters.
        beat: the chi squared that a single wrong reading would leave; what leaves more is not named.
    """
    explained = []
    for score, mistake, fit in _explanations(found, refit, accuracy, least_mm, each=found.wild):
        scatters = fit.spread * BETTER_TIMES > found.spread if found.wild else fit.wild
        if not scatters and fit.chi2 + (ONE_PIECE if mistake.pieces else 0.0) < beat:
            explained.append((score, mistake))
    explained.sort(key=lambda pair: pair[0])
    return tuple(mistake for score, mistake in explained[:LISTED] if score - explained[0][0] < NEAR)


def other_readings(
    found: BestFit, refit: Callable[[Sequence[TestPiece]], BestFit], accuracy: Accuracy, least_mm: float | None
) -> tuple[MeasuringMistake, ...]:
    """Return which mistakes would have given a usual former's readings as well: pieces of one angle cannot tell."""
    angles = [piece.angle_deg for piece in found.pieces]
    if max(angles) - min(angles) >= APART_DEG:
        return ()
    here = _score(found)
    alike = [
        (score, mistake)
        for score, mistake, _ in _explanations(found, refit, accuracy, least_mm, each=False)
        if score - here < ALIKE and _differs(mistake, found)
    ]
    return tuple(mistake for _, mistake in sorted(alike, key=lambda pair: pair[0]))


def _explanations(
    found: BestFit,
    refit: Callable[[Sequence[TestPiece]], BestFit],
    accuracy: Accuracy,
    least_mm: float | None,
    each: bool,
) -> Iterator[tuple[float, MeasuringMistake, BestFit]]:
    """Yield score, mistake and fit of every mistake that, undone, leaves a former: in all pieces, or else in one."""
    pieces, outside = found.pieces, found.outside_mm
    everyone = tuple(range(len(pieces)))
    explained = False
    for which in (everyone, *((i,) for i in everyone if each and len(pieces) > 1)):
        alone = len(which) < len(pieces)
        if alone and explained:
            return  # one cause for all is enough
        for kind in _KINDS:
            undone = [kind.undone(p, outside) if i in which else p for i, p in enumerate(pieces)]
            if undone == list(pieces) or any(_impossible(piece, outside, accuracy) for piece in undone):
                continue
            fit = refit(undone)
            if any(suspicions(fit, least_mm)):
                continue
            explained = explained or not (alone or fit.wild)
            names = tuple(pieces[i].name for i in which) if alone else ()
            mistake = MeasuringMistake(kind.what, names, fit.value("radius"), fit.value("mark"))
            yield _score(fit) + (ONE_PIECE if alone else 0.0), mistake, fit


def _score(fit: BestFit) -> float:
    """Return how badly a fit explains its readings: chi squared, and how unusual its radius is."""
    radius = fit.value("radius")
    if radius is None or radius <= 0.0:
        return fit.chi2
    return fit.chi2 + (log(radius / (USUAL_RADIUS_DIAMETERS * fit.outside_mm)) / USUAL_SPREAD) ** 2


def _differs(mistake: MeasuringMistake, found: BestFit) -> bool:
    """Tell whether a mistake would change the former's figures by more than their intervals."""
    return any(
        (here := found.value(name)) is not None and value is not None and abs(value - here) > found.half_width(name)
        for name, value in (("radius", mistake.radius_mm), ("mark", mistake.mark_mm))
    )
