"""The templates in English, by name; see `messages.say` for how a placeholder is written."""

from pipemodel.messages.english.asking import ASKING
from pipemodel.messages.english.building_drawings import BUILDING_DRAWINGS
from pipemodel.messages.english.calibration import CALIBRATION
from pipemodel.messages.english.changes import CHANGES
from pipemodel.messages.english.correction import CORRECTION
from pipemodel.messages.english.drawings import DRAWINGS
from pipemodel.messages.english.fault_text import FAULT_TEXT
from pipemodel.messages.english.faults import FAULTS
from pipemodel.messages.english.finding import FINDING
from pipemodel.messages.english.findings import FINDINGS
from pipemodel.messages.english.fit import FIT
from pipemodel.messages.english.jig_papers import JIG_PAPERS
from pipemodel.messages.english.jigs import JIGS
from pipemodel.messages.english.learning import LEARNING
from pipemodel.messages.english.measured import MEASURED
from pipemodel.messages.english.models import MODELS
from pipemodel.messages.english.movement import MOVEMENT
from pipemodel.messages.english.pack import PACK
from pipemodel.messages.english.page import PAGE
from pipemodel.messages.english.papers import PAPERS
from pipemodel.messages.english.pulls import PULLS
from pipemodel.messages.english.rules import RULES
from pipemodel.messages.english.screens import SCREENS
from pipemodel.messages.english.starter import STARTER
from pipemodel.messages.english.way_in_words import WAY_IN_WORDS
from pipemodel.messages.english.ways_in import WAYS_IN

TEMPLATES = {
    **FAULTS,
    **FAULT_TEXT,
    **FINDINGS,
    **FINDING,
    **MEASURED,
    **MOVEMENT,
    **MODELS,
    **LEARNING,
    **ASKING,
    **FIT,
    **WAY_IN_WORDS,
    **PULLS,
    **JIGS,
    **PAPERS,
    **PAGE,
    **CHANGES,
    **CALIBRATION,
    **RULES,
    **CORRECTION,
    **SCREENS,
    **STARTER,
    **PACK,
    **DRAWINGS,
    **BUILDING_DRAWINGS,
    **JIG_PAPERS,
    **WAYS_IN,
}
