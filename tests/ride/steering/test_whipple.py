"""Held to the published benchmark bicycle, and to an own derivation by Kane's method."""

from dataclasses import replace

import mpmath
import numpy as np
import pytest

from frame3d.ride.steering.whipple import BodyMass, Matrices, WheelMass, Whipple
from tests.ride.steering.benchmark import BENCHMARK, OTHER
from tests.ride.steering.kane import by_kane

M = [[80.81722, 2.31941332208709], [2.31941332208709, 0.29784188199686]]
C1 = [[0.0, 33.86641391492494], [-0.85035641456978, 1.68540397397560]]
K0 = [[-80.95, -2.59951685249872], [-2.59951685249872, -0.80329488458618]]
K2 = [[0.0, 76.59734589573222], [0.0, 2.65431523794604]]
"""Section 5 of Meijaard et al. (2007), as the problem `bicycle` of NLEVP quotes it (Betcke, Higham,
Mehrmann, Schröder, Tisseur, ACM TOMS 39(2), 2013), which was read."""

TABLE = {
    0: (-5.53094371765393, -3.13164324790656, 3.13164324790656, 5.53094371765393),
    1: (-7.11008014637442, -3.13423125066578, 3.52696170990070, 0.80774027519930),
    2: (-8.67387984831735, -3.07158645641514, 2.68234517512745, 1.68066296590675),
    3: (-10.35101467245920, -2.63366137253667, 1.70675605663975, 2.31582447384325),
    4: (-12.15861426576447, -1.42944427361326, 0.41325331521125, 3.07910818603206),
    5: (-14.07838969279822, -0.32286642900409, -0.77534188219585, 4.46486771378823),
    6: (-16.08537123098026, -0.00406690076970, -1.52644486584142, 5.87673060598709),
    7: (-18.15788466125262, 0.10268170574766, -2.13875644258362, 7.19525913329805),
    8: (-20.27940894394569, 0.14327879765713, -2.69348683581097, 8.46037971396931),
    9: (-22.43788559040858, 0.15790184030917, -3.21675402252485, 9.69377351531791),
    10: (-24.62459635017404, 0.16105338653172, -3.72016840437287, 10.90681139476287),
}
"""Castering, capsize, weave (real, imaginary; at 0 two real pairs): table 2 of Meijaard et al., from
memory. 40 digits differ by at most 6e-13, castering at 7 m/s (see `test_eigenvalues_with_40_digits`)."""


def matrices() -> Matrices:
    return BENCHMARK.matrices()


@pytest.mark.parametrize(
    ("name", "printed"), [("mass", M), ("damping", C1), ("gravity", K0), ("speed", K2)]
)
def test_benchmark_matrices(name: str, printed: list[list[float]]) -> None:
    assert np.abs(getattr(matrices(), name) - printed).max() < 1e-13


def test_benchmark_against_the_printed_state_matrix_of_another_derivation() -> None:
    """-M⁻¹(g K0 + v² K2) and -M⁻¹ C1, read in SymPy 1.14's test of this bicycle (Kane's method)."""
    m = matrices()
    inverse = np.linalg.inv(m.mass)
    assert -inverse @ (9.81 * m.gravity) == pytest.approx(
        np.array([[9.48977444677355, -0.571523173729245], [11.7194768719633, 30.9087533932407]]),
        abs=1e-12,
    )
    assert -inverse @ m.speed == pytest.approx(
        np.array([[0, -0.891197738059089], [0, -1.97171508499972]]), abs=1e-13
    )
    assert -inverse @ m.damping == pytest.approx(
        np.array([[-0.105522449805691, -0.330515398992311], [3.67680523332152, -3.08486552743311]]),
        abs=1e-13,
    )


def test_whole_bicycle_by_hand() -> None:
    """The sums written out: moment of inertia about the line of contacts, mass times height."""
    m = matrices()
    assert m.mass[0, 0] == pytest.approx(
        0.0603 + 9.2 + 0.05892 + 0.1405 + 0.18 + 68.85 + 1.96 + 0.3675, abs=1e-13
    )
    assert m.gravity[0, 0] == pytest.approx(-(0.6 + 76.5 + 2.8 + 1.05), abs=1e-13)


@pytest.mark.parametrize("speed", TABLE)
def test_eigenvalues_of_the_table(speed: int) -> None:
    found = BENCHMARK.eigenvalues(np.array([float(speed)]))[0]
    castering, capsize, real, imaginary = TABLE[speed]
    expected: list[complex] = [castering, capsize]
    expected += (
        [real, imaginary] if speed == 0 else [complex(real, -imaginary), complex(real, imaginary)]
    )
    expected.sort(key=lambda s: (round(complex(s).real, 9), complex(s).imag))
    assert np.abs(found - expected).max() < 1e-11


@pytest.mark.parametrize("bicycle", [BENCHMARK, OTHER])
@pytest.mark.parametrize("speed", [0.0, 1.0, 4.0, 7.0, 10.0, 12.0])
def test_eigenvalues_with_40_digits(bicycle: Whipple, speed: float) -> None:
    """The roots of the characteristic polynomial by another algorithm, with 40 digits."""
    m = bicycle.matrices()
    with mpmath.workdps(40):

        def sub(s: mpmath.mpc) -> mpmath.matrix:
            k = bicycle.gravity_m_s2 * mpmath.matrix(m.gravity.tolist())
            k += mpmath.mpf(speed) ** 2 * mpmath.matrix(m.speed.tolist())
            return (
                s**2 * mpmath.matrix(m.mass.tolist())
                + s * speed * mpmath.matrix(m.damping.tolist())
                + k
            )

        # Five values of the determinant fix its five coefficients.
        places = [mpmath.mpf(i) for i in range(-2, 3)]
        vandermonde = mpmath.matrix([[p**n for n in range(4, -1, -1)] for p in places])
        coefficients = mpmath.lu_solve(
            vandermonde, mpmath.matrix([mpmath.det(sub(p)) for p in places])
        )
        roots = mpmath.polyroots(list(coefficients), maxsteps=200, extraprec=200)
        exact = [complex(r) for r in roots]
    exact.sort(key=lambda s: (round(s.real, 9), s.imag))
    assert np.abs(bicycle.eigenvalues(np.array([speed]))[0] - exact).max() < 1e-11


def test_castering_at_7_is_off_in_the_table() -> None:
    """40 digits give …25202, the printed …25262 is off in its thirteenth decimal place."""
    assert BENCHMARK.eigenvalues(np.array([7.0]))[0, 0].real == pytest.approx(
        -18.15788466125202, abs=2e-13
    )


def test_sums_and_products_of_eigenvalues() -> None:
    """They catch a swapped column; derived: the trace and the determinant of the state matrix."""
    speeds = np.arange(11.0)
    found = BENCHMARK.eigenvalues(speeds)
    assert found.sum(axis=1).real == pytest.approx(-3.1903879772388 * speeds, abs=1e-10)
    products = found.prod(axis=1).real
    assert products[[0, 5, 10]] == pytest.approx(
        [300.015050749, 93.346046989, -526.660964293], abs=5e-8
    )


def test_characteristic_polynomial() -> None:
    """Derived with 40 digits from the printed matrices."""
    expected = (
        [18.691074743879],
        [0, 59.631780144543],
        [-755.091903400376, 0, 65.651996338395],
        [0, -496.461083955410, 0, 65.135044421456],
        [5607.603737840252, 0, -154.514631861197],
    )
    for own, printed in zip(BENCHMARK.characteristic(), expected, strict=True):
        assert own.coef == pytest.approx(printed, abs=1e-10)


def test_weave_and_capsize_speed() -> None:
    """4.29238253634111 and 6.02426201538837 m/s in Meijaard et al., from memory; here with 40 digits."""
    assert BENCHMARK.weave_speed() == pytest.approx(4.29238253634110396, abs=1e-12)
    assert BENCHMARK.capsize_speed() == pytest.approx(6.02426201538835889, abs=1e-12)


def test_at_the_weave_speed_it_swings_on_for_ever() -> None:
    weave = BENCHMARK.weave_speed()
    assert weave is not None
    found = BENCHMARK.eigenvalues(np.array([weave]))[0]
    swinging = found[np.argmax(found.imag)]
    assert swinging.real == pytest.approx(0.0, abs=1e-12)
    assert swinging.imag == pytest.approx(3.43503384866144, abs=1e-11)


def test_double_root() -> None:
    """0.684283078892456 m/s with 3.78290405129320 1/s in Meijaard et al., from memory."""
    found = BENCHMARK.double_root()
    assert found is not None
    assert found[0] == pytest.approx(0.684283078892456, abs=1e-12)
    assert found[1] == pytest.approx(3.78290405129320, abs=1e-9)
    below, above = BENCHMARK.eigenvalues(np.array([found[0] - 1e-6, found[0] + 1e-6]))
    assert np.abs(below.imag).max() == 0.0
    assert np.abs(above.imag).max() > 0.0


@pytest.mark.parametrize("bicycle", [BENCHMARK, OTHER])
def test_hurwitz_says_the_same_as_the_eigenvalues(bicycle: Whipple) -> None:
    """Routh and Hurwitz: all real parts negative just where a, b, d, e > 0 and b c d > a d² + b² e."""
    speeds = np.linspace(0.1, 12.0, 60)
    stable = bicycle.eigenvalues(speeds).real.max(axis=1) < 0
    a, b, c, d, e = (np.array([p(v) for v in speeds]) for p in bicycle.characteristic())
    hurwitz = (b > 0) & (d > 0) & (e > 0) & (b * c * d > a * d**2 + b**2 * e)
    assert (stable == hurwitz).all()
    weave, capsize = bicycle.weave_speed(), bicycle.capsize_speed()
    assert weave is not None
    assert capsize is not None
    assert (stable == ((speeds > weave) & (speeds < capsize))).all()
    assert stable.any()
    assert not stable.all()


@pytest.mark.parametrize("bicycle", [BENCHMARK, OTHER])
def test_own_derivation_by_kanes_method(bicycle: Whipple) -> None:
    """Bodies, rotations and the two rolling contacts in SymPy: nothing of appendix A enters."""
    m = bicycle.matrices()
    for derived, own in zip(by_kane(bicycle), (m.mass, m.damping, m.gravity, m.speed), strict=True):
        assert np.abs(derived - own).max() < 1e-12 * max(1.0, np.abs(own).max())


def test_falling_in_and_steady_turn() -> None:
    """Derived from the printed matrices: 9.81 · 0.80329… and det(g K0 + v² K2) / (g K0[0, 0])."""
    assert BENCHMARK.falling_in_nm_per_rad == pytest.approx(7.8803228, abs=1e-6)
    capsize = BENCHMARK.capsize_speed()
    assert capsize is not None
    for speed, torque in ((4.0, -3.948234), (capsize, 0.0), (8.0, 5.391295)):
        lean, found = BENCHMARK.steady_turn(speed)
        assert found == pytest.approx(torque, abs=1e-6)
        # Equilibrium: lean torque zero.
        m = BENCHMARK.matrices()
        k = 9.81 * m.gravity + speed**2 * m.speed
        assert k @ [lean, 1.0] == pytest.approx([0.0, found], abs=1e-10)


def test_steady_turn_leans_as_a_point_mass_would_on_thin_wheels() -> None:
    """With no trail, front mass or spin: tan(lean) = v²/(g R) to the turn's inside, steer right, lean
    right; R = wheelbase / (steer · cos tilt).
    """
    nothing = WheelMass(0.35, 1e-9, 1e-12, 1e-12)
    plain = replace(
        BENCHMARK,
        trail_m=0.0,
        rear_wheel=nothing,
        front_wheel=nothing,
        front_assembly=BodyMass(1.02, -0.35, 1e-9, 0.0, 0.0, 0.0, 0.0),
    )
    lean, _ = plain.steady_turn(5.0)
    assert lean == pytest.approx(5.0**2 * np.cos(np.pi / 10) / (9.81 * 1.02), rel=1e-8)


def test_speeds_that_are_not_there_are_none() -> None:
    """Trail ahead of the steering axis: it falls over at every speed, and its swinging dies out."""
    ahead = replace(BENCHMARK, trail_m=-0.08)
    assert (ahead.weave_speed(), ahead.capsize_speed(), ahead.double_root()) == (None, None, None)
    found = ahead.eigenvalues(np.array([1.0, 5.0, 20.0]))
    assert (found.real.max(axis=1) > 0).all()
    assert (found.real[found.imag != 0] < 0).all()


def test_upright_steering_axis_without_trail() -> None:
    """Turned bars neither fall in nor push back, where neither trail nor mass is beside the axis."""
    plain = replace(
        BENCHMARK,
        tilt_degrees=0.0,
        trail_m=0.0,
        front_assembly=replace(BENCHMARK.front_assembly, x_m=1.02),
    )
    assert plain.falling_in_nm_per_rad == pytest.approx(0.0, abs=1e-12)
    assert np.isfinite(plain.eigenvalues(np.array([0.0, 5.0]))).all()
