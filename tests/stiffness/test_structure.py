"""Structures of beams against printed examples, another library and a fine mesh of Timoshenko beams."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.sparse.linalg as sparse
from scipy.sparse import lil_matrix

from frame3d.geometry.vector import Point
from frame3d.stiffness.section_constants import SectionConstants
from frame3d.stiffness.structure import Spot, Structure, Term, remaining
from tests.stiffness.beams import SHEAR, STEEL, X, Y, Z, fixed, straight, structure, tube_beam


def constants(area: float, upright: float, sideways: float, torsion: float) -> SectionConstants:
    """No shear: shear areas beyond any that matters."""
    one = [np.array(v) for v in (area, upright, sideways, torsion, 1e12, 1e12)]
    return SectionConstants(*one)


def test_space_frame_of_a_textbook() -> None:
    """Logan, A First Course in the Finite Element Method, 4th ed., Example 5.8, inches and kip.

    Nodes, loads and the printed answer were read in a public test of a structural library; the printed
    digits are rounded.
    """
    nodes: dict[str, Point] = {
        "1": (0, 0, 0), "2": (-100, 0, 0), "3": (0, 0, -100), "4": (0, -100, 0),
    }  # fmt: skip
    section = constants(10, 100, 100, 50)
    beams = [
        (
            end,
            "1",
            tube_beam(straight(nodes[end], nodes["1"]), constants=section, moduli=(30000, 10000)),
        )
        for end in ("2", "3", "4")
    ]
    held = structure(nodes, beams).held(
        [tie for n in ("2", "3", "4") for tie in fixed(n, nodes[n])]
    )
    motion = held.motion((Term(Spot("1", (0, 0, 0)), (0, -50, 0), (-1000, 0, 0)),))
    found = held.moved(motion, Spot("1", (0, 0, 0)))
    printed = [7.098e-5, -0.014, -2.352e-3, -3.996e-3, 1.78e-5, -1.033e-4]
    assert found == pytest.approx(printed, rel=1.5e-3)
    assert found[3:] == pytest.approx([-3.99609e-3, 1.78007e-5, -1.03343e-4], rel=1e-5)


def test_frame_of_three_members_of_a_textbook() -> None:
    """Logan, the same book, Problem 5.58, inches and kip; E 30000, G 10000 as in its Example 5.8.

    Nodes, sections, loads and the printed answer were read in a public test of a structural library. It
    is printed to two or four digits; the closer figures were computed once with another library.
    """
    nodes: dict[str, Point] = {
        "1": (0, 0, 0), "2": (120, 0, 0), "3": (120, 0, -120), "4": (120, -240, -120),
    }  # fmt: skip
    section = constants(100, 200, 1000, 100)
    beams = [
        (a, b, tube_beam(straight(nodes[a], nodes[b]), constants=section, moduli=(30000, 10000)))
        for a, b in ("12", "23", "34")
    ]
    held = structure(nodes, beams).held([*fixed("1", nodes["1"]), *fixed("4", nodes["4"])])
    second, third = Spot("2", nodes["2"]), Spot("3", nodes["3"])
    motion = held.motion((Term(second, (0, -5, 0), (-1200, 0, 0)), Term(third, (0, 0, 40))))
    found = held.moved(motion, second)[1], held.moved(motion, third)[2]
    assert found == pytest.approx((-0.063, 1.825), rel=0.013)
    assert found == pytest.approx((-0.06223, 1.82176), rel=1e-4)


def test_portal_frame() -> None:
    """P h^3 / 12 E I (3 g + 2) / (6 g + 1), g = h/b: fixed feet, no axial strain nor shear (derived)."""
    h, b, second = 500.0, 400.0, 18204.776
    nodes: dict[str, Point] = {"a": (0, 0, 0), "b": (0, 0, h), "c": (b, 0, h), "d": (b, 0, 0)}
    stiff = constants(1e6, second, second, second)
    beams = [
        (i, j, tube_beam(straight(nodes[i], nodes[j]), constants=stiff))
        for i, j in ("ab", "bc", "cd")
    ]
    held = structure(nodes, beams).held([*fixed("a", nodes["a"]), *fixed("d", nodes["d"])])
    motion = held.motion((Term(Spot("b", nodes["b"]), (1000.0, 0, 0)),))
    assert held.moved(motion, Spot("b", nodes["b"]))[0] == pytest.approx(1.8881586, rel=3e-5)


TRIPOD: dict[str, Point] = {
    "foot": (0, 0, 0), "side": (60, 250, -40), "knee": (300, 40, 120), "tip": (520, -90, 60),
}  # fmt: skip
MEMBERS = (("foot", "knee"), ("side", "knee"), ("knee", "tip"), ("side", "tip"))


def test_independent_reader_on_prismatic_tubes() -> None:
    """PyNite's Euler-Bernoulli frame of the same tubes, where shear is taken out of ours."""
    from Pynite import FEModel3D

    area, second = 105.18052, 18204.776
    model = FEModel3D()
    model.add_material("steel", STEEL, SHEAR, 0.3, 0.0)
    model.add_section("tube", area, second, second, 2 * second)
    for name, at in TRIPOD.items():
        model.add_node(name, *at)
    for i, (a, b) in enumerate(MEMBERS):
        model.add_member(f"m{i}", a, b, "steel", "tube")
    for name in ("foot", "side"):
        model.def_support(name, *[True] * 6)
    model.add_node_load("tip", "FY", 100.0)
    model.add_node_load("tip", "FZ", -40.0)
    model.analyze_linear()
    node = model.nodes["tip"]
    theirs = [
        next(iter(getattr(node, way).values())) for way in ("DX", "DY", "DZ", "RX", "RY", "RZ")
    ]
    plain = constants(area, second, second, 2 * second)
    beams = [(a, b, tube_beam(straight(TRIPOD[a], TRIPOD[b]), constants=plain)) for a, b in MEMBERS]
    held = structure(TRIPOD, beams).held(
        [*fixed("foot", TRIPOD["foot"]), *fixed("side", TRIPOD["side"])]
    )
    tip = Spot("tip", TRIPOD["tip"])
    motion = held.motion((Term(tip, (0, 100.0, -40.0)),))
    assert held.moved(motion, tip) == pytest.approx(theirs, rel=1e-6)


def _bending(e: float, second: float, length: float, phi: float) -> np.ndarray:
    """Timoshenko's bending stiffness in one plane: w, rotation, at both ends (Przemieniecki, from memory)."""
    k = e * second / (length**3 * (1 + phi))
    lo, mid, hi = 6 * length, (4 + phi) * length**2, (2 - phi) * length**2
    return k * np.array(
        [[12, lo, -12, lo], [lo, mid, -lo, hi], [-12, -lo, 12, -lo], [lo, hi, -lo, mid]]
    )


def test_fine_mesh_of_timoshenko_beams_refines_onto_a_tapered_tube() -> None:
    """Prismatic Timoshenko pieces of a taper in a sparse solver: the error falls as 1 / n^2."""
    length, tip_force = 600.0, 100.0
    radius = lambda s: 19.05 - 0.015 * s  # noqa: E731
    ours = tube_beam(straight((0, 0, 0), (length, 0, 0)), radius)
    exact = np.linalg.solve(ours.stiffness, [0, 0, tip_force, 0, 0, 0])[2]
    errors = []
    for n in (10, 20, 40):
        k = lil_matrix((2 * n + 2, 2 * n + 2))
        step = length / n
        for i in range(n):
            outer = radius((i + 0.5) * step)
            inner = outer - 0.9
            area, second = np.pi * (outer**2 - inner**2), np.pi / 4 * (outer**4 - inner**4)
            m = inner / outer
            kappa = 6 * 1.3 * (1 + m**2) ** 2 / (8.8 * (1 + m**2) ** 2 + 23.6 * m**2)
            phi = 12 * STEEL * second / (kappa * SHEAR * area * step**2)
            k[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += _bending(STEEL, second, step, phi)
        load = np.zeros(2 * n)
        load[-2] = tip_force
        errors.append(abs(sparse.spsolve(k.tocsc()[2:, 2:], load)[-2] / exact - 1))
    assert errors[2] < 4e-4
    assert errors[0] / errors[1] == pytest.approx(4, rel=0.1)
    assert errors[1] / errors[2] == pytest.approx(4, rel=0.1)


def tripod() -> Structure:
    beams = [(a, b, tube_beam(straight(TRIPOD[a], TRIPOD[b]))) for a, b in MEMBERS]
    return structure(TRIPOD, beams)


def test_six_rigid_motions_are_free_and_nothing_else() -> None:
    one = tripod()
    assert one.loose.shape[1] == 6
    rigid = one.rigid_motion(np.array([1.0, 2.0, 3.0]), np.array([0.1, -0.2, 0.3]))
    assert np.linalg.norm(rigid - one.loose @ (one.loose.T @ rigid)) < 1e-6 * np.linalg.norm(rigid)


def test_what_still_moves_resists_some_loads_only() -> None:
    """Held at one joint it turns about it: a force through the joint moves nothing, another does."""
    held = tripod().held([(Term(Spot("foot", TRIPOD["foot"]), way),) for way in (X, Y, Z)])
    assert held.loose.shape[1] == 3
    assert held.resists((Term(Spot("foot", TRIPOD["foot"]), X),))
    assert not held.resists((Term(Spot("tip", TRIPOD["tip"]), Y),))


def test_a_part_of_its_own_takes_nothing_from_the_rest() -> None:
    """What no beam joins to the frame leaves the figures of the frame as they are."""
    one = tripod()
    ties = [*fixed("foot", TRIPOD["foot"]), *fixed("side", TRIPOD["side"])]
    load = (Term(Spot("tip", TRIPOD["tip"]), Y),)
    plain, beside = one.held(ties), one.with_group("apart", np.array([9.0, 9.0, 9.0])).held(ties)
    assert beside.resists(load)
    assert beside.reading(beside.motion(load), load) == pytest.approx(
        plain.reading(plain.motion(load), load), rel=1e-9
    )


def test_reciprocity() -> None:
    """Maxwell and Betti: the work of one load on another's displacements is mutual."""
    held = tripod().held([*fixed("foot", TRIPOD["foot"]), *fixed("side", TRIPOD["side"])])
    one = (Term(Spot("tip", (500, 0, 0)), (3.0, -5.0, 2.0), (10.0, 0, 0)),)
    other = (Term(Spot("knee", TRIPOD["knee"]), (0, 7.0, 1.0), (0, 100.0, -40.0)),)
    assert held.reading(held.motion(one), other) == pytest.approx(
        held.reading(held.motion(other), one)
    )


def test_forces_at_beams_balance_the_load() -> None:
    held = tripod().held([*fixed("foot", TRIPOD["foot"]), *fixed("side", TRIPOD["side"])])
    forces = held.forces(held.motion((Term(Spot("tip", TRIPOD["tip"]), (0, 100.0, 0)),)))
    assert forces[2][:3] + forces[3][:3] == pytest.approx([0, 100.0, 0], abs=1e-6)


def test_basis_of_what_rows_leave() -> None:
    rows = np.array([[1.0, 0, 0], [2.0, 0, 0]])
    assert remaining(rows).shape == (3, 2)
    assert np.abs(rows @ remaining(rows)).max() < 1e-12
    assert remaining(np.empty((0, 4))).shape == (4, 4)
