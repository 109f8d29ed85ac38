"""What can be compared: saved versions, files beside by name alone, what a page gives, an exchange."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from frame3d.bike.choice import Choice
from frame3d.errors import FrameError
from frame3d.live.comparing.sides import EXCHANGED, GIVEN, LAST, NOW, Sides
from frame3d.live.session import Session
from frame3d.live.solved_text import SolvedText, good
from frame3d.report.texts import texts
from tests.live.families import FAMILY
from tests.live.serving import SMALL

TEXT = SMALL.read_text(encoding="utf-8")
OTHER = TEXT.replace("reach: 455", "reach: 430")


class Here:
    """A workspace's folder, its session, and the bike in view."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "bike.yaml"
        self.file.write_text(TEXT, encoding="utf-8")
        self.now: SolvedText | None = good(TEXT, "bike.yaml")
        self.session = Session(TEXT)
        self.session.solved(1, self.now)
        self.sides = Sides(self.session, self.file, texts(), lambda: self.now)

    def keys(self) -> list[str]:
        self.sides.look()
        return [key for key, _ in self.sides.options()]


@pytest.fixture
def here(tmp_path: Path) -> Here:
    (tmp_path / "in").mkdir()
    return Here(tmp_path / "in")


def test_at_first_the_saved_version_and_the_present_bike(here: Here) -> None:
    before, after = here.sides.pair
    assert before is not None
    assert after is not None
    assert before.solved is after.solved is here.now
    assert here.keys() == [NOW, LAST, "version 0"]
    assert here.sides.after is None  # the present bike needs no picture of its own
    here.now = None
    assert here.sides.pair[1] is None


def test_files_beside_are_offered_by_name_and_read_when_chosen(here: Here) -> None:
    folder = here.file.parent
    (folder / "b.yaml").write_text(OTHER.replace("\n", "\r\n"), newline="")
    (folder / "a.YML").write_text("nonsense: [")
    (folder / ".hidden.yaml").write_text(OTHER)
    (folder / "c.txt").write_text(OTHER)
    (folder.parent / "outside.yaml").write_text(OTHER)
    assert here.keys() == [NOW, LAST, "version 0", "file a.YML", "file b.yaml"]
    here.sides.choose("file b.yaml", NOW)
    assert here.sides.before is not None
    assert here.sides.before.name == "b.yaml"
    assert here.sides.before.solved.bike.chart["reach"] == pytest.approx(430)
    with pytest.raises(FrameError):
        here.sides.choose("file a.YML", NOW)
    assert here.sides.chosen == ("file b.yaml", NOW)
    again = here.sides.before.solved
    here.sides.choose("file b.yaml", LAST)
    assert here.sides.before.solved is again
    (folder / "b.yaml").write_text(TEXT)
    here.sides.choose("file b.yaml", LAST)
    assert here.sides.before.solved.bike.chart["reach"] == pytest.approx(455)


@pytest.mark.parametrize(
    "key",
    [
        "file ../outside.yaml",
        "file outside.yaml",
        "file bike.yaml",
        "file ",
        "version 9",
        "file /x",
        "",
    ],
)
def test_what_is_not_offered_is_ignored(here: Here, key: str) -> None:
    (here.file.parent.parent / "outside.yaml").write_text(OTHER)
    here.sides.choose(key, NOW)
    here.sides.choose(NOW, key)
    assert here.sides.chosen == (LAST, NOW)


def test_no_file_is_offered_to_pages_on_the_network(here: Here) -> None:
    (here.file.parent / "b.yaml").write_text(OTHER)
    here.sides.reads_others = False
    assert here.keys() == [NOW, LAST, "version 0"]
    here.sides.choose("file b.yaml", NOW)
    assert here.sides.chosen == (LAST, NOW)


def test_a_folder_that_is_gone_offers_nothing(here: Here) -> None:
    os.unlink(here.file)
    os.rmdir(here.file.parent)
    assert here.keys() == [NOW, LAST, "version 0"]


def test_a_file_that_a_page_gives(here: Here) -> None:
    here.sides.give("given.yaml", OTHER)
    assert here.sides.chosen == (GIVEN, NOW)
    assert here.keys()[-1] == GIVEN
    with pytest.raises(FrameError):
        here.sides.give("worse.yaml", "nonsense: [")
    assert here.sides.before is not None
    assert here.sides.before.name == "given.yaml"


def test_an_exchange_follows_the_present_bike(here: Here) -> None:
    assert here.now is not None
    here.sides.exchange("build.fork.axle_to_crown=551  build.front_wheel.tyre = 57-622")
    assert here.sides.chosen == (NOW, EXCHANGED)
    assert here.sides.before is None
    after = here.sides.after
    assert after is not None
    assert after.solved.swaps == ("build.fork.axle_to_crown=551", "build.front_wheel.tyre = 57-622")
    angle = after.solved.bike.chart["head_tube_angle"]
    assert angle is not None
    assert angle < 65.5  # a longer fork pitches the frame back
    here.now = good(OTHER, "bike.yaml")
    here.sides.follow()
    assert here.sides.after is not None
    assert here.sides.after.solved.text == OTHER
    assert here.sides.after.solved.swaps == after.solved.swaps
    for wrong in ("build.fork.wings=2", "reach", "geometry.reach=400"):
        with pytest.raises(FrameError):
            here.sides.exchange(wrong)
    here.sides.exchange("   ")
    assert here.sides.chosen == (NOW, EXCHANGED)


class Family(Here):
    """A file of three sizes with settings, seen in size M."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.now = good(FAMILY, "bike.yaml")
        self.session.solved(1, self.now)


@pytest.fixture
def family(tmp_path: Path) -> Family:
    return Family(tmp_path)


def names(family: Family) -> tuple[str, str]:
    family.sides.follow()
    before, after = family.sides.pair
    assert before is not None
    assert after is not None
    return before.solved.name, after.solved.name


def test_any_two_bikes_of_the_file_are_compared_and_follow_its_text(family: Family) -> None:
    keys = [key for key, _ in family.sides.options() if key.startswith("bike ")]
    assert len(keys) == len(set(keys)) == 9
    assert dict(family.sides.options())["bike L quick"] == "size L, quick"
    family.sides.choose("bike S", "bike L long")
    assert names(family) == ("Small bike, size S", "Small bike, size L, long")
    family.now = good(FAMILY.replace("from: 430", "from: 440"), "bike.yaml")
    assert family.sides.pair == (None, None)  # not solved yet
    family.sides.follow()
    assert family.sides.before is not None
    assert family.sides.before.solved.bike.chart["reach"] == 440
    # One that the text no longer has is no longer compared.
    family.now = good(FAMILY.replace("  L:\n", "").replace(", L: 64", ""), "bike.yaml")
    family.sides.follow()
    assert family.sides.chosen == ("bike S", NOW)


def test_versions_are_compared_in_the_present_size(family: Family) -> None:
    family.session = Session(FAMILY)
    family.sides = Sides(family.session, family.file, texts(), lambda: family.now)
    family.session.solved(1, good(FAMILY, "bike.yaml"))
    family.now = good(FAMILY, "bike.yaml", Choice("L", ("long",)))
    assert names(family) == ("Small bike, size L, long",) * 2
    family.sides.exchange("build.fork.axle_to_crown=541")
    family.now = good(FAMILY, "bike.yaml", Choice("S"))
    family.sides.follow()
    assert family.sides.after is not None
    assert family.sides.after.solved.choice == Choice(
        "S", (), (), ("build.fork.axle_to_crown=541",)
    )
    family.sides.give("other.yaml", FAMILY)
    family.sides.follow()
    assert family.sides.before is not None
    assert family.sides.before.name == "other.yaml, size S"


def test_a_size_that_cannot_be_made_is_told(family: Family) -> None:
    family.sides.choose("bike S", NOW)
    family.now = good(FAMILY.replace("S: 60", "S: 6000"), "bike.yaml")
    family.sides.follow()
    assert family.sides.pair[0] is None
    assert family.sides.faults
    with pytest.raises(FrameError):
        family.sides.choose(NOW, "bike S")
    assert family.sides.chosen == ("bike S", NOW)


def test_a_file_with_settings_alone_offers_them_and_the_frame_as_drawn(family: Family) -> None:
    family.now = good(TEXT + "settings: {long: {build.fork.axle_to_crown: 551}}\n", "bike.yaml")
    options = dict(family.sides.options())
    assert (options["bike "], options["bike long"]) == ("as drawn", "long")
