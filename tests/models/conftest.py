"""Models are read by one child for many tests; `test_room_command.py` and the hostile ones have each their own."""

import pytest
from kept_children import KeptChild

from pipemodel.models import read

OWN = ("test_room_command", "test_ifc_hostile")


@pytest.fixture(autouse=True)
def one_reader(request, monkeypatch):
    if request.module.__name__.rpartition(".")[2] not in OWN:
        monkeypatch.setattr(read, "Child", KeptChild)
