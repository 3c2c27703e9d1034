"""Short names for the arrays that distances are worked out with, and the few products they need.

Rows are points or directions, (n, 3) in mm; everything that takes two of them works row by row.
"""

from typing import TYPE_CHECKING, Any, TypeAlias

from pipemodel.geometry.vectors import Vec3

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]
    Ints: TypeAlias = NDArray[np.int64]
    Bools: TypeAlias = NDArray[np.bool_]
else:

    class _Numpy:
        """numpy, loaded when it is first used: reading a job and a plain schedule never do."""

        def __getattr__(self, name: str) -> Any:
            import numpy

            value = getattr(numpy, name)
            setattr(self, name, value)  # found at once the next time
            return value

    np = _Numpy()
    Floats = Ints = Bools = Any

__all__ = ["Bools", "Floats", "Ints", "crosses", "dots", "lengths", "normals_to", "np", "steps", "vec3"]


def vec3(row: Floats) -> Vec3:
    """Return a row, (3,), as plain floats."""
    x, y, z = row.tolist()
    return x, y, z


def dots(a: Floats, b: Floats) -> Floats:
    """Return the scalar products of the rows of a and b."""
    out: Floats = np.einsum("...i,...i->...", a, b)
    return out


def lengths(a: Floats) -> Floats:
    """Return the lengths of the rows of a."""
    out: Floats = np.sqrt(np.einsum("...i,...i->...", a, a))
    return out


def crosses(a: Floats, b: Floats) -> Floats:
    """Return the vector products of the rows of a and b: numpy's own, without what it spends on moving axes."""
    (ax, ay, az), (bx, by, bz) = (tuple(v[..., k] for k in range(3)) for v in (a, b))
    x, y, z = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    out: Floats = np.empty((*x.shape, 3))
    out[..., 0], out[..., 1], out[..., 2] = x, y, z
    return out


def normals_to(a: Floats) -> Floats:
    """Return some unit direction square to each unit row of a."""
    pick = np.zeros_like(a)
    np.put_along_axis(pick, np.argmin(np.abs(a), axis=-1)[..., None], 1.0, axis=-1)
    out = crosses(a, pick)
    return out / lengths(out)[..., None]


def steps(counts: Ints) -> tuple[Ints, Ints]:
    """Return, for rows that each stand for `counts` items, the row and the number within the row of every item."""
    row = np.repeat(np.arange(len(counts)), counts)
    first = np.cumsum(counts) - counts
    return row, np.arange(len(row)) - first[row]
