"""What stands in the way of a pull is named as people name it, in every language."""

import pytest

from pipemodel.job.build_bender import generic_benders
from pipemodel.messages.say import say, templates
from pipemodel.messages.units import LANGUAGES, units_for
from pipemodel.pulls.bender_parts import KNOWN, part_called

PARTS = {
    part.name
    for bender in generic_benders().values()
    for group in (bender.body, bender.lever, bender.guide, bender.room)
    for part in group
}


def test_every_part_of_our_own_benders_has_its_words():
    """And no words stand there for a part that no bender has."""
    assert set(KNOWN) == PARTS
    for language in LANGUAGES:
        has = {name.removeprefix("bender part.") for name in templates(language) if name.startswith("bender part.")}
        assert has == PARTS | {"own"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_two_parts_share_their_words(language):
    said = [say(part_called(name), units_for("mm", language)) for name in sorted(KNOWN)]
    assert len(set(said)) == len(said)


def test_a_part_that_a_user_named_keeps_its_name():
    assert say(part_called("clamp")) == "the clamp"
    assert say(part_called("clamp"), units_for("mm", "de")) == "\u201eclamp\u201c"
