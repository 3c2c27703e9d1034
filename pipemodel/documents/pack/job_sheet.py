"""The first sheet: which job and which state of it, whether it passes, what to cut, what changed, and the cautions."""

from collections.abc import Sequence
from typing import Any

from pipemodel.checks.findings import Finding
from pipemodel.documents.pack.canvas import Contents, contents_list
from pipemodel.documents.pack.code import code_text, identity_code
from pipemodel.documents.pack.parts import listing_flow
from pipemodel.documents.pack.styles import Styles
from pipemodel.lists.all_lists import listing
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, Word
from pipemodel.results.identity import identity
from pipemodel.results.results import Results
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words, verdict_words

CODE_MM = 28.0
HERE = ("runs", "changes")
"""The lists that stand on this sheet."""
FIRST_FINDINGS = 12
"""More than these stand in the list of findings only."""


def job_sheet(
    results: Results, styles: Styles, contents: Contents, entries: Sequence[tuple[str, str]], whose: str
) -> list[Any]:
    """Return the first sheet. `entries` are the sections to come: key and title; `whose` says who the pack is for."""
    schedule, papers, units = results.schedule, results.paper_options, results.paper_options.reading
    measured_in = Name(units_words(units), quoted=False)
    flow: list[Any] = [
        styles.beside(
            [
                styles.name(schedule.job.name, "title"),
                styles.words(identity(schedule)),
                *([styles.words(papers.state[0].upper() + papers.state[1:], "big")] if papers.state else []),
                styles.words(words(units, "pack.measured from", measured_in=measured_in), "small"),
                styles.words(whose, "small"),
            ],
            [styles.drawn(identity_code(code_text(identity(schedule), papers.state), CODE_MM))],
            CODE_MM,
        ),
        styles.boxed(verdict_words(results.report, units)),
    ]
    for key in HERE:
        listed = listing(results, key)
        if listed is not None:
            flow += listing_flow(listed, styles, units, "head")
    stated = [f for f in results.report.findings if f.severity != "note"]
    if stated:
        flow.append(styles.words(words(units, "pack.wrong"), "head"))
        flow += styles.listed(_stated(finding, units) for finding in stated[:FIRST_FINDINGS])
        if len(stated) > FIRST_FINDINGS:
            more = Count(len(stated) - FIRST_FINDINGS)
            flow.append(styles.words(words(units, "pack.more findings", n=more)))
    flow.append(styles.words(words(units, "paper.before"), "head"))
    flow += styles.listed(caution_lines(units))
    flow += styles.listed(say(note, units) for note in schedule.notes)
    flow.append(styles.words(words(units, "pack.contents"), "head"))
    flow.append(contents_list(contents, entries, styles.width, styles.fonts))
    return flow


def _stated(finding: Finding, units: Units) -> str:
    severity = words(units, "word", word=Word(finding.severity))
    return f"{severity}: {say(finding.said, units)}"
