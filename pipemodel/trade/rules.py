"""Rules of building: how far tube keeps off services, where joists may be cut, how it is supported and insulated.

Each code of practice is a file in data/rules, with its edition, its clauses and where its figures were read. A set of
rules of one's own has the same form. They are a reading of a code, never the code: whoever is responsible on site, and
the engineer, decide.
"""

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from functools import cache

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from pipemodel.messages.values import Name, Number, Word, bare, message
from pipemodel.trade.model import Tube
from pipemodel.trade.rows import DATA

RULES = DATA / "rules"
_MOST_NEAR = 3
HAIR_MM = 1e-6


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class KeepOff(_Part):
    """How far the outside of a tube stays from some kinds of things, mm; of tubes over and up to a size."""

    from_: tuple[str, ...] = Field(alias="from", min_length=1)
    least: float = Field(gt=0.0, lt=1e4)
    clause: str
    unless: str = ""
    tube_over: float = 0.0
    tube_to: float = 1e4


class CutZone(_Part):
    """Where along a joist it may be cut, as shares of its span from the nearer support."""

    from_: float = Field(alias="from", ge=0.0, le=0.5)
    to: float = Field(ge=0.0, le=0.5)
    most: float | None = Field(default=None, gt=0.0)

    @model_validator(mode="after")
    def _has_length(self) -> "CutZone":
        if self.to <= self.from_:
            raise ValueError(message("rules.to from", to=Number(self.to), from_=Number(self.from_)))
        return self


class NotchRule(CutZone):
    """How deep a notch may be, as a share of the joist's depth, and `most` in mm."""

    deep: float = Field(gt=0.0, lt=1.0)
    top_only: bool = False
    one_side: bool = False
    """Whether a joist that is notched at the top has no notch at the bottom."""


class HoleRule(CutZone):
    """How wide a hole may be, as a share of the joist's depth, and `most` in mm; how far apart, in diameters."""

    wide: float = Field(gt=0.0, lt=1.0)
    diameters_apart: float = Field(default=0.0, ge=0.0)


class JoistRules(_Part):
    """Where solid joists may be cut. `apart` is the least distance between a notch and a hole, mm."""

    of: tuple[str, ...] = Field(min_length=1)
    clause: str
    notch: NotchRule | None = None
    hole: HoleRule | None = None
    apart: float = Field(default=0.0, ge=0.0)
    shallowest: float = Field(default=0.0, ge=0.0)
    """Joists of this depth or less are not to be cut."""
    deepest: float | None = None
    never: tuple[str, ...] = ()

    def most_mm(self, kind: str, deep_mm: float) -> float:
        """Return how wide a hole, or how deep a notch, may be in a joist of a depth; 0 where there is no rule of it."""
        rule = self.hole if kind == "hole" else self.notch
        if rule is None:
            return 0.0
        return min((rule.wide if isinstance(rule, HoleRule) else rule.deep) * deep_mm, rule.most or deep_mm)


class ChaseRule(_Part):
    """How deep a chase in a wall may be, as a share of its thickness: one that goes up, and one that lies level."""

    of: tuple[str, ...] = Field(min_length=1)
    upright: float = Field(gt=0.0, lt=1.0)
    level: float = Field(gt=0.0, lt=1.0)
    clause: str


class HiddenJointRule(_Part):
    """No joint where no hand comes: closed in on every side within so much, mm."""

    within: float = Field(gt=0.0, lt=1e4)
    clause: str


class SleeveRule(_Part):
    """Where tube passes through a wall or floor it goes through a sleeve, of tube so many sizes larger."""

    of: tuple[str, ...] = Field(min_length=1)
    sizes_larger: int = Field(ge=1, le=3)
    clause: str


class ScreedRule(_Part):
    """How much screed lies over a tube in it, mm."""

    of: tuple[str, ...] = Field(min_length=1)
    cover: float = Field(gt=0.0, lt=1e3)
    clause: str


def _each_once(sizes: Sequence[float], what: str) -> None:
    if twice := next((size for size in sizes if sizes.count(size) > 1), None):
        raise ValueError(message("rules.row twice", what=Word(what), size=Number(twice)))


class SupportRow(_Part):
    """How far apart supports may stand, mm, of tube from an outside diameter up to that of the next row."""

    from_: float = Field(alias="from", gt=0.0, lt=1e3)
    level: float = Field(gt=0.0, lt=1e5)
    upright: float = Field(gt=0.0, lt=1e5)
    from_memory: bool = False


class SupportRule(_Part):
    """How far apart supports of tube of some materials, or of any, may stand; tube of no known material is held too."""

    rows: tuple[SupportRow, ...] = Field(min_length=1)
    near_fitting: float | None = Field(default=None, gt=0.0, lt=1e4)
    materials: tuple[str, ...] = ()
    clause: str

    @field_validator("rows")
    @classmethod
    def _each_size_once(cls, rows: tuple[SupportRow, ...]) -> tuple[SupportRow, ...]:
        _each_once([row.from_ for row in rows], "from")
        return rows

    def row_of(self, tube: Tube) -> SupportRow | None:
        """Return the row of a tube: the greatest size not above its own, since a thinner tube sags more."""
        rows = [row for row in self.rows if row.from_ <= tube.outside_mm + HAIR_MM]
        if not rows or (self.materials and tube.material and tube.material not in self.materials):
            return None
        return max(rows, key=lambda row: row.from_)


class InsulationRow(_Part):
    """How thick insulation has to be, mm or in bores, round tube up to a bore."""

    to: float = Field(default=1e4, gt=0.0)
    thick: float = Field(default=0.0, ge=0.0, lt=1e3)
    bores: float = Field(default=0.0, ge=0.0, le=10.0)


class InsulationRule(_Part):
    """Where tube is insulated and how thick; with no rows, at all.

    `in_` are the kinds of void it is asked for in; everywhere if none is named. Half of it serves in things of the
    kinds `half_in`, and each of two runs that cross has half of it where `half_crossing`.
    """

    rows: tuple[InsulationRow, ...] = ()
    in_: tuple[str, ...] = Field(default=(), alias="in")
    half_in: tuple[str, ...] = Field(default=(), alias="half in")
    half_crossing: bool = Field(default=False, alias="half crossing")
    unbroken: bool = False
    conductivity: float | None = Field(default=None, gt=0.0, lt=1.0)
    unless: str = ""
    clause: str
    from_memory: bool = False

    @field_validator("rows")
    @classmethod
    def _each_bore_once(cls, rows: tuple[InsulationRow, ...]) -> tuple[InsulationRow, ...]:
        _each_once([row.to for row in rows], "bore")
        return rows

    def thick_of(self, tube: Tube) -> float:
        """Return how thick it has to be round a tube, mm; 0 where the rule gives no thickness."""
        row = min((row for row in self.rows if tube.bore_mm <= row.to + HAIR_MM), key=lambda row: row.to, default=None)
        return 0.0 if row is None else row.thick + row.bores * tube.bore_mm


class RuleSet(_Part):
    """What one code of practice says; `runs` are those that the job holds against it, None for all."""

    name: str = Field(min_length=1, max_length=80)
    about: str = ""
    source: str = Field(min_length=1)
    from_memory: bool = False
    keep_off: tuple[KeepOff, ...] = Field(default=(), alias="keep off")
    joists: JoistRules | None = None
    chases: ChaseRule | None = None
    joints: HiddenJointRule | None = None
    sleeves: SleeveRule | None = None
    screed: ScreedRule | None = None
    supports: SupportRule | None = None
    insulation: InsulationRule | None = None
    runs: frozenset[str] | None = Field(default=None, exclude=True)

    @field_validator("runs", mode="before")
    @classmethod
    def _said_by_the_job(cls, _: object) -> None:
        raise ValueError(message("rules.runs"))

    def counts_for(self, run: str) -> bool:
        """Return whether a run is held against it."""
        return self.runs is None or run in self.runs

    @property
    def cut_kinds(self) -> frozenset[str]:
        """The kinds of thing of which it says what may be cut in them."""
        return frozenset() if self.joists is None else frozenset((*self.joists.of, *self.joists.never))

    @property
    def kinds(self) -> frozenset[str]:
        """Every kind of thing it names."""
        passed = (kind for rule in (self.chases, self.sleeves, self.screed) if rule is not None for kind in rule.of)
        lagged = self.insulation.in_ if self.insulation is not None else ()
        return self.cut_kinds | {*passed, *lagged} | {kind for keep in self.keep_off for kind in keep.from_}


@cache
def rule_sets() -> Mapping[str, RuleSet]:
    """Return the tool's own sets of rules by name, in the order of their names."""
    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    texts = (path.read_text(encoding="utf-8") for path in RULES.glob("*.yaml"))
    found = [RuleSet.model_validate(yaml.load(text, loader)) for text in texts]
    return {one.name: one for one in sorted(found, key=lambda one: one.name)}


def rule_set_named(name: str) -> RuleSet:
    """Return one of the tool's own sets.

    Raises:
        LookupError: if there is none of that name; it says which there are.
    """
    known = rule_sets()
    if name in known:
        return known[name]
    near = get_close_matches(name, known, _MOST_NEAR, 0.5) or list(known)
    raise LookupError(message("rules.none called", name=Name(name), there=bare(", ".join(near))))
