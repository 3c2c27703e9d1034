"""How the papers are to be written: units, size of paper, date and revision, and what they are compared with."""

from dataclasses import dataclass, replace
from typing import Any, Literal, TypeAlias, get_args

from pipemodel.job.model import Job
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Language, Units, units_for
from pipemodel.messages.values import Name

PaperName: TypeAlias = Literal["A4", "Letter", "A3"]
PAPER_NAMES: tuple[PaperName, ...] = get_args(PaperName)
PAPERS: dict[PaperName, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "Letter": (215.9, 279.4),
    "A3": (297.0, 420.0),
}
"""Width and height in mm, upright (ISO 216; ANSI/ASME Y14.1 size A)."""


@dataclass(frozen=True)
class PaperOptions:
    """What the author of the papers chose.

    `date` is what the papers are dated, never the clock; "" leaves them undated. `template_paper` is for the
    full-size pages, None for the same as the rest. `earlier` is the schedule record of an earlier pack, whose
    changes to this one are given.
    """

    units: Units = MM
    paper: PaperName = "A4"
    template_paper: PaperName | None = None
    date: str = ""
    revision: str = ""
    earlier: dict[str, Any] | None = None
    language: Language = "en"

    @property
    def reading(self) -> Units:
        """Units and language of what people read; `units` is for what programs read, which is English."""
        return replace(self.units, language=self.language)

    @property
    def state(self) -> str:
        """Revision and date in words, as far as they are given."""
        revision = Name(self.revision, quoted=False)
        parts = [words(self.reading, "paper.revision", revision=revision)] if self.revision else []
        return ", ".join([*parts, *([self.date] if self.date else [])])

    @property
    def sheet_size(self) -> tuple[float, float]:
        """Width and height of the sheets, mm, upright."""
        return PAPERS[self.paper]

    @property
    def template_size(self) -> tuple[float, float]:
        """Width and height of the full-size pages, mm, upright."""
        return PAPERS[self.template_paper or self.paper]


PLAIN = PaperOptions()
"""Nothing chosen: mm on A4, undated."""


def paper_options_for(job: Job) -> PaperOptions:
    """Return how a job itself asks for its papers."""
    return PaperOptions(units_for(job.units), revision=job.revision, language=job.language)
