"""The fit on a terminal."""

from __future__ import annotations

from frame3d.cli.riding.fit import FIGURES, set_of, text
from frame3d.ride.fit.cockpit import Cockpit
from frame3d.ride.fit.of_bike import Fit, fit_of
from tests.ride.fit.samples import FULL, HARDTAIL, RIGID, bike


def fit(name: str, *sets: str) -> Fit:
    found = fit_of(bike(name, *sets))
    assert found is not None
    return found


def test_all_figures_in_all_positions() -> None:
    found = fit(FULL)
    lines = text(found, 200).splitlines()
    for name, title, unit in FIGURES:
        (line,) = [line for line in lines if line.startswith(f"{title} [{unit}]")]
        values = [getattr(one, name) for one in found.contacts]
        assert line.split()[-len(values) :] == [f"{value:.1f}" for value in values]


def test_narrow_terminals_get_narrow_tables() -> None:
    contacts = text(fit(FULL), 100).split("What keeps")[0]
    assert max(map(len, contacts.splitlines())) <= 100


def test_cockpits_of_the_full_demo() -> None:
    """Spacers 37.7 and 19.5, stems 55.6 and 47.1: 25 mm of rise by sin 65° and cos 65°."""
    shown = text(fit(FULL), 120)
    rows = {line.split("  ")[0]: line.split() for line in shown.splitlines() if " rise  " in line}
    assert rows["0 rise"][2:4] != []
    bars = shown.split("What keeps")[1].split("Grips behind")[0]
    assert "0 rise         55.6     37.7" in bars
    assert "20 rise        47.1     19.5" in bars
    assert "the stem would sit 7.7 mm inside the headset" in bars


def test_knee_and_trunk_are_bands() -> None:
    found = fit(FULL)
    assert found.angles is not None
    knee = found.angles.knee_angle
    assert knee is not None
    shown = text(found, 120)
    assert f"Knee {knee.low:.0f} to {knee.high:.0f}° at the lowest pedal" in shown
    assert "10 mm more of saddle: -" in shown
    assert "Trunk " in shown
    assert "Saddle height for a knee of 35 to 25°: " in shown
    assert " mm, ±" in shown
    high = text(fit(FULL, "build.seatpost.saddle_height=900"), 120)
    assert "the leg does not reach the lowest pedal" in high


def test_what_is_not_there_has_no_table() -> None:
    bare = text(fit(HARDTAIL, "build.stem=null", "build.rider=null"), 120)
    for absent in ("What keeps", "Knee", "Standing astride", "stem's top", "to grips"):
        assert absent not in bare
    assert "headset's top" in bare


def test_a_stem_turned_over_is_named() -> None:
    shown = text(fit(RIGID), 120)
    assert "0 rise, stem at -6°" in shown
    assert "Grips behind the clamp" not in shown


def test_sets_in_words() -> None:
    assert (
        set_of(Cockpit(45, 15, 25, -30))
        == "stem 45, spacers 15, rise 25, grips 30 behind the clamp"
    )
    assert "stem 80 at 6°" in set_of(Cockpit(80, 10, 0, 75, 6))
    assert set_of(Cockpit(80, 10, 0, 75, 6)).endswith("grips 75 ahead of the clamp")
