"""The first sheet: which job and which state of it, whether it passes, what to cut, what changed, and the cautions."""

from collections.abc import Sequence
from typing import Any

from pipemodel.documents.pack.canvas import Contents, contents_list
from pipemodel.documents.pack.code import code_text, identity_code
from pipemodel.documents.pack.parts import listing_flow
from pipemodel.documents.pack.styles import Styles
from pipemodel.lists.all_lists import listing
from pipemodel.messages.say import say
from pipemodel.results.identity import identity
from pipemodel.results.results import Results
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words, verdict_words

CODE_MM = 28.0
HERE = ("runs", "changes")
"""The lists that stand on this sheet."""
FIRST_FINDINGS = 12
"""More than these stand in the list of findings only."""


def job_sheet(answer: Results, styles: Styles, contents: Contents, entries: Sequence[tuple[str, str]]) -> list[Any]:
    """Return the first sheet. `entries` are the sections to come: key and title."""
    schedule, papers = answer.schedule, answer.paperwork
    flow: list[Any] = [
        styles.beside(
            [
                styles.name(schedule.job.name, "title"),
                styles.words(identity(schedule)),
                *([styles.words(papers.state[0].upper() + papers.state[1:], "big")] if papers.state else []),
                styles.words(
                    f"{units_words(papers.units)} Marks are measured from the start end of the straight tube.", "small"
                ),
            ],
            [styles.drawn(identity_code(code_text(identity(schedule), papers.state), CODE_MM))],
            CODE_MM,
        ),
        styles.boxed(_verdict(answer)),
    ]
    for key in HERE:
        listed = listing(answer, key)
        if listed is not None:
            flow += listing_flow(listed, styles, papers.units, "head")
    stated = [f for f in answer.report.findings if f.severity != "note"]
    if stated:
        flow.append(styles.words("What is wrong, or to be looked at", "head"))
        flow += styles.listed(f"{f.code} {f.severity}: {say(f.said, papers.units)}" for f in stated[:FIRST_FINDINGS])
        if len(stated) > FIRST_FINDINGS:
            flow.append(styles.words(f"and {len(stated) - FIRST_FINDINGS} more, in the list of findings"))
    flow.append(styles.words("Before you start", "head"))
    flow += styles.listed(caution_lines(papers.units))
    flow += styles.listed(say(note, papers.units) for note in schedule.notes)
    flow.append(styles.words("In this pack", "head"))
    flow.append(contents_list(contents, entries, styles.width, styles.fonts))
    return flow


def _verdict(answer: Results) -> str:
    words = verdict_words(answer.report)
    return words.replace("PASS", "PASSES every check", 1) if words.startswith("PASS") else words
