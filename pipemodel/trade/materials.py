"""How materials of tube grow with temperature, how stiff they are, and what stress movement may cause."""

from dataclasses import dataclass

from pipemodel.trade.rows import number, read_rows


@dataclass(frozen=True)
class TubeMaterial:
    """A material. `allowed_n_mm2` is the bending stress that movement may cause, None where none is published."""

    name: str
    expansion_per_k: float
    elastic_n_mm2: float
    allowed_n_mm2: float | None
    source: str


def find_material(name: str) -> TubeMaterial | None:
    """Return a material by the name it has in the tube tables; None if nothing is known of it."""
    for row in read_rows("materials.csv"):
        if row["material"] == name:
            elastic, allowed = float(row["elastic_n_mm2"]), number(row["allowed_n_mm2"])
            return TubeMaterial(name, float(row["expansion_per_k"]), elastic, allowed, row["source"])
    return None
