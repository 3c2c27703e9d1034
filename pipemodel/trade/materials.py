"""How materials of tube grow with temperature, how stiff they are, and what they bear: moving, and being sprung."""

from dataclasses import dataclass

from pipemodel.trade.model import Tube
from pipemodel.trade.rows import number, read_rows

SHARE = 0.5
"""Of the strain at the proof stress a tube is sprung to so much at most. A bent tube goes flat as it flexes, which
strains its wall more than a beam's, up to about twice as much in thin tube (T. von Karman 1911, from memory); and a
cold bend yields earlier against the way it was bent. Half is a choice of our own, no source."""


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


@dataclass(frozen=True)
class ProofStress:
    """At what stress a tube begins to stay bent, at the least; and how stiff it may be at the most, N/mm2."""

    proof_n_mm2: float
    stiffest_n_mm2: float

    @property
    def spring_strain(self) -> float:
        """The strain to which it may be sprung, for it springs back from there."""
        return SHARE * self.proof_n_mm2 / self.stiffest_n_mm2


def find_proof_stress(tube: Tube, given_n_mm2: float | None = None) -> ProofStress | None:
    """Return the proof stress of a tube by its material and temper; None if none is known.

    One that is given takes the place of the table's, and only the stiffness of the material is asked for.
    """
    for row in read_rows("proof_stress.csv"):
        if row["material"] == tube.material and (given_n_mm2 is not None or row["temper"] == tube.temper):
            proof = float(row["proof_n_mm2"]) if given_n_mm2 is None else given_n_mm2
            return ProofStress(proof, float(row["stiffest_n_mm2"]))
    return None
