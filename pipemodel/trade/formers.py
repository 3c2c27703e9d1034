"""The generic formers: what a former of a tube's size is usually like, until the user has measured theirs."""

import difflib
import re
from dataclasses import replace
from functools import cache
from math import ceil, pi

from pipemodel.messages.values import Angle, Length, Message, Name, Number, Word, listed, message
from pipemodel.trade.model import Former, Springback, Tube, UnknownFormerError
from pipemodel.trade.rows import Row, number, read_rows
from pipemodel.trade.tube_table import SAME_MM

RADIUS_PER_OUTSIDE = 4.0
"""A machine former is usually 4 x the tube's diameter (City & Guilds Plumbing Book 1, 2019, p. 95-97)."""
HOLD_PER_OUTSIDE = 2.0
GUIDE_PER_OUTSIDE = 2.0 / 3.0
"""Common practice, no source: the stop grips about two diameters, the roller ends most of one past the bend.

The guide block is as long as what a square bend takes up and the roller's place beyond it: the tube lies in the
block until it is bent, so a lesser bend leaves more of the block on straight tube.

So rough a figure is taken up to the whole millimetre.
"""
SPRINGBACK_PER_DEGREE = 0.02
"""Order of magnitude: an elastic, perfectly plastic thin tube opens by (4 / pi) (yield / E) (R / r), some 2 %."""


@cache
def all_formers() -> tuple[Former, ...]:
    """Return the generic formers in the order of their file."""
    return tuple(_former(row) for row in read_rows("formers.csv"))


def find_former(name: str) -> Former:
    """Return the former of that name; letter case and spaces do not count, nor does "mm".

    >>> find_former("15 spring").radius_mm
    60.0

    Raises:
        UnknownFormerError: if there is none, with the nearest names.
    """
    by_name = {_plain(former.name): former for former in all_formers()}
    if former := by_name.get(_plain(name)):
        return former
    begins = [key for key in by_name if key.startswith(_plain(name))] if _plain(name) else []
    near = begins or difflib.get_close_matches(_plain(name), by_name, n=3, cutoff=0.4) or list(by_name)
    nearest = listed([Name(by_name[key].name) for key in near], ",")
    raise UnknownFormerError(message("fault.unknown former", name=Name(name), near=nearest))


def generic_former(tube: Tube) -> Former:
    """Return the former that serves a tube when the job names none.

    The row of the table marked as the usual one for copper of the tube's outside diameter; for any other tube,
    one with the smallest radius published for it, or 4 x its outside diameter where nobody prints one.
    """
    if tube.material != "stainless":
        for row, former in zip(read_rows("formers.csv"), all_formers(), strict=True):
            if row["default"] and abs(float(row["outside_mm"]) - tube.outside_mm) < SAME_MM:
                return former
    published = tube.min_radius_mm
    radius = RADIUS_PER_OUTSIDE * tube.outside_mm if published is None else published
    origin = (
        "4 x diameter, City & Guilds Plumbing Book 1 (2019) p. 95-97"
        if published is None
        else f"the smallest published, {tube.radius_source}"
    )
    return Former(
        radius,
        f"generic former for {tube.name}",
        Springback(per_degree=SPRINGBACK_PER_DEGREE),
        hold_mm=float(ceil(HOLD_PER_OUTSIDE * tube.outside_mm)),
        guide_mm=float(ceil(GUIDE_PER_OUTSIDE * tube.outside_mm)),
        guide_block_mm=float(ceil(radius * pi / 2.0 + GUIDE_PER_OUTSIDE * tube.outside_mm)),
        generic=True,
        source=f"radius: {origin}; springback: order of magnitude from theory; hold, guide and its block: common "
        "practice, no source - measure your own",
        outside_mm=tube.outside_mm,
        kind="generic",
    )


def completed(former: Former, tube: Tube) -> Former:
    """Return a former with springback, hold and guide, where they are not given, from the generic one for a tube.

    The generic former is the one that serves the tube when the job names none: the row of the table for its size,
    or the rules of thumb above for a size that has no row. A figure given as zero is given.
    """
    if not former.not_given:
        return former
    generic = generic_former(tube)
    missing = former.not_given
    return replace(
        former,
        springback=generic.springback if "springback" in missing else former.springback,
        hold_mm=generic.hold_mm if "hold" in missing else former.hold_mm,
        guide_mm=generic.guide_mm if "guide" in missing else former.guide_mm,
        guide_block_mm=generic.guide_block_mm if "guide" in missing else former.guide_block_mm,
        completed_from=generic.name,
    )


def assumed(former: Former) -> Message:
    """Return what a completed former has from the generic one, and what that is."""
    missing = listed([_generic_figure(former, figure) for figure in former.not_given])
    name, generic = former.called, Word(former.completed_from)
    return message("former.assumed", former=name, missing=missing, generic=generic)


def _generic_figure(former: Former, figure: str) -> Message:
    if figure == "springback":
        share = Number(former.springback.per_degree * 100.0)
        if not former.springback.fixed_deg:
            return message("former.springback", share=share)
        return message("former.springback, fixed", fixed=Angle(former.springback.fixed_deg, "g"), share=share)
    if figure == "hold":
        return message("former.hold", hold=Length(former.hold_mm))
    if former.guide_block_mm is None:
        return message("former.guide", guide=Length(former.guide_mm))
    return message("former.guide, block", guide=Length(former.guide_mm), block=Length(former.guide_block_mm))


def _former(row: Row) -> Former:
    return Former(
        float(row["radius_mm"]),
        row["name"],
        Springback(float(row["springback_per_degree"]), float(row["springback_fixed_deg"])),
        float(row["mark_mm"]),
        float(row["hold_mm"]),
        float(row["guide_mm"]),
        float(row["max_angle_deg"]),
        generic=True,
        source=row["source"],
        outside_mm=number(row["outside_mm"]),
        kind=row["kind"],
        guide_block_mm=number(row["guide_block_mm"]),
    )


def _plain(name: str) -> str:
    return re.sub(r"[\s_-]+|mm\b", "", name.lower())
