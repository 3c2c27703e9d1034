"""The templates in German, by name; see `messages.say` for how a placeholder is written."""

from pipemodel.messages.german.drawings import DRAWINGS
from pipemodel.messages.german.findings import FINDINGS
from pipemodel.messages.german.jig_papers import JIG_PAPERS
from pipemodel.messages.german.jigs import JIGS
from pipemodel.messages.german.pack import PACK
from pipemodel.messages.german.papers import PAPERS
from pipemodel.messages.german.pulls import PULLS

TEMPLATES = {**FINDINGS, **PULLS, **JIGS, **PAPERS, **PACK, **DRAWINGS, **JIG_PAPERS}
