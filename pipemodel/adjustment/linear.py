"""Small sets of normal equations in plain Python, so that a light command loads no library for a dozen unknowns."""

from math import sqrt


class UndeterminedError(ValueError):
    """The equations leave an unknown open; `unknown` is its number."""

    def __init__(self, unknown: int) -> None:
        super().__init__(f"unknown {unknown} is left open")
        self.unknown = unknown


def inverse(matrix: list[list[float]]) -> list[list[float]]:
    """Return the inverse of a symmetric positive definite matrix, (n, n), by Cholesky's method.

    Raises:
        UndeterminedError: if it is singular to working precision.
    """
    lower, units = _lower(matrix), range(len(matrix))
    return [_solved(lower, [float(i == j) for i in units]) for j in units]


def solution(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Return x of matrix · x = right, (n,), the matrix (n, n) symmetric and positive definite.

    Raises:
        UndeterminedError: if it is singular to working precision.
    """
    return _solved(_lower(matrix), right)


def _solved(lower: list[list[float]], right: list[float]) -> list[float]:
    out = list(right)
    n = len(right)
    for i in range(n):
        out[i] = (out[i] - sum(a * b for a, b in zip(lower[i][:i], out[:i], strict=True))) / lower[i][i]
    for i in reversed(range(n)):
        out[i] = (out[i] - sum(lower[k][i] * out[k] for k in range(i + 1, n))) / lower[i][i]
    return out


def _lower(matrix: list[list[float]]) -> list[list[float]]:
    n = len(matrix)
    lower = [[0.0] * n for _ in range(n)]
    for j in range(n):
        rest = matrix[j][j] - sum(v * v for v in lower[j][:j])
        if rest <= 1e-10 * max(matrix[j][j], 1e-300):
            raise UndeterminedError(j)
        lower[j][j] = sqrt(rest)
        for i in range(j + 1, n):
            lower[i][j] = (matrix[i][j] - sum(a * b for a, b in zip(lower[i][:j], lower[j][:j], strict=True))) / lower[
                j
            ][j]
    return lower
