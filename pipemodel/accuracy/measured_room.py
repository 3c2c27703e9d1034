"""What a room measured with a tape leaves open: where starts, finishes and things truly are.

The job is read again with each coordinate of a measured point a little off, which shows how everything made of it
moves; with the covariance of the points that says how far all of it may be off, together. A piece is made as drawn and
set with its start end where that truly is, its first leg as drawn.
"""

from hashlib import sha256

import numpy as np

from pipemodel.accuracy.touching import HeldAgainst
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.distance.obstacle import Field, obstacle_of
from pipemodel.job.model import Job, JobError, Run, Thing

STEP_MM = 0.01
"""By how much a coordinate is changed to see what moves with it."""


class RoomDoubts:
    """What N tapings of a room would find, and what moves with it."""

    def __init__(self, job: Job, count: int) -> None:
        assert job.measured is not None, "asked of measured rooms only"
        adjusted = job.measured.adjusted
        unknowns = adjusted.covariance.unknowns
        self.covariance = np.array(adjusted.covariance.rows, dtype=float).reshape(len(unknowns), len(unknowns))
        seed = int.from_bytes(sha256(repr(adjusted.covariance).encode()).digest()[:8], "big")
        values, ways = np.linalg.eigh(self.covariance) if unknowns else (np.zeros(0), np.zeros((0, 0)))
        drawn = np.random.default_rng([seed, 2]).standard_normal((len(unknowns), count))
        self.off = ways @ (drawn * np.sqrt(np.maximum(values, 0.0))[:, None])
        """How far each coordinate truly is from where it was found, (unknowns, N); mm."""
        self.count = count
        self._job = job
        self._fields: dict[str, tuple[Field, list[tuple[int, float, Field]]]] = {}
        self._moved = [self._with(name, axis) for name, axis in unknowns]

    def target_cov(self, run: Run) -> Floats:
        """Return the covariance of where the finish has to be, seen from where the start is; (3, 3), mm2."""
        moves = self._moves(run, -1) - self._moves(run, 0)
        out: Floats = moves @ self.covariance @ moves.T
        return out

    def starts(self, run: Run) -> Floats:
        """Return how far from where it is drawn the start of a run truly is; (3, N), mm."""
        out: Floats = self._moves(run, 0) @ self.off
        return out

    def near(self, thing: Thing, solved: SolvedRun) -> HeldAgainst:
        """Return a thing as it may truly stand; one made of a file stands where it is drawn."""
        if thing.name not in self._fields:
            self._fields[thing.name] = self._fields_of(thing)
        field, changed = self._fields[thing.name]
        if not changed:
            return HeldAgainst(lambda places, _: field(places), field, np.zeros(self.count))

        def nearer(places: Floats, value: Floats) -> Floats:
            return np.array([(value - moved(places)) / step for _, step, moved in changed])

        off = self.off[[number for number, _, _ in changed]]

        def truly(places: Floats, piece: Ints) -> Floats:
            value = field(places)
            out: Floats = value - np.einsum("un,un->n", nearer(places, value), off[:, piece])
            return out

        line = solved.centreline
        spots = np.array([line.point_at(float(s)) for s in np.linspace(0.0, line.length, 60)])
        bound = np.abs(nearer(spots, field(spots)).T @ off).max(axis=0)
        return HeldAgainst(truly, field, bound)

    def _fields_of(self, thing: Thing) -> tuple[Field, list[tuple[int, float, Field]]]:
        """Return what measures a thing as drawn, and with each coordinate that it depends on changed, by how much."""
        changed: list[tuple[int, float, Field]] = []
        for number, (job, step) in enumerate(self._moved):
            other = next((one.shape for one in job.things if one.name == thing.name), thing.shape)
            if other != thing.shape and other.file is None:
                changed.append((number, step, obstacle_of(other).field))
        return obstacle_of(thing.shape).field, changed

    def _with(self, name: str, axis: int) -> tuple[Job, float]:
        """Return the job with one coordinate changed, and by how much; unchanged where it cannot be made so."""
        assert self._job.measured is not None
        assert self._job.with_points is not None
        places = dict(self._job.measured.adjusted.places)
        here = places[name]
        for step in (STEP_MM, -STEP_MM):
            at = [*here]
            at[axis] += step
            places[name] = (at[0], at[1], at[2])
            try:
                return self._job.with_points(places), step
            except JobError:
                continue
        return self._job, STEP_MM

    def _moves(self, run: Run, corner: int) -> Floats:
        """Return how the start (corner 0) or finish (-1) of a run moves with each coordinate; (3, unknowns)."""
        drawn = np.array(run.route.corners[corner])
        out = np.zeros((3, len(self._moved)))
        for number, (job, step) in enumerate(self._moved):
            same = [one for one in job.runs if one.name == run.name]
            if same:
                out[:, number] = (np.array(same[0].route.corners[corner]) - drawn) / step
        return out
