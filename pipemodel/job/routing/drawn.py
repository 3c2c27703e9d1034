"""The moves and features that a route was drawn from, and the route drawn again with some of their values changed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Place, Route
from pipemodel.job.routing.faults import RouteError
from pipemodel.job.routing.forms import RouteItem, field_of
from pipemodel.job.yaml_tree import YamlPath

Values: TypeAlias = Mapping[tuple[int, str], float]
"""Numbers to be written otherwise: by the item, counted from 0, and the key in it."""


@dataclass(frozen=True)
class Drawn:
    """The items of a route, where each is written, and what draws the route from a start and items."""

    items: tuple[RouteItem, ...]
    paths: tuple[YamlPath, ...]
    places: tuple[Place, ...]
    compiled: Callable[..., Route]
    keys: tuple[str, ...] = ()
    """The keys of the run that say its way."""

    def again(self, start: Vec3, values: Values) -> Route | None:
        """Return the route from a start with some values; None where it cannot be drawn."""
        items = list(self.items)
        for (i, key), value in values.items():
            form = items[i].chosen_form.model_copy(update={field_of(key): value})
            items[i] = items[i].model_copy(update={field_of(items[i].chosen): form})
        try:
            return self.compiled(start=start, items=items)
        except RouteError:
            return None

    def value(self, item: int, key: str) -> float:
        """Return what an item says now."""
        value: float = getattr(self.items[item].chosen_form, field_of(key))
        return value

    def key_of_leg(self, item: int) -> str | None:
        """Return the key by which an item says how far a leg goes; None for one that says no number."""
        one = self.items[item]
        keys = {"set": ("first bend", "centre", "last bend"), "follow": ("for",)}.get(one.chosen, ())
        keys = (one.chosen_form.chosen,) if hasattr(one.chosen_form, "to_centre") else keys
        said = (key for key in keys if isinstance(getattr(one.chosen_form, field_of(key)), int | float))
        return next((key for key in said if key != "to level"), None)

    def path(self, item: int, key: str) -> YamlPath:
        """Return where a value is written; that of `to centre` alone stands for its item."""
        form = self.items[item].chosen_form
        short = key == "to centre" and form.model_fields_set == {"to_centre"}
        return (*self.paths[item], self.items[item].chosen, *(() if short else (key,)))
