"""`pipemodel tables`: the tubes, formers, fittings and clip spacings known, each with its source."""

import csv
import io
import json
import sys
from collections.abc import Callable, Sequence
from textwrap import wrap
from typing import TypeAlias

import click

from pipemodel.cli.paper_options import language_option
from pipemodel.cli.stream import is_plain
from pipemodel.lists.table import COLUMN
from pipemodel.messages.say import capital, named
from pipemodel.messages.say import say as worded
from pipemodel.messages.units import MM, Language, Units, units_for
from pipemodel.messages.values import Message, word
from pipemodel.results.plain import fields_of, plain
from pipemodel.trade.clips import all_spacings
from pipemodel.trade.fittings import all_fittings
from pipemodel.trade.formers import all_formers
from pipemodel.trade.tubes import all_tubes
from pipemodel.wording.safe_text import to_ascii

WIDTH = 80
Row: TypeAlias = dict[str, str | float | Message | None]


def tube_rows() -> list[Row]:
    """Return the tubes as flat rows; mm and kg/m."""
    rows: list[Row] = []
    for tube in all_tubes():
        low, high = tube.outside_limits_mm or (None, None)
        rows.append(
            {
                "tube": tube.called,
                **fields_of(tube, "temper standard outside_mm"),
                "outside_low_mm": low,
                "outside_high_mm": high,
                **fields_of(tube, "wall_mm wall_tolerance_percent mass_kg_per_m min_radius_mm source radius_source"),
            }
        )
    return rows


def former_rows() -> list[Row]:
    """Return the formers as flat rows; mm and degrees."""
    return [
        {
            "former": former.called,
            **fields_of(former, "kind outside_mm radius_mm"),
            "springback_per_degree": former.springback.per_degree,
            "springback_fixed_deg": former.springback.fixed_deg,
            **fields_of(former, "mark_mm hold_mm guide_mm guide_block_mm max_angle_deg source"),
        }
        for former in all_formers()
    ]


def fitting_rows() -> list[Row]:
    """Return the fittings as flat rows; mm."""
    return [
        {"fitting": word(fitting.kind), "size": size, **fields_of(fitting, "depth_mm centre_to_stop_mm source")}
        for size, fitting in all_fittings()
    ]


def clip_rows() -> list[Row]:
    """Return the clip spacings as flat rows; mm."""
    figures = "outside_mm horizontal_mm vertical_mm near_fitting_mm source"
    return [{"service": word(spacing.service), **fields_of(spacing, figures)} for spacing in all_spacings()]


TABLES: dict[str, tuple[Callable[[], list[Row]], dict[str, str]]] = {
    "tubes": (
        tube_rows,
        {
            "tube": "tube",
            "temper": "temper",
            "outside_mm": "outside",
            "wall_mm": "wall",
            "mass_kg_per_m": "kg/m",
            "min_radius_mm": "radius",
        },
    ),
    "formers": (
        former_rows,
        {
            "former": "former",
            "radius_mm": "radius",
            "springback_per_degree": "spring/deg",
            "hold_mm": "hold",
            "guide_mm": "guide",
            "guide_block_mm": "block",
            "max_angle_deg": "max deg",
        },
    ),
    "fittings": (
        fitting_rows,
        {"fitting": "fitting", "size": "size", "depth_mm": "depth", "centre_to_stop_mm": "centre to stop"},
    ),
    "clips": (
        clip_rows,
        {
            "service": "service",
            "outside_mm": "outside",
            "horizontal_mm": "level",
            "vertical_mm": "upright",
            "near_fitting_mm": "to a fitting",
        },
    ),
}
"""Each table: where its rows come from, and the columns that a page of 80 characters has room for."""


def table_text(rows: Sequence[Row], columns: dict[str, str], units: Units = MM, ascii: bool = False) -> str:
    """Return rows as text within 80 columns, the sources, as they are printed, numbered below."""
    sources: dict[str, int] = {}
    body = [[named(head, units, COLUMN) for head in (*columns.values(), "source")]]
    for row in rows:
        said = [str(row[key]) for key in ("source", "radius_source") if row.get(key)]
        notes = [str(sources.setdefault(text, len(sources) + 1)) for text in said]
        body.append([*(_cell(row[key], units) for key in columns), " ".join(notes)])
    if ascii:
        body = [[to_ascii(cell, units.language) for cell in line] for line in body]
    widths = [max(len(line[i]) for line in body) for i in range(len(body[0]))]
    words = [i for i in range(len(widths)) if not any(line[i][:1].isdigit() for line in body[1:])]
    lines = []
    for line in body:
        cells = (
            text.ljust(width) if i == 0 or i in words or i == len(widths) - 1 else text.rjust(width)
            for i, (text, width) in enumerate(zip(line, widths, strict=True))
        )
        lines.append("  ".join(cells).rstrip())
    lines.append("")
    for text, key in sources.items():
        lines += wrap(text, WIDTH, initial_indent=f"{key:>3}  ", subsequent_indent="     ")
    return "\n".join(lines)


def _cell(value: str | float | Message | None, units: Units) -> str:
    if isinstance(value, Message):
        return worded(value, units)
    if value is None or value == "":
        return "-"
    return value if isinstance(value, str) else units.figure(f"{value:.4g}")


@click.command()
@click.argument("which", type=click.Choice(list(TABLES)), required=False)
@click.option("--format", "form", type=click.Choice(["text", "json", "csv"]), default="text", show_default=True)
@language_option
def command(which: str | None, form: str, language: Language | None) -> None:
    """List what the tables hold, with the source of every row; mm, degrees and kg/m.

    WHICH is one of tubes, formers, fittings or clips; all of them if left out (CSV takes one at a time, the
    tubes if left out).
    """
    names = [which] if which else list(TABLES)
    if form == "json":
        content = {name: plain(TABLES[name][0]()) for name in names}
        click.echo(json.dumps({"format": "pipemodel.tables/1", **content}, indent=2))
    elif form == "csv":
        rows = plain(TABLES[names[0]][0]())
        out = io.StringIO()
        writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        click.echo(out.getvalue(), nl=False)
    else:
        units, ascii = units_for("mm", language or "en"), is_plain(sys.stdout)
        pages = (
            f"{capital(named(name, units, 'sheet'))}\n\n{table_text(make(), columns, units, ascii)}"
            for name, (make, columns) in ((name, TABLES[name]) for name in names)
        )
        click.echo("\n\n".join(pages))
