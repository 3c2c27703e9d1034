"""Simulated bends as the records that the tool reads."""

from former_simulator import METER

from pipemodel.learning.records import BendRecord

FORMER, OUTSIDE, WALL = "mine", 15.0, 0.7


def records(bends, meter=METER, **more):
    """Return one record for each bend of the simulator."""
    return tuple(
        BendRecord(
            FORMER,
            OUTSIDE,
            WALL,
            row["bend"],
            row["angle"],
            row["pulled"],
            row["mark"],
            row["held"],
            more.get("radius", 55.0),
            number=row["piece"],
            run=f"piece {row['piece']}",
            got_deg=row["got"],
            got_sd=meter.angle,
            start_mm=row["start"],
            start_sd=meter.start,
            turn_deg=row["turn"],
            turned_deg=row["turned"],
            turned_sd=meter.turn,
            batch=more.get("batches", lambda piece: "")(row["piece"]),
            by=more.get("by", ""),
        )
        for row in bends
    )
