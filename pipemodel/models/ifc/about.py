"""What a model says of itself: schema, units, north, where on the map it stands."""

from math import atan2, degrees
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.models.ifc.placing import HardError, OddError, Placements

FAR_MM = 1e6
"""A model that stands further than this from its own zero is moved: so far out the last digits get lost."""
METRE_MM = 1000.0


def about(model: Any) -> dict[str, Any]:
    """Return the schema, the unit (mm in one, and whether it is given) and what is said of north and of the map."""
    from ifcopenshell.util.unit import calculate_unit_scale

    given = any(
        getattr(unit, "UnitType", "") == "LENGTHUNIT"
        for one in model.by_type("IfcUnitAssignment")
        for unit in one.Units
    )
    return {
        "schema": str(model.schema_identifier if hasattr(model, "schema_identifier") else model.schema),
        "unit_mm": float(calculate_unit_scale(model)) * METRE_MM,
        "radians_per_unit": float(calculate_unit_scale(model, "PLANEANGLEUNIT")),
        "unit_given": given,
        "true_north_deg": _true_north(model),
        "map": _map(model),
        "storeys": [str(one.Name or "") for one in model.by_type("IfcBuildingStorey")],
    }


def _true_north(model: Any) -> float | None:
    """Return how far true north lies clockwise of the model's y, degrees; None where it is not said."""
    for context in model.by_type("IfcGeometricRepresentationContext"):
        north = getattr(context, "TrueNorth", None)
        if north is not None:
            x, y = (*north.DirectionRatios, 0.0)[:2]
            return round(degrees(atan2(x, y)), 6) + 0.0
    return None


def _map(model: Any) -> list[float] | None:
    """Return eastings, northings and height that the model's zero has on a map, as written; None if it has none."""
    conversions = model.by_type("IfcMapConversion") if model.schema != "IFC2X3" else []
    for one in conversions:
        return [float(one.Eastings), float(one.Northings), float(one.OrthogonalHeight)]
    return None


def moved_by(model: Any, placements: Placements, unit_mm: float) -> Floats:
    """Return what is taken off every place of a model that stands far from its own zero, (3,) mm; else zeros.

    It is where its building stands, or its site; failing that the least of its elements' places, to a whole metre.
    """
    places = _places(model.by_type("IfcElement"), placements) * unit_mm
    if not len(places) or np.abs(places).max() <= FAR_MM:
        return np.zeros(3)
    for kind in ("IfcBuilding", "IfcSite"):
        for stands in _places(model.by_type(kind), placements) * unit_mm:
            if np.abs(places - stands).max() <= FAR_MM:
                return np.asarray(np.round(stands, 6))
    return np.asarray(np.floor(places.min(axis=0) / METRE_MM) * METRE_MM)


def _places(products: Any, placements: Placements) -> Floats:
    found = []
    for product in products:
        try:
            place = placements.of(product.ObjectPlacement)[:3, 3]
        except (HardError, OddError, AttributeError, RuntimeError, TypeError):
            continue
        if np.all(np.isfinite(place)):
            found.append(place)
    return np.array(found, dtype=np.float64).reshape(-1, 3)
