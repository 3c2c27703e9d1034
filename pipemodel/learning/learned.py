"""What records say of a former in its tube, and of the hands of a person."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import hypot, sqrt

from pipemodel.geometry.arrays import np
from pipemodel.learning.drift import SpringbackChange, segments
from pipemodel.learning.posterior import (
    Interval,
    Posterior,
    Prior,
    Rows,
    Scatter,
    ScatterPrior,
    common_scatter,
    either,
    posterior,
)
from pipemodel.learning.readings import measured_angles, place_rows, springback_rows, turn_rows
from pipemodel.learning.records import BendRecord, FormerKey, by_former, in_order, in_pieces, of_former, order_unsure
from pipemodel.trade.model import Former, Springback

Z_95 = 1.959963984540054
FIXED_SD_DEG, PER_DEGREE_SD = 2.0, 0.03
RADIUS_SD_PART = 0.05
MARK_SD_MM = 20.0
"""How far a former's figures may be off those of common practice, or figures given without an interval: standard
deviations; common practice, no source."""
ANY_MARK_SD_MM = 100.0
HANDS = 1.0
"""What a careful beginner scatters by, mm or degrees: common practice, no source. Two in three scatter between half and
twice as much."""
WEAR_DEG = 0.2
"""By so much more at 90 may a former spring back with each piece where it wears: a standard deviation."""
WEARS = 0.5
"""The chance that it does; both common practice, no source."""
STEPS = 4
"""The law of springback is all but linear: so many steps are plenty."""


@dataclass(frozen=True)
class Law:
    """A law of springback with its covariance; figures in the order fixed (degrees), per degree."""

    fixed_deg: float
    per_degree: float
    covariance: tuple[tuple[float, float], tuple[float, float]]
    found: Posterior

    def at(self, angle_deg: float) -> Interval:
        """Return by how much the tube springs back from a finished angle."""
        return self.found.interval(np.array([1.0, angle_deg]))

    @cached_property
    def at_90(self) -> Interval:
        """By how much it does so at 90 degrees."""
        return self.at(90.0)

    @property
    def correlation(self) -> float:
        """Of fixed and per degree."""
        (a, b), (_, d) = self.covariance
        return b / sqrt(a * d)

    @property
    def springback(self) -> Springback:
        """The law as a former has it."""
        (a, _), (_, d) = self.covariance
        return Springback(self.per_degree, self.fixed_deg, Z_95 * sqrt(a), Z_95 * sqrt(d), self.correlation)


@dataclass(frozen=True)
class LearnedFormer:
    """What records say of a former in its tube; None of what no reading bears on.

    `bends` and `pieces` are those that count: since the last change of springback, where there was one. `starts` counts
    the bends whose beginning was measured. `began_at_90` is the springback that was gone out from, degrees at 90.
    """

    key: FormerKey
    bends: int
    pieces: int
    law: Law | None
    radius: Interval | None
    mark: Interval | None
    starts: int
    angle_scatter: Scatter
    changes: tuple[SpringbackChange, ...]
    order_unsure: bool
    began_at_90: float


@dataclass(frozen=True)
class LearnedHands:
    """How far a person scatters; each by the records alone where there are many, by common practice where none."""

    mark: Scatter
    angle: Scatter
    turn: Scatter
    bends: int
    pieces: int


def learned_former(records: Sequence[BendRecord], key: FormerKey, before: Former) -> LearnedFormer | None:
    """Return what records say of a former in its tube; None where there are none of it.

    Args:
        records: any records.
        key: the former, and the tube.
        before: its figures without the records, with their intervals where they have any.
    """
    own = in_order(of_former(records, key))
    if not own:
        return None
    scatter = ScatterPrior(HANDS)
    first = _springback(measured_angles(own), before, scatter)
    parts, changes = segments(own, first.spread.value)
    angles = measured_angles(parts[-1])
    laws = [_springback(measured_angles(part), before, scatter) for part in parts] if changes else [first]
    found = laws[-1]
    changes = tuple(_sized(*one) for one in zip(changes, laws, laws[1:], strict=False))
    found = either(found, _springback(angles, before, scatter, WEAR_DEG), WEARS)
    if changes:
        # It may as well have worn steadily, and never changed at once.
        worn = _springback(measured_angles(parts[-2] + parts[-1]), before, scatter, WEAR_DEG)
        found = either(replace(found, likely=found.likely + laws[-2].likely), worn, WEARS)
    places = place_rows(own, before.radius_mm)
    at = posterior(places, _place_prior(before), scatter)
    starts = int(np.count_nonzero(places.scattered))
    # A bend held by its start side says nothing of the radius, unless somebody measured that.
    sized = bool(np.any(places.design[:, 0] != 0.0))
    return LearnedFormer(
        key,
        len(angles),
        len(in_pieces(angles)),
        _law(found) if angles else None,
        at.interval(np.array([1.0, 0.0])) if sized else None,
        at.interval(np.array([0.0, 1.0])) if starts else None,
        starts,
        found.spread,
        changes,
        order_unsure(own),
        before.springback.fixed_deg + 90.0 * before.springback.per_degree,
    )


def learned_hands(records: Sequence[BendRecord], by: str | None = None) -> LearnedHands:
    """Return how far a person scatters, over all formers and tubes.

    Args:
        records: any records.
        by: who bent, as the records have it; None for all of them.
    """
    own = in_order(record for record in records if by is None or record.by == by)
    angles: list[tuple[Rows, Prior]] = []
    places: list[tuple[Rows, Prior]] = []
    for group in by_former(own).values():
        parts, _ = segments(group, HANDS)
        for part in parts:
            if read := measured_angles(part):
                angles.append((springback_rows(read, 0.0, 0.0), _any_law()))
        radius = sum(record.radius_mm for record in group) / len(group)
        rows = place_rows(group, radius)
        if len(rows.value):
            places.append((rows, _any_place(radius)))
    nothing = np.zeros(0), np.zeros((0, 0))
    turns = turn_rows(own)
    scatter = ScatterPrior(HANDS)
    return LearnedHands(
        common_scatter(places, scatter),
        common_scatter(angles, scatter),
        common_scatter([(turns, Prior(*nothing))], scatter),
        len(own),
        len(in_pieces(own)),
    )


def _springback(
    records: Sequence[BendRecord], before: Former, scatter: ScatterPrior, wear_deg: float = 0.0
) -> Posterior:
    """Return the law of springback; with `wear_deg` that of the next piece, and how much per degree each piece adds."""
    prior = _law_prior(before.springback)
    ago = np.array([])
    if wear_deg:
        pieces = in_pieces(records)
        records = [record for piece in pieces for record in piece]
        ago = np.array([len(pieces) - i for i, piece in enumerate(pieces) for _ in piece])
        mean, covariance = np.zeros(3), np.zeros((3, 3))
        mean[:2], covariance[:2, :2], covariance[2, 2] = *prior, (wear_deg / 90.0) ** 2
        prior = Prior(mean, covariance)
    at = prior.mean
    for _ in range(STEPS):
        rows = springback_rows(records, float(at[0]), float(at[1]))
        if wear_deg:
            rows = rows._replace(design=np.column_stack([rows.design, -ago * rows.design[:, 1]]))
        found = posterior(rows, prior, scatter)
        at = found.figures
    return found


def _sized(change: SpringbackChange, earlier: Posterior, later: Posterior) -> SpringbackChange:
    """Return a change with how much more the tube springs back at 90 by the laws before and after it."""
    at_90 = np.array([1.0, 90.0])
    one, two = earlier.interval(at_90), later.interval(at_90)
    return replace(change, more=Interval(two.value - one.value, hypot(one.half, two.half)))


def _law(found: Posterior) -> Law:
    fixed, rate = (float(value) for value in found.figures)
    (a, b), (c, d) = found.figures_covariance.tolist()
    return Law(fixed, rate, ((a, b), (c, d)), found)


def _law_prior(spring: Springback) -> Prior:
    given = spring.fixed_within_deg > 0.0 and spring.per_degree_within > 0.0
    fixed = spring.fixed_within_deg / Z_95 if given else FIXED_SD_DEG
    rate = spring.per_degree_within / Z_95 if given else PER_DEGREE_SD
    both = fixed * rate * (spring.correlation if given else 0.0)
    return Prior(np.array([spring.fixed_deg, spring.per_degree]), np.array([[fixed**2, both], [both, rate**2]]))


def _place_prior(former: Former) -> Prior:
    radius = former.radius_within_mm / Z_95 or RADIUS_SD_PART * former.radius_mm
    mark = former.mark_within_mm / Z_95 or MARK_SD_MM
    return Prior(np.array([former.radius_mm, former.mark_mm]), np.diag([radius**2, mark**2]))


def _any_law() -> Prior:
    return Prior(np.array([0.0, PER_DEGREE_SD]), np.diag([(2.0 * FIXED_SD_DEG) ** 2, (2.0 * PER_DEGREE_SD) ** 2]))


def _any_place(radius_mm: float) -> Prior:
    return Prior(np.array([radius_mm, 0.0]), np.diag([(RADIUS_SD_PART * radius_mm) ** 2, ANY_MARK_SD_MM**2]))
