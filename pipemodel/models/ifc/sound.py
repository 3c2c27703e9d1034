"""Whether a body is put together of an end of parts, before the library's kernel, which follows them all, is asked."""

from collections.abc import Iterator
from typing import Any

from pipemodel.messages.values import Count, message
from pipemodel.models.ifc.placing import OddError
from pipemodel.models.ifc.solids import MOST_ITEMS

_ONWARD = {
    "IfcRepresentation": ("Items",),
    "IfcMappedItem": ("MappingSource",),
    "IfcRepresentationMap": ("MappedRepresentation",),
    "IfcBooleanResult": ("FirstOperand", "SecondOperand"),
    "IfcCsgSolid": ("TreeRootExpression",),
    "IfcPolygonalBoundedHalfSpace": ("PolygonalBoundary",),
    "IfcSweptAreaSolid": ("SweptArea",),
    "IfcSweptDiskSolid": ("Directrix",),
    "IfcArbitraryClosedProfileDef": ("OuterCurve", "InnerCurves"),
    "IfcArbitraryOpenProfileDef": ("Curve",),
    "IfcCompositeProfileDef": ("Profiles",),
    "IfcDerivedProfileDef": ("ParentProfile",),
    "IfcCompositeCurve": ("Segments",),
    "IfcCompositeCurveSegment": ("ParentCurve",),
    "IfcTrimmedCurve": ("BasisCurve",),
    "IfcOffsetCurve2D": ("BasisCurve",),
    "IfcOffsetCurve3D": ("BasisCurve",),
}
"""By which attributes what a body is made of is made of further things."""


def see_sound(body: Any) -> None:
    """See that a representation is made of an end of parts.

    Raises:
        OddError: if something in it is a part of itself, or it comes to very many parts, each counted as often as used.
    """
    counts: dict[int, int] = {}
    above: dict[int, int] = {body.id(): 1}
    stack = [(body, _parts(body))]
    while stack:
        entity, rest = stack[-1]
        part = next(rest, None)
        if part is None:
            stack.pop()
            number = counts[entity.id()] = above.pop(entity.id())
            if number > MOST_ITEMS:
                raise OddError(message("odd.parts", n=Count(MOST_ITEMS)))
            if stack:
                above[stack[-1][0].id()] += number
        elif part.id() in above:
            raise OddError(message("odd.of itself"))
        elif part.id() in counts:
            above[entity.id()] += counts[part.id()]
        else:
            above[part.id()] = 1
            stack.append((part, _parts(part)))


def _parts(entity: Any) -> Iterator[Any]:
    for kind, keys in _ONWARD.items():
        if entity.is_a(kind):
            for key in keys:
                value = getattr(entity, key, None)
                yield from value if isinstance(value, tuple) else () if value is None else (value,)
