"""The page of the live view: the hand-over page, with a script that listens for the next one."""

from html import escape
from importlib import resources
from typing import TYPE_CHECKING

from pipemodel.documents.page.script import worded
from pipemodel.live.start import choices_html
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.wording.safe_text import shown

if TYPE_CHECKING:
    from pipemodel.results.results import Results

POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; connect-src 'self'"
"""The page may talk to the server it came from, and to nobody else."""
_WAITING = """\
<!doctype html>
<html lang="{language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<title>{name}</title>
<style>:root {{ color-scheme: light dark }} body {{ font: 1.125rem/1.4 system-ui, sans-serif; margin: 1rem }}
li {{ min-height: 44px }}</style>
</head>
<body>
<main><h1>{name}</h1>{start}<p>{waiting}</p></main>
<script>{script}</script>
</body>
</html>
"""


def live_html(results: "Results") -> str:
    """Return the page of a job, ready to be renewed."""
    from pipemodel.documents.page.page import page_html

    return page_html(results, POLICY, (_script(),))


def waiting_html(file: str, units: Units = MM, start: bool = False) -> str:
    """Return the page shown as long as a job file has not been good once, with a guided start if that is asked for."""
    script, waiting = worded(_script(), units), words(units, "live.or write it" if start else "live.waiting")
    return _WAITING.format(
        policy=POLICY,
        name=escape(shown(file)),
        script=script,
        language=units.language,
        start=choices_html(units, shown(file)) if start else "",
        waiting=escape(waiting),
    )


def _script() -> str:
    return resources.files("pipemodel.live").joinpath("live.js").read_text("utf-8")
