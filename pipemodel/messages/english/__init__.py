"""The templates in English, by name; see `messages.say` for how a placeholder is written."""

from pipemodel.messages.english.calibration import CALIBRATION
from pipemodel.messages.english.changes import CHANGES
from pipemodel.messages.english.findings import FINDINGS
from pipemodel.messages.english.jigs import JIGS
from pipemodel.messages.english.page import PAGE
from pipemodel.messages.english.papers import PAPERS
from pipemodel.messages.english.pulls import PULLS
from pipemodel.messages.english.screens import SCREENS

TEMPLATES = {**FINDINGS, **PULLS, **JIGS, **PAPERS, **PAGE, **CHANGES, **CALIBRATION, **SCREENS}
