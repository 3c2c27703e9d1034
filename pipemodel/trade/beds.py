"""Sizes of printer beds by plain names."""

from pipemodel.trade.rows import read_rows


def bed_sizes() -> dict[str, tuple[float, float, float]]:
    """Return the sizes known: along x, along y and how high, mm, by name and from the least up."""
    return {row["name"]: (float(row["x_mm"]), float(row["y_mm"]), float(row["z_mm"])) for row in read_rows("beds.csv")}
