"""The page of the live view: the hand-over page, with a script that listens for the next one."""

from html import escape
from importlib import resources
from typing import TYPE_CHECKING

from pipemodel.documents.page.script import worded
from pipemodel.live.plain_page import plain_page
from pipemodel.live.start import choices_html
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.wording.safe_text import shown

if TYPE_CHECKING:
    from pipemodel.results.results import Results

POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; connect-src 'self'"
"""The page may talk to the server it came from, and to nobody else."""


def live_html(results: "Results") -> str:
    """Return the page of a job, ready to be renewed."""
    from pipemodel.documents.page.page import page_html

    return page_html(results, POLICY, (_script(),))


def waiting_html(file: str, units: Units = MM, start: bool = False) -> str:
    """Return the page shown as long as a job file has not been good once, with a guided start if that is asked for."""
    name, waiting = shown(file), words(units, "live.or write it" if start else "live.waiting")
    choices = choices_html(units, name) if start else ""
    main = f"<h1>{escape(name)}</h1>{choices}<p>{escape(waiting)}</p>"
    return plain_page(units, POLICY, name, main, f"<script>{worded(_script(), units)}</script>\n")


def _script() -> str:
    return resources.files("pipemodel.live").joinpath("live.js").read_text("utf-8")
