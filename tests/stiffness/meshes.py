"""A whole frame as many short prismatic Timoshenko beams, put together apart from our own structures.

The twelve by twelve stiffness of a prismatic beam is Przemieniecki's, Theory of Matrix Structural
Analysis, with shear (value from memory).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from frame3d.stiffness.beam import Beam
from frame3d.stiffness.from_bike import FrameModel
from frame3d.stiffness.section_constants import SectionConstants, hollow_oval

Floats = npt.NDArray[np.float64]


def prismatic(length: float, young: float, shear: float, c: SectionConstants) -> Floats:
    """Stiffness in local axes x along, y across, z up: displacement and rotation of both ends (12, 12)."""
    k = np.zeros((12, 12))
    for i, value in ((0, young * float(c.area)), (3, shear * float(c.torsion))):
        k[np.ix_((i, i + 6), (i, i + 6))] = value / length * np.array([[1, -1], [-1, 1]])
    planes = (
        ((1, 5, 7, 11), float(c.sideways), float(c.shear_sideways), 1.0),
        ((2, 4, 8, 10), float(c.upright), float(c.shear_upright), -1.0),
    )
    for at, second, area, sign in planes:
        phi = 12 * young * second / (shear * area * length**2)
        lo, mid, hi = sign * 6 * length, (4 + phi) * length**2, (2 - phi) * length**2
        bend = [[12, lo, -12, lo], [lo, mid, -lo, hi], [-12, -lo, 12, -lo], [lo, hi, -lo, mid]]
        k[np.ix_(at, at)] = young * second / (length**3 * (1 + phi)) * np.array(bend)
    return k


def arm(at: Floats) -> Floats:
    """Displacement and rotation at an arm from those at its rigid body's own point (6, 6)."""
    x, y, z = at
    out = np.eye(6)
    out[:3, 3:] = [[0, z, -y], [-z, 0, x], [y, -x, 0]]
    return out


class Mesh:
    """A frame without ties, each stretch of tube in so many pieces, one group held."""

    def __init__(self, model: FrameModel, pieces: int, held: str) -> None:
        assert not model.structure.ties
        self.groups = model.structure.groups
        self.first = {name: 6 * i for i, name in enumerate(self.groups)}
        self.size = 6 * len(self.groups)
        self._rows: list[Floats] = []
        self._columns: list[Floats] = []
        self._values: list[Floats] = []
        for joined in model.structure.beams:
            self._add(model, joined.beam, (joined.start, joined.end), pieces)
        k = coo_matrix(
            (
                np.concatenate(self._values),
                (np.concatenate(self._rows), np.concatenate(self._columns)),
            ),
            shape=(self.size, self.size),
        ).tocsc()
        at = self.first[held]
        self.free = np.setdiff1d(np.arange(self.size), np.arange(at, at + 6))
        self.solver = splu(k[self.free][:, self.free])

    def moved(self, group: str, point: Floats, load: Floats) -> Floats:
        """Displacement and rotation of a group's point under force and moment there: (6,)."""
        at, lever = self.first[group], arm(point - self.groups[group])
        force = np.zeros(self.size)
        force[at : at + 6] = lever.T @ load
        motion = np.zeros(self.size)
        motion[self.free] = self.solver.solve(force[self.free])
        moved: Floats = lever @ motion[at : at + 6]
        return moved

    def _add(self, model: FrameModel, beam: Beam, ends: tuple[str, str], pieces: int) -> None:
        """Add a stretch; its ends are rigid with their groups, and nodes between are its own."""
        points, sizes = _sampled(model, beam, pieces)
        count = len(sizes)
        nodes = [self.first[ends[0]], *range(self.size, self.size + 6 * (count - 1), 6)]
        nodes.append(self.first[ends[1]])
        self.size += 6 * (count - 1)
        for i, (up, across, constants) in enumerate(sizes):
            way = points[i + 1] - points[i]
            length = float(np.linalg.norm(way))
            local = np.kron(np.eye(4), np.array([way / length, across, up]))
            k = (
                local.T
                @ prismatic(length, beam.sections.young, beam.sections.shear, constants)
                @ local
            )
            rigid = np.eye(12)
            if i == 0:
                rigid[:6, :6] = arm(points[0] - self.groups[ends[0]])
            if i == count - 1:
                rigid[6:, 6:] = arm(points[-1] - self.groups[ends[1]])
            at = np.r_[nodes[i] : nodes[i] + 6, nodes[i + 1] : nodes[i + 1] + 6]
            self._rows.append(np.repeat(at, 12).astype(float))
            self._columns.append(np.tile(at, 12).astype(float))
            self._values.append((rigid.T @ k @ rigid).ravel())


def _sampled(
    model: FrameModel, beam: Beam, pieces: int
) -> tuple[Floats, list[tuple[Floats, Floats, SectionConstants]]]:
    """Points between pieces (n + 1, 3), and up, across and constants at the middle of each."""
    if beam.name not in model.lines:  # a dropout's arm, straight: its own sections
        s = beam.sections
        way = s.tangent[0]
        along = (s.at - beam.start) @ way
        edges = np.concatenate(
            ([0.0], (along[1:] + along[:-1]) / 2, [(beam.end - beam.start) @ way])
        )
        points = beam.start + edges[:, None] * way
        return points, [(s.up[i], s.across[i], _one(s.constants, i)) for i in range(len(along))]
    line = model.lines[beam.name]
    low, high = line.places(np.array([beam.start, beam.end]))
    edges = np.linspace(low, high, pieces + 1)
    middles = (edges[1:] + edges[:-1]) / 2
    outer, inner = line.radii(middles)
    constants = hollow_oval(outer, inner, line.elastic.poisson)
    _, up, across = line.axis.frames(middles)
    points = line.axis.points(edges)
    return points, [(up[i], across[i], _one(constants, i)) for i in range(pieces)]


def _one(constants: SectionConstants, i: int) -> SectionConstants:
    names = SectionConstants.__dataclass_fields__
    return SectionConstants(*(getattr(constants, name)[i] for name in names))
