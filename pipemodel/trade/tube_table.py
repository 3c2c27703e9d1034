"""The tubes of the published tables, as rows of the data files read into what the program works with.

EN 1057 copper and EN 10312 stainless are called by their outside diameter and wall in mm; ASTM B88 copper by a
nominal size in inches, an eighth less than the outside diameter, and a type that stands for the wall. Masses
are computed from the section, as every row says.
"""

from functools import cache
from math import pi

from pipemodel.trade.model import Tube
from pipemodel.trade.rows import MM_PER_INCH, Row, inches, number, read_rows

SAME_MM = 0.005
"""Diameters and walls closer than this are one size; the tables print hundredths at most."""
KG_PER_M3_PER_LB_PER_IN3 = 0.45359237 / (MM_PER_INCH / 1000.0) ** 3


@cache
def all_tubes() -> tuple[Tube, ...]:
    """Return every tube of the tables: EN 1057, EN 10312, ASTM B88, in the order of their files."""
    return (
        *(_en1057(row) for row in read_rows("tubes_en1057.csv")),
        *(_en10312(row) for row in read_rows("tubes_en10312.csv")),
        *(tube for row in read_rows("tubes_astm_b88.csv") for tube in _astm_b88(row)),
    )


@cache
def everyday_tubes() -> tuple[Tube, ...]:
    """Return the EN 1057 tube that a bare diameter means, one per diameter."""
    return tuple(_en1057(row) for row in read_rows("tubes_en1057.csv") if row["everyday"])


def mass_kg_per_m(outside_mm: float, wall_mm: float, density_kg_per_m3: float) -> float:
    """Return the mass of a metre of tube: pi (D - t) t times the density."""
    return pi * (outside_mm - wall_mm) * wall_mm * 1e-6 * density_kg_per_m3


def published_radius(standard: str, size: str, temper: str, kind: str = "") -> tuple[float | None, str]:
    """Return the smallest centreline radius published for a tube in mm, and its source; None and "" if none.

    Args:
        standard: "EN 1057", "EN 10312" or "ASTM B88".
        size: the outside diameter in mm as the table writes it, or the nominal size in inches.
        temper: "R220", "R250", "annealed", "drawn"; not asked for in stainless.
        kind: the type, K, L or M, of an ASTM B88 tube.
    """
    for row in read_rows("radii.csv"):
        if (row["standard"], row["size"]) != (standard, size) or row["temper"] not in ("", temper):
            continue
        if row["type"] in ("", kind):
            radius = number(row["radius_mm"])
            return (inches(row["radius_in"]) * MM_PER_INCH if radius is None else radius), row["source"]
    return None, ""


def _en1057(row: Row) -> Tube:
    outside, wall = float(row["outside_mm"]), float(row["wall_mm"])
    radius, radius_source = published_radius("EN 1057", row["outside_mm"], row["temper"])
    return Tube(
        outside,
        wall,
        f"{outside:g} x {wall:.1f} copper",
        material="copper",
        temper=row["temper"],
        standard="EN 1057",
        mass_kg_per_m=mass_kg_per_m(outside, wall, float(row["density_kg_per_m3"])),
        min_radius_mm=radius,
        source=row["source"],
        radius_source=radius_source,
        outside_limits_mm=_around(outside, number(row["mean_tolerance_mm"])),
        wall_tolerance_percent=number(row["wall_tolerance_percent"]),
    )


def _en10312(row: Row) -> Tube:
    outside, wall = float(row["outside_mm"]), float(row["wall_mm"])
    radius, radius_source = published_radius("EN 10312", row["outside_mm"], "")
    return Tube(
        outside,
        wall,
        f"{outside:g} x {wall:.1f} stainless",
        material="stainless",
        standard=f"EN 10312 series {row['series']}",
        mass_kg_per_m=mass_kg_per_m(outside, wall, float(row["density_kg_per_m3"])),
        min_radius_mm=radius,
        source=row["source"],
        radius_source=radius_source,
        outside_limits_mm=(float(row["outside_low_mm"]), float(row["outside_high_mm"])),
        wall_tolerance_percent=number(row["wall_tolerance_percent"]),
    )


def _astm_b88(row: Row) -> tuple[Tube, ...]:
    outside, wall = float(row["outside_in"]) * MM_PER_INCH, float(row["wall_in"]) * MM_PER_INCH
    density = float(row["density_lb_per_in3"]) * KG_PER_M3_PER_LB_PER_IN3
    size, kind = row["nominal_in"], row["type"]
    tubes = []
    for temper in row["tempers"].split():
        radius, radius_source = published_radius("ASTM B88", size, temper, kind)
        tubes.append(
            Tube(
                outside,
                wall,
                f"{size} in type {kind} copper",
                material="copper",
                temper=temper,
                standard="ASTM B88",
                mass_kg_per_m=mass_kg_per_m(outside, wall, density),
                min_radius_mm=radius,
                source=row["source"],
                radius_source=radius_source,
            )
        )
    return tuple(tubes)


def _around(middle: float, tolerance: float | None) -> tuple[float, float] | None:
    return None if tolerance is None else (middle - tolerance, middle + tolerance)
