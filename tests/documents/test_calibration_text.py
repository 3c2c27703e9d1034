"""What a calibration says of a reading that the others do not bear out."""

import pytest

from pipemodel.calibration.values import Doubt
from pipemodel.documents.text.calibration import _doubted
from pipemodel.messages.say import say
from pipemodel.messages.units import units_for


@pytest.mark.parametrize(("off", "english", "german"), [(8.0, "more", "mehr"), (-8.0, "less", "weniger")])
@pytest.mark.parametrize(("reading", "unit"), [("start to back", "mm"), ("angle", "degrees")])
def test_a_reading_too_large_or_too_small_is_named_so_in_its_own_unit(off, english, german, reading, unit):
    """`off_by` is what was read less what the other readings say."""
    said = _doubted(Doubt("c", reading, off, 0.001))
    assert f"{reading} looks wrong by 8.0 {unit} ({english} than the others say)" in say(said)
    assert f"({german}, als die übrigen sagen)" in say(said, units_for("mm", "de"))
