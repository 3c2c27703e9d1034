"""The templates in German, by name; see `messages.say` for how a placeholder is written."""

from pipemodel.messages.german.asking import ASKING
from pipemodel.messages.german.building_drawings import BUILDING_DRAWINGS
from pipemodel.messages.german.calibration import CALIBRATION
from pipemodel.messages.german.changes import CHANGES
from pipemodel.messages.german.correction import CORRECTION
from pipemodel.messages.german.drawings import DRAWINGS
from pipemodel.messages.german.fault_text import FAULT_TEXT
from pipemodel.messages.german.faults import FAULTS
from pipemodel.messages.german.finding import FINDING
from pipemodel.messages.german.findings import FINDINGS
from pipemodel.messages.german.fit import FIT
from pipemodel.messages.german.jig_papers import JIG_PAPERS
from pipemodel.messages.german.jigs import JIGS
from pipemodel.messages.german.learning import LEARNING
from pipemodel.messages.german.measured import MEASURED
from pipemodel.messages.german.models import MODELS
from pipemodel.messages.german.movement import MOVEMENT
from pipemodel.messages.german.pack import PACK
from pipemodel.messages.german.page import PAGE
from pipemodel.messages.german.papers import PAPERS
from pipemodel.messages.german.pulls import PULLS
from pipemodel.messages.german.rules import RULES
from pipemodel.messages.german.screens import SCREENS
from pipemodel.messages.german.starter import STARTER
from pipemodel.messages.german.way_in_words import WAY_IN_WORDS
from pipemodel.messages.german.ways_in import WAYS_IN
from pipemodel.messages.german.words import KEYED

TEMPLATES = {
    **KEYED,
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
