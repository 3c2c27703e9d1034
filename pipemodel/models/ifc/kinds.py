"""What elements of a model are to the rules of building, by their class and predefined type, or by those of their type.

IFC 2x3 has most of them as flow segments and terminals whose type alone says more.
"""

from typing import Any

_BY_CLASS = {
    "IfcWall": "wall",
    "IfcWallElementedCase": "partition",
    "IfcSlab": "floor",
    "IfcBeam": "beam",
    "IfcCableSegment": "cable",
    "IfcCableFitting": "cable",
    "IfcCableCarrierSegment": "cable",
    "IfcCableCarrierFitting": "cable",
    "IfcElectricDistributionPoint": "board",
    "IfcElectricDistributionBoard": "board",
    "IfcDistributionBoard": "board",
    "IfcOutlet": "socket",
    "IfcSwitchingDevice": "switch",
    "IfcProtectiveDevice": "excess current control",
}
_BY_TYPE = {
    ("IfcWall", "ELEMENTEDWALL"): "partition",
    ("IfcWall", "MOVABLE"): "partition",
    ("IfcSlab", "ROOF"): "",
    ("IfcBeam", "JOIST"): "joist",
    ("IfcMember", "PURLIN"): "purlin",
    ("IfcMember", "RAFTER"): "rafter",
    ("IfcMember", "STRUT"): "strut",
    ("IfcMember", "STUD"): "stud",
    ("IfcFlowMeter", "ENERGYMETER"): "meter",
    ("IfcFlowMeter", "ELECTRICMETER"): "meter",
    ("IfcOutlet", "AUDIOVISUALOUTLET"): "",
    ("IfcOutlet", "COMMUNICATIONSOUTLET"): "",
    ("IfcOutlet", "DATAOUTLET"): "",
    ("IfcOutlet", "TELEPHONEOUTLET"): "",
    ("IfcSwitchingDevice", "SWITCHDISCONNECTOR"): "isolator",
}
"""Where the predefined type decides. A gas meter is no thing that gas pipe keeps off.

By the standard's text (IfcWallTypeEnum) an elemented wall is framed with studs and faced, a movable one part of the
furnishing: neither is masonry, so no chase is cut in them. A partitioning wall is of any build, and stays a wall.
"""
_SAME = ("StandardCase", "ElementedCase")


def kind_of(element: Any) -> str:
    """Return the kind of an element as things of a room have it (`is`), "" for one that the rules name nowhere."""
    from ifcopenshell.util.element import get_predefined_type, get_type

    try:
        type_: Any = get_type(element)
        classes = [element.is_a(), "" if type_ is None else type_.is_a().removesuffix("Type")]
        predefined = str(get_predefined_type(element) or "")
    except (RuntimeError, AttributeError, TypeError):  # a reference to nothing: it is what its class says
        classes, predefined = [element.is_a()], ""
    for name in classes:
        plain = name
        for ending in _SAME:
            plain = plain.removesuffix(ending)
        kind = _BY_TYPE.get((plain, predefined), _BY_CLASS.get(name, _BY_CLASS.get(plain)))
        if kind is not None:
            return kind
    return ""
