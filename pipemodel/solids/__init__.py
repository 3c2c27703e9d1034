"""The tube, the room and what is written of them for other programs; the only door to the CAD kernel."""
