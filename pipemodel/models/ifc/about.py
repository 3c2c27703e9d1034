"""What a model says of itself: schema, units, north, where on the map it stands."""

from math import atan2, degrees
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.job.model_place import FARTHEST_ON_MAP, MOST_SCALE
from pipemodel.models.ifc.placing import HardError, OddError, Placements, axes3

FAR_MM = 1e6
"""A model that stands further than this from its own zero is moved: so far out the last digits get lost."""
METRE_MM = 1000.0
_EVEN = (1.0, 1.0, 1.0)


def about(model: Any) -> dict[str, Any]:
    """Return the schema, the unit (mm in one, and whether it is given) and what is said of north and of the map."""
    from ifcopenshell.util.unit import calculate_unit_scale

    given = any(
        getattr(unit, "UnitType", "") == "LENGTHUNIT"
        for one in model.by_type("IfcUnitAssignment")
        for unit in one.Units
    )
    unit_m = float(calculate_unit_scale(model))
    on_map = _map(model, unit_m)
    return {
        "schema": str(model.schema_identifier if hasattr(model, "schema_identifier") else model.schema),
        "unit_mm": unit_m * METRE_MM,
        "radians_per_unit": float(calculate_unit_scale(model, "PLANEANGLEUNIT")),
        "unit_given": given,
        "true_north_deg": _true_north(model),
        "map": on_map,
        "map_left": on_map is None and _conversion(model) is not None,
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


def _map(model: Any, unit_m: float) -> dict[str, Any] | None:
    """Return where the model's zero stands on a map, metres; None if it is not said, or cannot be.

    See `job.model_place.OnMap`.

    A conversion goes out from the axes of the project's context (WorldCoordinateSystem), which are taken into it.
    """
    said = _conversion(model)
    own = _context_axes(model)
    if said is None or own is None or abs(own[2, 2] - 1.0) > 1e-9:
        return None
    east, north, height, x, y, scale, crs, map_unit, factors = said
    map_m = unit_m if map_unit is None else map_unit
    # Many leave the scale out, or write 1, where it is what one unit is in the other.
    ratio = unit_m / map_m
    scale = ratio if not scale or (scale == 1.0 and abs(ratio - 1.0) > 1e-9) else scale
    x, y = (1.0, 0.0) if not (x or y) else (float(x or 0.0), float(y or 0.0))
    # Turned back by the context's own axes, and less where these stand; both are level.
    turned = x * own[0, 0] + y * own[1, 0], y * own[0, 0] - x * own[1, 0]
    (cx, sy), (tx, ty) = np.array(turned) / np.hypot(*turned), own[:2, 3]
    plan = float(scale) * factors[0]
    if not 1.0 / MOST_SCALE <= plan / ratio <= MOST_SCALE:
        return None
    zero = (
        (float(east) - plan * (cx * tx - sy * ty)) * map_m,
        (float(north) - plan * (sy * tx + cx * ty)) * map_m,
        (float(height or 0.0) - float(scale) * factors[2] * own[2, 3]) * map_m,
    )
    if not all(abs(v) <= FARTHEST_ON_MAP for v in (*zero, *turned)):
        return None
    return {
        **dict(zip(("eastings_m", "northings_m", "height_m"), zero, strict=True)),
        "x_axis": [float(v) for v in turned],
        "scale": plan / ratio,
        "crs": str(crs or ""),
        "even": max(factors) - min(factors) <= 1e-12,
    }


def _context_axes(model: Any) -> Floats | None:
    """Return the axes of the context that bodies are in, (4, 4); None where they cannot be read."""
    contexts = model.by_type("IfcGeometricRepresentationContext", include_subtypes=False)
    context = next((one for one in contexts if one.ContextType == "Model"), contexts[-1] if contexts else None)
    own = None if context is None else context.WorldCoordinateSystem
    try:
        return axes3(own) if own is None or own.is_a("IfcAxis2Placement3D") else np.eye(4)
    except (HardError, OddError):
        return None


def _conversion(model: Any) -> tuple[Any, ...] | None:
    """Return eastings, northings, height, x on the map, scale, the map's name, its unit in metres, and three factors.

    IFC 2x3 has no entity for it; there it stands in property sets of site or project, called ePset_MapConversion.
    """
    from ifcopenshell.util import unit as units
    from ifcopenshell.util.element import get_psets

    prefix: Any = units.get_prefix_multiplier

    if model.schema == "IFC2X3":
        for one in (*model.by_type("IfcSite"), *model.by_type("IfcProject")):
            sets = {name.lower(): found for name, found in get_psets(one).items()}
            at = sets.get("epset_mapconversion")
            if at is not None and "Eastings" in at and "Northings" in at:
                crs = sets.get("epset_projectedcrs", {})
                keys = ("Eastings", "Northings", "OrthogonalHeight", "XAxisAbscissa", "XAxisOrdinate", "Scale")
                return (*(at.get(key) for key in keys), crs.get("Name"), None, _EVEN)
        return None
    for one in model.by_type("IfcCoordinateOperation"):
        crs = one.TargetCRS
        unit = getattr(crs, "MapUnit", None)
        size = None
        if unit is not None and unit.is_a("IfcSIUnit"):
            size = prefix(unit.Prefix)
        elif unit is not None and unit.is_a("IfcConversionBasedUnit"):
            factor = unit.ConversionFactor
            size = float(factor.ValueComponent.wrappedValue) * prefix(factor.UnitComponent.Prefix)
        name = getattr(crs, "Name", "")
        if one.is_a("IfcMapConversion"):
            keys = ("Eastings", "Northings", "OrthogonalHeight", "XAxisAbscissa", "XAxisOrdinate", "Scale")
            factors = tuple(float(getattr(one, f"Factor{axis}", None) or 1.0) for axis in "XYZ")
            return (*(getattr(one, key) for key in keys), name, size, factors)
        if one.is_a("IfcRigidOperation") and one.FirstCoordinate.is_a("IfcLengthMeasure"):
            first, second = one.FirstCoordinate.wrappedValue, one.SecondCoordinate.wrappedValue
            return first, second, one.Height, 1.0, 0.0, None, name, size, _EVEN
    return None


def moved_by(model: Any, placements: Placements, unit_mm: float, bodies: Floats) -> Floats:
    """Return what is taken off every place of a model that stands far from its own zero, (3,) mm; else zeros.

    It is where its building stands, or its site; failing that the least of its elements' places, to a whole metre.
    Where all stands near, but the corners of the bodies are written far off, it is by those.

    Args:
        model: the model.
        placements: where its elements stand.
        unit_mm: what one unit of length of the file is.
        bodies: a corner of each of some bodies, (n, 3) mm.
    """
    places = _places(model.by_type("IfcElement"), placements) * unit_mm
    if not len(places) or np.abs(places).max() <= FAR_MM:
        far = len(bodies) > 0 and float(np.median(np.abs(bodies).max(axis=1))) > FAR_MM
        return np.asarray(np.floor(bodies.min(axis=0) / METRE_MM) * METRE_MM) if far else np.zeros(3)
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
