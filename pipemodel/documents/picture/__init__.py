"""A picture of the room, the runs, where they clash, and the bends by their numbers; drawn without a screen."""

from pipemodel.documents.picture.process import picture_png as picture_png
from pipemodel.documents.picture.process import write_png as write_png
