"""The heights of a model's storeys, as its elements stand in the room."""

from math import isfinite
from typing import Any, NamedTuple

from pipemodel.models.ifc.placing import HardError, OddError, Placements

ALIKE_MM = 1.0
"""Storeys whose places are no further apart than this all stand on one height."""
FINE = 6
"""Decimals of a millimetre that are kept."""


class _Storey(NamedTuple):
    """A storey: its name, the height it is placed at, and its elevation above the building's own zero; mm."""

    name: str
    placed: float | None
    elevation: float | None


def storey_levels(model: Any, placements: Placements, unit_mm: float, moved_z: float) -> list[tuple[str, float]]:
    """Return the name and height (z in the room, mm) of each storey that has both, in the order of the file.

    A storey's height is that of its placement, on which its elements stand. Where all storeys are placed at one height
    though their elevations differ, the elevations count, from there on; so they do where a storey has no placement.

    Args:
        model: the model.
        placements: where its products stand.
        unit_mm: what one unit of length of the file is.
        moved_z: what was taken off every height, mm.
    """
    storeys = [_read(one, placements, unit_mm) for one in model.by_type("IfcBuildingStorey")]
    placed = [one.placed for one in storeys if one.placed is not None]
    elevations = [one.elevation for one in storeys if one.placed is not None and one.elevation is not None]
    by_elevation = (
        len(placed) == len(elevations)
        and len(placed) > 1
        and max(placed) - min(placed) <= ALIKE_MM < max(elevations) - min(elevations)
    )
    base = min(placed) if by_elevation else 0.0
    found = []
    for one in storeys:
        z = None if one.elevation is None else base + one.elevation
        if not by_elevation and one.placed is not None:
            z = one.placed
        if one.name and z is not None:
            found.append((one.name, round(z - moved_z, FINE) + 0.0))
    return found


def _read(storey: Any, placements: Placements, unit_mm: float) -> _Storey:
    placed = None
    try:
        if storey.ObjectPlacement is not None:
            placed = _finite(placements.of(storey.ObjectPlacement)[2, 3], unit_mm)
    except (HardError, OddError, AttributeError, RuntimeError, TypeError, ValueError):
        pass  # its elevation serves
    return _Storey(str(storey.Name or "").strip(), placed, _finite(storey.Elevation, unit_mm))


def _finite(value: Any, unit_mm: float) -> float | None:
    """Return a length of the file in mm; None where it is none."""
    if not isinstance(value, int | float) or not isfinite(mm := float(value) * unit_mm):
        return None
    return mm
