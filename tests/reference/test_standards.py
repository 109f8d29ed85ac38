"""Standard sizes and tube sections against published tables, definitions and closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from frame3d.geometry.section import Section
from frame3d.parameters.sizes import standards
from frame3d.parameters.sizes.standards import UnknownSize

INCH = 25.4  # exact, international yard and pound agreement of 1959


@pytest.mark.parametrize(
    ("designation", "diameter", "circumference"),
    [
        # ISO 5775-1 as a published secondary summary gives it: bead seat + 2 × section height;
        # rows derived from that rule.
        ("57-622", 736, 2312.21),
        ("61-622", 744, 2337.34),
        ("60-622", 742, 2331.06),
        ("40-622", 702, 2205.40),
        ("28-622", 678, 2130.00),
        ("25-622", 677, 2126.86),  # below 28 mm: height 27.5
        ("27-622", 681, 2139.42),  # larger than 28-622: the rule jumps
        ("57-584", 698, 2192.83),
        ("71-584", 726, 2280.80),
        ("57-559", 673, 2114.29),
        ("54-507", 615, 1932.08),
        ("54-406", 514, 1614.78),
        ("32-630", 694, 2180.27),
    ],
)
def test_tyres(designation: str, diameter: float, circumference: float) -> None:
    tyre = standards.tyre(designation)
    assert tyre.diameter == diameter
    assert tyre.radius == diameter / 2
    assert math.pi * tyre.diameter == pytest.approx(circumference, abs=0.005)


@pytest.mark.parametrize("designation", ["32-597", "57-559", "52-622"])
def test_designations_that_the_published_summary_of_iso_5775_shows(designation: str) -> None:
    width, bead = map(int, designation.split("-"))
    tyre = standards.tyre(designation)
    assert (tyre.width, tyre.bead_seat) == (width, bead)


def test_everyday_names_of_bead_seats() -> None:
    """29 in and 700C 622, 27.5 in and 650B 584, 26 in 559, 24 in 507, 20 in 406: trade pages."""
    beads = standards.BEAD_SEATS
    for bead, names in {
        622: ("29 in", "700C"), 584: ("27.5 in", "650B"), 559: ("26 in",), 507: ("24 in",),
        406: ("20 in",), 686: ("32 in",),
    }.items():  # fmt: skip
        assert all(name in beads[bead] for name in names)


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("61-620", "61-622"),
        ("29x2.4", "61-622"),
        ("27.5 x 2.8", "71-584"),
        ("700x40c", "40-622"),
        ("650bx47", "47-584"),
        ("32x2.4", "61-686"),
        ("622-61", "width-bead seat"),
        ("10-622", "18 to 130"),
        ("61-622 ", "width-bead seat"),
        ("", "width-bead seat"),
    ],
)
def test_no_tyres(name: str, hint: str) -> None:
    with pytest.raises(UnknownSize) as caught:
        standards.tyre(name)
    assert hint in caught.value.hint


@pytest.mark.parametrize(
    ("name", "width", "axle", "end"),
    [
        # Trade pages, no standard read.
        ("100x15", 100, 15, "front"),
        ("100x12", 100, 12, "front"),
        ("130x10", 130, 10, "rear"),
        ("135x10", 135, 10, "rear"),
        ("142x12", 142, 12, "rear"),
        ("148x12", 148, 12, "rear"),
        ("150x12", 150, 12, "rear"),
        ("157x12", 157, 12, "rear"),
        # From memory, no source: 148 less its slots.
        ("141x10", 141, 10, "rear"),
        # Common practice, no source.
        ("110x15", 110, 15, "front"),
        ("110x20", 110, 20, "front"),
        ("177x12", 177, 12, "rear"),
        ("197x12", 197, 12, "rear"),
    ],
)
def test_hubs(name: str, width: float, axle: float, end: str) -> None:
    hub = standards.hub(name)
    assert (hub.width, hub.axle, hub.ends) == (width, axle, (end,))


def test_thru_axle_hubs_sit_3_5_mm_deep_on_either_side() -> None:
    """142 = 135 + 2 × 3.5 and 157 = 150 + 2 × 3.5 (trade pages); 148 = 141 + 2 × 3.5 (derived)."""
    for thru, open_end in (("142x12", "135x10"), ("148x12", "141x10"), ("157x12", "150x12")):
        width = standards.hub(thru).width
        assert width - standards.hub(open_end).width == 2 * standards.slot_of(width) == 7
        assert standards.slot_of(standards.hub(open_end).width) == 0
    assert standards.slot_of(110) == standards.slot_of(146) == 0


@pytest.mark.parametrize(
    ("name", "hint"),
    [("12x148", "148x12"), ("148 x 12", "148x12"), ("149x12", "148x12"), ("wide", "148x12")],
)
def test_no_hubs(name: str, hint: str) -> None:
    with pytest.raises(UnknownSize) as caught:
        standards.hub(name)
    assert hint in caught.value.hint


def test_threaded_shells() -> None:
    """1.370 in × 24 tpi (trade pages); bore before tapping D − 1.0825 P of a 60° thread (derived).

    1.0825 P is twice 5/8 of the height of the sharp triangle, √3/2 P.
    """
    major, pitch = 1.370 * INCH, INCH / 24
    assert major == pytest.approx(34.798, abs=0.0005)
    assert pitch == pytest.approx(1.05833, abs=0.00001)
    bore = major - 2 * 5 / 8 * math.sqrt(3) / 2 * pitch
    for name, width in (("threaded-68", 68), ("threaded-73", 73), ("threaded-83", 83)):
        shell = standards.shell(name)
        assert shell.width == width
        assert shell.bore == pytest.approx(bore, abs=0.005)
        assert 38 <= shell.od <= 40  # steel: common practice, no source


@pytest.mark.parametrize(
    ("name", "width", "bore"),
    [
        ("pressfit-41-86.5", 86.5, 41),  # trade pages
        ("pressfit-41-92", 92, 41),  # trade pages
        ("pressfit-46-86.5", 86.5, 46),  # trade pages
        ("pressfit-42-68", 68, 41.96),  # trade pages
        ("pressfit-42-73", 73, 41.96),  # trade pages
        ("t47-68", 68, 46),  # cut in what was a 46 mm bore: trade pages
        ("pressfit-41-107", 107, 41),  # from memory, no source
        ("pressfit-42-79", 79, 41.96),  # from memory, no source
        ("pressfit-46-79", 79, 46),  # from memory, no source
        ("eccentric-68", 68, 54),  # from memory, no source
        ("eccentric-73", 73, 54),  # from memory, no source
    ],
)
def test_wide_shells(name: str, width: float, bore: float) -> None:
    shell = standards.shell(name)
    assert (shell.width, shell.bore) == (width, bore)
    assert shell.od > shell.bore


def test_the_shell_of_79_is_one_of_68_with_11_mm_more_on_the_left() -> None:
    """From memory, no source."""
    wide, plain = standards.shell("pressfit-46-79"), standards.shell("pressfit-46-68")
    assert wide.middle - wide.width / 2 == -plain.width / 2
    assert wide.middle + wide.width / 2 == plain.width / 2 + 11


def test_the_bore_of_t47_lies_within_the_thread() -> None:
    """M47 × 1: minor diameter D − 1.0825 P = 45.92 mm (derived); the 46 mm bore is 0.08 wider."""
    minor = 47 - 2 * 5 / 8 * math.sqrt(3) / 2 * 1
    assert minor < standards.shell("t47-73").bore < 47


@pytest.mark.parametrize(
    ("code", "low", "high"),
    [
        # Finished bores that builders ream to: common practice; values from memory of SHIS tables.
        ("EC34/28.6", 33.90, 33.95),
        ("ZS44/28.6", 43.95, 44.00),
        ("EC44/40", 43.95, 44.00),
        ("EC49/40", 49.57, 49.61),
        ("ZS56/40", 55.95, 56.00),
        ("EC37/31.8", 36.90, 36.95),
        ("ZS41/28.6", 41.35, 41.40),
        ("ZS55/40", 54.90, 54.95),
        ("IS38/25.4", 38.15, 38.20),
        ("IS41/28.6", 41.10, 41.15),
        ("IS47/33", 47.05, 47.10),
        ("IS49/33", 49.10, 49.15),
        ("IS52/40", 52.05, 52.10),
    ],
)
def test_headset_bores(code: str, low: float, high: float) -> None:
    cup = standards.cup(code)
    assert cup.finished == (low, high)
    assert cup.bore == pytest.approx((low + high) / 2)
    assert cup.kind == code[:2]


@pytest.mark.parametrize(
    ("code", "bore"),
    [
        # Sizes listed by trade pages for 1 1/8 in and 1 in: within the press of 0.1 to 0.25 mm.
        ("EC34/28.6", 33.8),
        ("ZS44/28.6", 43.9),
        ("IS41/28.6", 41.1),
        ("IS42/28.6", 41.9),
        ("EC49/38.1", 49.6),
        ("EC30/25.4", 30.0),
    ],
)
def test_headset_bores_against_trade_lists(code: str, bore: float) -> None:
    assert standards.cup(code).bore == pytest.approx(bore, abs=0.15)


@pytest.mark.parametrize(
    ("upper", "lower"),
    [
        # Examples of the published SHIS identification guide.
        ("EC34/28.6", "EC34/30"),
        ("ZS44/28.6", "ZS44/30"),
        ("ZS44/28.6", "ZS56/40"),
    ],
)
def test_codes_that_the_shis_guide_shows(upper: str, lower: str) -> None:
    assert standards.cup(upper).fits in standards.STEERERS
    assert standards.cup(lower).fits in standards.CROWN_SEATS


@pytest.mark.parametrize(
    ("code", "seat"),
    [
        ("EC30/26", 26.4),  # 1 in, ISO: from memory of the trade's tables
        ("EC30/26.4", 26.4),
        ("EC30/27", 27.0),  # 1 in, JIS: from memory of the trade's tables
        ("EC34/30", 30.0),  # trade pages
        ("EC37/33", 33.0),  # from memory of the trade's tables
        ("ZS56/40", 39.8),  # common practice, no source
    ],
)
def test_crown_seats(code: str, seat: float) -> None:
    fits = standards.cup(code).fits
    assert fits is not None
    assert standards.CROWN_SEATS[fits] == seat


@pytest.mark.parametrize(
    ("code", "contact"),
    [
        ("IS41/28.6", (45, 36)),  # trade pages: 45° × 36°
        ("IS42/28.6", (45, 45)),  # trade pages: 45° × 45°
        ("IS52/40", (45, 45)),  # from memory of bearing lists
        ("ZS44/28.6", None),
    ],
)
def test_seats_of_integrated_bearings(code: str, contact: tuple[float, float] | None) -> None:
    assert standards.cup(code).contact == contact


def test_every_integrated_bore_has_its_seat() -> None:
    assert set(standards.CONTACTS) == set(standards.INTEGRATED_BORES)


def test_a_cup_goes_in_as_deep_as_the_guide_draws_it() -> None:
    """Insertion of an external cup 10.00 mm: SHIS identification guide of 2010, example drawing."""
    assert standards.cup("EC34/28.6").depth >= 10.0
    assert standards.cup("EC34").fits is None


@pytest.mark.parametrize(
    ("code", "hint"),
    [
        ("ZS45/28.6", "ZS44"),
        ("IS44/28.6", "IS41"),
        ("EC41/28.6", "EC44"),
        ("ZS37/31.8", "ZS41"),
        ("EC55/40", "EC56"),
        ("ZS44/29", "28.6"),
        ("zs44/28.6", "e.g. ZS44/28.6"),
        ("44", "EC, ZS or IS"),
    ],
)
def test_no_codes(code: str, hint: str) -> None:
    with pytest.raises(UnknownSize) as caught:
        standards.cup(code)
    assert hint in caught.value.hint


@pytest.mark.parametrize(
    ("name", "length", "stroke"),
    [
        # Inches from trade use, millimetres derived at 25.4 mm an inch.
        ("6.5x1.5", 165.1, 38.1),
        ("7.5x2.0", 190.5, 50.8),
        ("7.875x2.0", 200.03, 50.8),
        ("7.875x2.25", 200.03, 57.15),
        ("8.5x2.5", 215.9, 63.5),
        ("8.75x2.75", 222.25, 69.85),
        ("9.5x3.0", 241.3, 76.2),
        ("10.5x3.5", 266.7, 88.9),
        ("7.25x1.75", 184.15, 44.45),
        ("184x44.5", 184, 44.5),  # the same, rounded as sold: common practice, no source
        # Metric grid: common practice, no source.
        ("210x55", 210, 55),
        ("250x75", 250, 75),
        ("185x55", 185, 55),
    ],
)
def test_shocks(name: str, length: float, stroke: float) -> None:
    shock = standards.shock(name)
    assert shock.length == pytest.approx(length, abs=0.006)
    assert shock.stroke == pytest.approx(stroke, abs=0.001)


def test_the_metric_shock_grid() -> None:
    """Eye-to-eye in steps of 20 mm (trade pages); a trunnion sits 25 mm nearer (common practice)."""
    eyelets = [s for s in standards.SHOCKS.values() if s.mount == "eyelet" and "metric" in s.note]
    assert sorted({s.length for s in eyelets}) == [170, 190, 210, 230, 250]
    trunnions = {s.length for s in standards.SHOCKS.values() if s.mount == "trunnion"}
    assert sorted(trunnions) == [165, 185, 205, 225]  # nobody makes 145
    for s in (e for e in eyelets if e.length > 170):
        trunnion = standards.shock(f"{s.length - 25:g}x{s.stroke:g}")
        assert trunnion.mount == "trunnion"
    with pytest.raises(UnknownSize, match="no known shock"):
        standards.shock("211x55")


def test_seatposts_go_with_their_tubes() -> None:
    """27.2 in 28.6 (trade pages); 30.9 and 31.6 under 34.9 (trade pages)."""
    assert {27.2, 30.9, 31.6, 34.9} <= set(standards.SEATPOSTS)
    assert "28.6" in standards.SEATPOSTS[27.2]


@pytest.mark.parametrize(
    ("name", "density"),
    [
        ("4130", 7.85),  # ASM data sheet, published
        ("Ti-3Al-2.5V", 4.48),  # ASM data sheet, published
        ("6061-T6", 2.70),  # Aluminum Association typical value, published
        ("7005-T6", 2.78),  # value from memory of a data sheet
        ("steel", 7.85),
        ("titanium", 4.48),
        ("aluminium", 2.70),
    ],
)
def test_densities(name: str, density: float) -> None:
    assert standards.material(name).density == density


@pytest.mark.parametrize(
    ("name", "pounds_a_cubic_inch"),
    [("4130", 0.283), ("6061-T6", 0.098), ("Ti-3Al-2.5V", 0.162)],
)
def test_densities_against_a_second_handbook(name: str, pounds_a_cubic_inch: float) -> None:
    """Values from memory of MIL-HDBK-5, whose tables were not read; pound and inch exact."""
    density = pounds_a_cubic_inch * 453.59237 / (INCH / 10) ** 3
    assert standards.material(name).density == pytest.approx(density, rel=0.006)


def test_no_material() -> None:
    with pytest.raises(UnknownSize) as caught:
        standards.material("4310")
    assert "4130" in caught.value.hint
    assert "density_g_cm3" in caught.value.hint


@pytest.mark.parametrize(
    ("inches", "wall_inches", "material", "area", "inertia", "grams_a_metre"),
    [
        # Derived from the closed forms of a ring at the densities above, inch sizes exact.
        (1.125, 0.035, "4130", 77.3236, 7416.34, 606.99),
        (1.250, 0.035, "4130", 86.1909, 10269.56, 676.60),
        (1.375, 0.035, "4130", 95.0583, 13774.42, 746.21),
        (1.500, 0.035, "4130", 103.9257, 17997.97, 815.82),
        (1.500, 0.035, "Ti-3Al-2.5V", 103.9257, 17997.97, 465.59),
        (1.500, 0.065, "6061-T6", 189.0526, 31459.66, 510.44),
    ],
)
def test_sections(
    inches: float,
    wall_inches: float,
    material: str,
    area: float,
    inertia: float,
    grams_a_metre: float,
) -> None:
    od, wall = inches * INCH, wall_inches * INCH
    section = Section((0.0, 1000.0), (od, od), (od, od), (wall, wall))
    a = float(section.area_at(500.0))
    assert a == pytest.approx(area, abs=5e-5)
    assert a * standards.material(material).density == pytest.approx(grams_a_metre, abs=0.006)
    # The row's own second moment, of a ring of this area: I = A (d² + D²) / 16.
    assert a * (od**2 + (od - 2 * wall) ** 2) / 16 == pytest.approx(inertia, abs=0.006)


@pytest.mark.parametrize(("butt", "middle", "grams"), [(0.9, 0.6, 287.0), (0.7, 0.4, 207.0)])
def test_a_butted_tube_weighs_between_its_plain_ones(
    butt: float, middle: float, grams: float
) -> None:
    """590 mm × 28.6, 0.9/0.6 287 g and 0.7/0.4 207 g: trade pages. Plain 0.9 362.7 g, plain 0.6
    244.4 g (derived at 7.85).
    """
    density = standards.material("4130").density

    def mass(walls: tuple[float, ...], stations: tuple[float, ...]) -> float:
        """Exact: the area is quadratic in s between stations, so Simpson's rule has no error."""
        n = len(stations)
        section = Section(stations, (28.6,) * n, (28.6,) * n, walls)
        total = 0.0
        for a, b in pairwise(stations):
            area = [float(section.area_at(s)) for s in (a, (a + b) / 2, b)]
            total += (b - a) / 6 * (area[0] + 4 * area[1] + area[2])
        return total * density / 1000

    heavy, light = mass((butt, butt), (0.0, 590.0)), mass((middle, middle), (0.0, 590.0))
    if butt == 0.9:
        assert heavy == pytest.approx(362.7, abs=0.05)
        assert light == pytest.approx(244.4, abs=0.05)
    butted = mass((butt, butt, middle, middle, butt, butt), (0.0, 100, 150, 440, 490, 590))
    assert light < butted < heavy
    assert light < grams < heavy
