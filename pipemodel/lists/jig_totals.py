"""What the jigs of a job take together: parts, gauges, plastic, hours, cost, and how much of it is worth printing."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.jigs.design import Jig
from pipemodel.jigs.of_job import JigAnswer, NotWorth
from pipemodel.jigs.plan import JigRefusedError
from pipemodel.jigs.printing import Plastic, total_of
from pipemodel.messages.values import NOTHING, Count, Listed, Message, Name, Number, listed, message
from pipemodel.results.plain import Record, fields_of
from pipemodel.wording.safe_text import shown


@dataclass(frozen=True)
class JigTotals:
    """Parts and gauges counted, what all take, and what is left when only what is worth printing is printed.

    `without` names the runs that need no jig and have none, `refused` those that get none; `sheets` is the paper of
    all, None where it is not known.
    """

    parts: int
    gauges: int
    all: Plastic
    worth: Plastic
    not_worth: tuple[str, ...]
    without: tuple[str, ...]
    price_per_kg: float | None
    sheets: int | None = None
    refused: tuple[str, ...] = ()
    on_timber: Message = NOTHING


def totals_of(answers: Sequence[JigAnswer], sheets: int | None = None) -> JigTotals:
    """Return what some jigs take together, gauges and all."""
    made = [jig for jig in answers if isinstance(jig, Jig)]
    worth = [jig for jig in made if jig.worth.printing]
    # A gauge that one of these needs is printed even where it goes with a run that is not worth a jig.
    needed = {(g.stem, g.fits): g for jig in worth for g in (*jig.gauges, *(g for g, _ in jig.elsewhere))}
    return JigTotals(
        sum(len(jig.parts) for jig in made),
        sum(len(jig.gauges) for jig in made),
        total_of([p.plastic for jig in made for p in (*jig.parts, *jig.gauges)]),
        total_of([p.plastic for jig in worth for p in jig.parts] + [g.plastic for g in needed.values()]),
        tuple(jig.solved.name for jig in made if not jig.worth.printing),
        tuple(one.solved.name for one in answers if isinstance(one, NotWorth)),
        made[0].settings.price_per_kg if made else None,
        sheets,
        tuple(one.run for one in answers if isinstance(one, JigRefusedError)),
        timber_said(made),
    )


def timber_said(jigs: Sequence[Jig]) -> Message:
    """Return what timber would make of those jigs that take much plastic; nothing where none does."""
    spared = [(jig.solved.name, jig.on_timber) for jig in jigs if jig.on_timber]
    if not spared:
        return NOTHING
    total, runs = total_of([plastic for _, plastic in spared]), _listed([name for name, _ in spared])
    plastic, hours = Number(total.plastic_cm3, ".0f"), Number(total.hours, ".1f")
    return message("jig totals.timber", runs=runs, plastic=plastic, hours=hours)


def totals_said(totals: JigTotals) -> list[Message]:
    """Return the totals in a sentence or two."""
    paper = NOTHING if totals.sheets is None else message("jig totals.sheets", sheets=Count(totals.sheets))
    amount = _amount(totals.all, totals.price_per_kg)
    said = []
    if totals.parts:
        parts, gauges, timber = Count(totals.parts), Count(totals.gauges), totals.on_timber
        said.append(message("jig totals", parts=parts, gauges=gauges, amount=amount, paper=paper, timber=timber))
    if totals.not_worth:
        amount = _amount(totals.worth, totals.price_per_kg)
        said.append(message("jig totals.worth", runs=_listed(totals.not_worth), amount=amount))
    if totals.without:
        said.append(message("jig totals.without", runs=_listed(totals.without)))
    if totals.refused:
        said.append(message("jig totals.refused", runs=_listed(totals.refused)))
    return said


def totals_record(totals: JigTotals) -> Record:
    """Return the totals as plain data."""
    return {
        **fields_of(totals, "parts gauges sheets"),
        "all": _plastic(totals.all, totals.price_per_kg),
        "worth_printing": _plastic(totals.worth, totals.price_per_kg),
        "not_worth_printing": list(totals.not_worth),
        "without_a_jig": list(totals.without),
    }


def _plastic(total: Plastic, price: float | None) -> Record:
    return {
        **fields_of(total, "volume_cm3 plastic_cm3 mass_g hours"),
        "hours_from_to": [total.quick_hours, total.slow_hours],
        "cost": None if price is None else price * total.mass_g / 1000.0,
    }


def _listed(names: Sequence[str]) -> Listed:
    return listed([Name(shown(name)) for name in names], ",")


def _amount(total: Plastic, price: float | None) -> Message:
    cost = NOTHING
    if price is not None:
        cost = message("jig totals.cost", cost=Number(price * total.mass_g / 1000.0, ".2f"))
    return message(
        "jig totals.amount",
        plastic=Number(total.plastic_cm3, ".0f"),
        mass=Number(total.mass_g, ".0f"),
        hours=Number(total.hours, ".1f"),
        quick=Number(total.quick_hours, ".1f"),
        slow=Number(total.slow_hours, ".1f"),
        cost=cost,
    )
