"""Which elements of a model are asked for, and what is known of each: name, class, storey, systems."""

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from typing import Any

from pipemodel.messages.values import Name, SaidError, bare, listed, message

MOST_STEPS = 50
"""How far up from an element to its storey."""
_NO_BODY = ("IfcFeatureElementSubtraction", "IfcVirtualElement")
"""Elements that are no bodies: openings are cut out of those they belong to."""


class WrongChoiceError(SaidError):
    """A class or a storey that the model does not have; the message says which there are."""


def chosen(model: Any, classes: Sequence[str], storeys: Sequence[str]) -> list[Any]:
    """Return the elements of some classes on some storeys, of all where none is named, in the order of the file.

    Raises:
        WrongChoiceError: if the model's schema has no such class, or the model no such storey.
    """
    found: dict[int, Any] = {}
    # IFC 4.3 has no proxies any more.
    for name in classes or ["IfcElement", *(["IfcProxy"] if model.schema != "IFC4X3" else [])]:
        try:
            elements = model.by_type(name)
        except RuntimeError:
            known = sorted({product.is_a() for product in model.by_type("IfcProduct")})
            near = get_close_matches(name, known, n=1, cutoff=0.5)
            has = message("model.there", names=bare(", ".join(known)))
            mend = message("mesh.meant", near=Name(near[0])) if near else has
            said = message("model.no class", name=Name(name), schema=bare(model.schema), mend=mend)
            raise WrongChoiceError(said) from None
        found.update((one.id(), one) for one in elements if one.is_a("IfcProduct"))
    elements = [one for _, one in sorted(found.items()) if not any(one.is_a(kind) for kind in _NO_BODY)]
    if not storeys:
        return elements
    there = [str(storey.Name or "") for storey in model.by_type("IfcBuildingStorey")]
    for storey in storeys:
        if storey.casefold() not in {name.casefold() for name in there}:
            names = listed([Name(name) for name in there], ",") if there else message("model.none")
            raise WrongChoiceError(message("model.no storey", name=Name(storey), names=names))
    wanted = {storey.casefold() for storey in storeys}
    return [one for one in elements if storey_of(one).casefold() in wanted]


def storey_of(element: Any) -> str:
    """Return the name of the storey that an element stands on, "" where it stands on none."""
    for _ in range(MOST_STEPS):
        if element is None:
            return ""
        if element.is_a("IfcBuildingStorey"):
            return str(element.Name or "")
        element = _next_up(element)
    return ""


def _next_up(element: Any) -> Any:
    for inverse, onward in (
        ("ContainedInStructure", "RelatingStructure"),
        ("Decomposes", "RelatingObject"),
        ("Nests", "RelatingObject"),
        ("FillsVoids", "RelatingOpeningElement"),
        ("VoidsElements", "RelatingBuildingElement"),
        ("ProjectsElements", "RelatingElement"),
    ):
        for relation in getattr(element, inverse, None) or ():
            if (above := getattr(relation, onward, None)) is not None:
                return above
    return None


def systems_of(element: Any) -> list[str]:
    """Return the names of the systems that an element belongs to, in the order of the alphabet."""
    groups = (getattr(relation, "RelatingGroup", None) for relation in getattr(element, "HasAssignments", None) or ())
    return sorted({str(group.Name) for group in groups if group is not None and group.is_a("IfcSystem") and group.Name})


def openings_through(element: Any) -> Iterator[Any]:
    """Yield the openings cut out of an element, and of each whole that it is a part of, such as a wall of layers."""
    for _ in range(MOST_STEPS):
        for relation in getattr(element, "HasOpenings", None) or ():
            yield relation.RelatedOpeningElement
        wholes = (getattr(one, "RelatingObject", None) for one in getattr(element, "Decomposes", None) or ())
        element = next((whole for whole in wholes if whole is not None and whole.is_a("IfcElement")), None)
        if element is None:
            return


def body_of(product: Any) -> Any | None:
    """Return the representation of a product that is its body, None where it has none."""
    representations = product.Representation.Representations if product.Representation is not None else ()
    for wanted in ("Body", "Facetation", "Body-FallBack", None):
        for one in representations:
            if one.RepresentationIdentifier == wanted and one.Items:
                return one
    return None


def has_parts(element: Any) -> bool:
    """Return whether an element is put together of others, which are read by themselves."""
    return bool(getattr(element, "IsDecomposedBy", None))
