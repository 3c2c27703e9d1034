"""Finding a tube by what people call it: "15", "15 x 1.0", "22 stainless", "3/4 in type L", "15 R220"."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite

from pipemodel.messages.values import NOTHING, Listed, Message, Name, bare, listed, message
from pipemodel.trade.model import Tube, UnknownSizeError
from pipemodel.trade.rows import MM_PER_INCH, inches
from pipemodel.trade.tube_table import SAME_MM, all_tubes, everyday_tubes

__all__ = ["all_tubes", "find_tube", "published_least"]

NOMINAL_BELOW_OUTSIDE_MM = MM_PER_INCH / 8.0
"""An ASTM B88 tube is called by a size an eighth of an inch below its outside diameter."""
NEAREST = 3

_NUMBER = r"\d+[ -]+\d+/\d+|\d+/\d+|\d*\.?\d+"
_WORDS = (
    ("standard", re.compile(r"\b(?:bs )?(?:en|astm) ?(?P<standard>1057|10312|b ?88)\b")),
    ("series", re.compile(r"\bseries (?P<series>[12])\b")),
    ("temper", re.compile(r"\b(?P<temper>r ?2[259]0|annealed|drawn|soft|half hard|hard)\b")),
    ("material", re.compile(r"\b(?P<material>copper|stainless(?: steel)?)\b")),
    ("kind", re.compile(r"(?:\btype ?|(?<=[\d\s]))(?P<kind>[klm])\b")),
    ("size", re.compile(rf"(?P<size>{_NUMBER})\s*(?P<unit>mm|inches|inch|in\b|\")?(?:\s*(?P<od>od)\b)?")),
)
_WALL = re.compile(r"\s*x\s*(\d*\.?\d+)\s*(?:mm)?")
_TEMPERS = {"soft": ("R220", "annealed"), "half hard": ("R250",), "hard": ("R290", "drawn")}


@dataclass(frozen=True)
class _Asked:
    """What a query says, in mm; None or "" for what it leaves open."""

    outside_mm: float
    wall_mm: float | None = None
    in_inches: bool = False
    tempers: tuple[str, ...] = ()
    material: str = ""
    kind: str = ""
    standard: str = ""

    def fits(self, tube: Tube) -> bool:
        """Tell whether a tube is of the sort asked for, whatever its size."""
        return (
            (not self.tempers or tube.temper in self.tempers)
            and (not self.material or tube.material == self.material)
            and (not self.kind or f"type {self.kind} " in tube.name)
            and tube.standard.startswith(self.standard)
        )

    def measures(self, tube: Tube) -> bool:
        """Tell whether a tube has the diameter, and the wall if one is asked for."""
        return abs(tube.outside_mm - self.outside_mm) < SAME_MM and (
            self.wall_mm is None or abs(tube.wall_mm - self.wall_mm) < SAME_MM
        )


def find_tube(query: float | str) -> Tube:
    """Return the tube that a size means.

    A number, or text with nothing but a diameter, means the everyday EN 1057 copper tube of that outside
    diameter in mm. More words narrow it down: a wall ("15 x 1.0"), a temper ("R220", "annealed"), a material
    ("stainless"), a standard ("EN 10312 series 2"), a nominal size in inches with its type ("1/2 type L"; "5/8
    in OD type L" gives the real outside diameter). Where only tempers are left to choose between, the first
    listed is taken.

    >>> tube = find_tube("22 mm")
    >>> tube.outside_mm, tube.wall_mm
    (22.0, 0.9)

    Raises:
        UnknownSizeError: if no row fits, with the nearest sizes; or if several do, with the choices.
    """
    asked = _Asked(float(query)) if isinstance(query, int | float) else _understand(query)
    fitting = [tube for tube in all_tubes() if asked.fits(tube)]
    found = [tube for tube in fitting if asked.measures(tube)]
    if not (asked.in_inches or asked.material or asked.standard):
        # Copper to EN 1057 is what a size in mm means, where there is one.
        found = [tube for tube in found if tube.standard == "EN 1057"] or found
    if everyday := [tube for tube in found if tube in everyday_tubes()]:
        return everyday[0]
    if not found:
        raise UnknownSizeError(message("tube.unknown", tube=bare(str(query)), else_=_what_else(asked, fitting)))
    if asked == _Asked(asked.outside_mm) and found[0].standard != "ASTM B88":
        raise UnknownSizeError(message("tube.no copper", tube=bare(str(query)), there=_names(found)))
    # Series 1 is the everyday stainless tube; series 2 has to be asked for where both have the diameter.
    if first := [tube for tube in found if tube.standard.endswith("series 1")]:
        found = first if all(tube.material == "stainless" for tube in found) else found
    if len({tube.wall_mm for tube in found}) > 1 or len({tube.material for tube in found}) > 1:
        raise UnknownSizeError(message("tube.several", tube=bare(str(query)), there=_names(found)))
    return found[0]


def published_least(tube: Tube) -> tuple[float | None, str]:
    """Return the smallest centreline radius published for a tube in mm, and where; None and "" if there is none.

    A tube given by its measures alone is held against the everyday copper tube of its diameter.
    """
    if tube.min_radius_mm is not None:
        return tube.min_radius_mm, tube.radius_source
    if not tube.standard and tube.material in ("", "copper"):
        for everyday in everyday_tubes():
            if abs(everyday.outside_mm - tube.outside_mm) < SAME_MM and everyday.min_radius_mm is not None:
                return everyday.min_radius_mm, f"for copper of this diameter, {everyday.radius_source}"
    return None, ""


def _understand(query: str) -> _Asked:
    rest = query.lower().replace("×", "x").replace("*", "x").replace("''", '"').replace(",", " ")
    rest = re.sub(r"[\s]+", " ", rest.replace("inches", "in").replace("inch", "in")).strip()
    said: dict[str, str] = {}
    for name, pattern in _WORDS:
        if not (match := pattern.search(rest)):
            continue
        said.update({key: text for key, text in match.groupdict().items() if text})
        end = match.end()
        if name == "size" and (wall := _WALL.match(rest, end)):
            said["wall"], end = wall.group(1), wall.end()
        rest = rest[: match.start()] + " " + rest[end:]
    rest = re.sub(r"\b(?:tube|series)\b", " ", rest).strip()
    if "size" not in said or rest:
        odd = message("tube.odd", rest=Name(rest)) if rest and "size" in said else NOTHING
        raise UnknownSizeError(message("tube.not understood", tube=Name(query), odd=odd))
    try:
        size = inches(said["size"])
    except ValueError:
        raise UnknownSizeError(message("tube.no size", tube=Name(query), size=Name(said["size"]))) from None
    standard = {"1057": "EN 1057", "10312": "EN 10312", "b88": "ASTM B88"}.get(
        said.get("standard", "").replace(" ", ""), ""
    )
    in_inches = said.get("unit", "") in ("in", '"') or "/" in said["size"] or "kind" in said or standard == "ASTM B88"
    if in_inches:
        size = size * MM_PER_INCH + (0.0 if "od" in said else NOMINAL_BELOW_OUTSIDE_MM)
        standard = standard or "ASTM B88"
    if "series" in said:
        standard = f"EN 10312 series {said['series']}"
    temper = said.get("temper", "").replace("r ", "r")
    return _Asked(
        size,
        float(said["wall"]) * (MM_PER_INCH if in_inches else 1.0) if "wall" in said else None,
        in_inches,
        () if not temper else _TEMPERS.get(temper, (temper.upper() if temper[0] == "r" else temper,)),
        said.get("material", "").removesuffix(" steel"),
        said.get("kind", "").upper(),
        standard,
    )


def _what_else(asked: _Asked, fitting: Iterable[Tube]) -> Message:
    """Return the tail of a refusal: the nearest sizes, or the other walls of the same size."""
    same = [t for t in all_tubes() if abs(t.outside_mm - asked.outside_mm) < SAME_MM]
    if same and asked != _Asked(asked.outside_mm):
        return message("tube.same diameter", there=_names(same))
    pool = everyday_tubes() if asked == _Asked(asked.outside_mm) else tuple(fitting) or all_tubes()
    if not isfinite(asked.outside_mm):
        return NOTHING
    off = sorted({abs(t.outside_mm - asked.outside_mm) for t in pool})[:NEAREST]
    near = [t for t in pool if abs(t.outside_mm - asked.outside_mm) in off]
    near.sort(key=lambda t: abs(t.outside_mm - asked.outside_mm))
    tiny = asked == _Asked(asked.outside_mm) and asked.outside_mm <= 2.5
    return message("tube.nearest", there=_names(near), hint=message("tube.in inches") if tiny else NOTHING)


def _names(tubes: Iterable[Tube]) -> Listed:
    return listed([bare(name) for name in dict.fromkeys(_full_name(t) for t in tubes)], ",")


def _full_name(tube: Tube) -> str:
    series = tube.standard.removeprefix("EN 10312 ")
    return f"{tube.name} {series}" if series != tube.standard else tube.name
