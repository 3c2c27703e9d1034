"""The ways of runs side by side, and the best as moves, for reading."""

from collections.abc import Sequence

from pipemodel.documents.text.parts import write_group
from pipemodel.finding.answer import why_none
from pipemodel.finding.values import Ways
from pipemodel.finding.written import as_yaml, cuts_of, room_yaml
from pipemodel.job.model import Job
from pipemodel.lists.ways import way_line, ways_content
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words
from pipemodel.wording.text_page import TextPage


def ways_text(job: Job, ways: Sequence[Ways], units: Units, ascii: bool = False) -> str:
    """Return the ways of a job's runs as text.

    Args:
        job: the job.
        ways: the ways of each run.
        units: units and language of the reader.
        ascii: write nothing but ASCII.
    """
    page = TextPage(ascii, units.language)
    page.heading(words(units, "ways.title", job=Name(job.name, quoted=False)))
    page.raw("")
    page.text(units_words(units))
    for one in ways:
        page.raw("")
        page.text(one.run, words(units, "paper.run"))
        if one.ways:
            if one.stopped:
                page.text(words(units, "ways.stopped"), "  ")
            [group] = ways_content([one], job.choose).groups
            write_group(page, group, units)
            page.raw("")
            page.text(words(units, "ways.paste"), "  ")
            page.raw("", *as_yaml(one.run, one.ways[:1], [say(way_line(1, one.ways[0]), units)]).splitlines())
            if room := cuts_of(one.ways[:1], job.things):
                page.raw("")
                page.text(words(units, "ways.cuts"), "  ")
                page.raw("", *(f"  {line}" for line in room_yaml(room, job.things).splitlines()))
        else:
            page.text(say(why_none(one), units), "  ")
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def ways_yaml(job: Job, ways: Sequence[Ways], units: Units) -> str:
    """Return the ways of runs to be pasted into a job: the best of each, the others commented out, and what it cuts."""
    room = cuts_of([one.ways[0] for one in ways if one.ways], job.things)
    parts = [f"# {words(units, 'ways.cuts')}\n{room_yaml(room, job.things)}" if room else "", "runs:\n"]
    for one in ways:
        if one.ways:
            parts.append(as_yaml(one.run, one.ways, [say(way_line(i, w), units) for i, w in enumerate(one.ways, 1)]))
        else:
            why = Name(say(why_none(one), units), quoted=False)
            parts.append(f"  # {words(units, 'ways.none', run=Name(one.run), why=why)}\n")
    return "".join(parts)
