"""Read a study, and hold it against the bike's file; report all its faults at once."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from frame3d.errors import Fault, FrameError, GeometryError, SourceLocation, SpecError, of_size
from frame3d.explore.study.bike_file import BikeFile, of_bike, said_of_bike
from frame3d.explore.study.collector import Collector
from frame3d.explore.study.contradictions import contradictions
from frame3d.explore.study.models import ALL_SIZES, StudySpec, Whole
from frame3d.explore.study.ride_figures import RideFigures
from frame3d.explore.study.stiffness_figures import StiffnessFigures
from frame3d.explore.study.study import Sample, Study, Varied, Wish
from frame3d.explore.study.vary import varied_of
from frame3d.explore.study.wished import Asked, checks_of, preferences_of, wishes_of
from frame3d.parameters.models.base import unknown
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.data import (
    Reading,
    first_of_each,
    in_order,
    no_mapping,
    places,
    refuse_unprintable,
)
from frame3d.parameters.reading.reader import read_text

BEGINS = "a study begins with format: 1, bike: FILE and vary: {…}"


def read_study(path: str | Path) -> Study:
    """Read a study and the bike's file that it names.

    Args:
        path: the study; the bike's file is found from its folder.

    Raises:
        SpecError: every fault of the study, or of the bike's file, each told as such.
    """
    source = os.fspath(path)
    try:
        text = read_text(source)
    except SpecError as error:
        raise SpecError(
            replace(f, hint="check the name of the study") if f.code == "file-missing" else f
            for f in error.faults
        ) from None
    whole, said = _whole(text, source)
    bike_source = os.fspath(Path(source).parent / whole.bike)
    try:
        bike_text = read_text(bike_source)
    except SpecError as error:
        fault = error.faults[0]
        if fault.code != "file-missing":
            raise of_bike(error) from None
        said.add("file-missing", "bike", f"{bike_source}: {fault.message}", "name the bike's file")
        raise SpecError(said.faults) from None
    return _study(text, source, bike_text, bike_source, whole, said)


def loads_study(text: str, source: str, bike_text: str, bike_source: str) -> Study:
    """Read a study from its text and that of the bike's file, whatever file it names.

    Raises:
        SpecError: as `read_study`.
    """
    return _study(text, source, bike_text, bike_source, *_whole(text, source))


def _whole(text: str, source: str) -> tuple[Whole, Collector]:
    """Return what stands at the top of a study.

    Raises:
        SpecError: it is at fault.
    """
    whole = SourceLocation(source)
    text = text.removeprefix("\ufeff")
    place = places(text, source)
    refuse_unprintable(text, place)
    parsed = tree.parse(text, place)
    if not isinstance(parsed.root, tree.Mapping):
        raise SpecError((*parsed.faults, no_mapping(parsed.root, whole, BEGINS)))
    said = Collector(Reading(whole))
    data = said.reading.mapping(parsed.root, "")
    spec = said.model(StudySpec, data, "")
    faults = first_of_each(parsed.faults, said.reading.faults, said.faults)
    if faults or spec is None:
        raise SpecError(sorted(faults, key=in_order))
    return spec, said


def _study(
    text: str, source: str, bike_text: str, bike_source: str, whole: Whole, said: Collector
) -> Study:
    """Return the study.

    Raises:
        SpecError: as `read_study`.
    """
    bike = BikeFile(bike_text, bike_source)
    sizes = _sizes(whole, bike, said)
    settings = _settings(whole, bike, said)
    _stop(said)
    specs = {size: _as_it_stands(bike, size) for size in sizes}
    varied = varied_of(whole.vary, bike, sizes, said)
    stands = len(varied) == len(whole.vary)
    sets = put_in(varied, bike, sizes[0])
    spec = _with(bike, sets, sizes[0], said) if stands else None
    spec = specs[sizes[0]] if spec is None else spec
    asked = Asked(spec, tuple(whole.vary), said, RideFigures(spec), StiffnessFigures(spec))
    try:
        wishes = wishes_of(whole.wishes, asked)
        preferences = preferences_of(whole.prefer, asked)
        checks = checks_of(whole.wishes, asked)
        if stands and not said.faults:
            each = (_contradictions(bike, sets, size, varied, wishes) for size in sizes)
            said.faults += next((faults for faults in each if faults), [])
            said.faults += _fixed_travel(spec, varied, wishes)
    except FrameError as error:
        raise SpecError([*said.faults, *(said_of_bike(f) for f in error.faults)]) from None
    _stop(said)
    return Study(
        source=source,
        text=text,
        bike_source=bike_source,
        bike_text=bike_text,
        varied=varied,
        wishes=wishes,
        preferences=preferences,
        checks=checks,
        checks_place=said.place("wishes.checks") if checks else None,
        sample=None
        if whole.sample is None
        else Sample(whole.sample.kind, whole.sample.count, whole.sample.seed),
        sizes=sizes,
        settings=settings,
    )


def _stop(said: Collector) -> None:
    """Raise `SpecError` with the faults found so far, if any."""
    faults = first_of_each((), said.faults)
    if faults:
        raise SpecError(sorted(dict.fromkeys(faults), key=in_order))


def _sizes(whole: Whole, bike: BikeFile, said: Collector) -> tuple[str | None, ...]:
    """Return the sizes that one set of values must serve."""
    offered = bike.variants.sizes
    wanted = whole.sizes
    if wanted is None and whole.size is None:
        return (bike.variants.default,)
    key = "for" if wanted is not None else "size"
    if not offered:
        way = "name them in it, e.g. sizes: [S, M, L], or leave this out"
        said.add("missing-key", key, "the bike's file has no sizes", way)
        return (None,)
    if wanted == ALL_SIZES:
        return offered
    names = (str(whole.size),) if wanted is None else wanted
    for i, name in enumerate(names):
        if name not in offered:
            problem = unknown("", "size", name, offered)
            path = key if wanted is None else f"{key}.{i}"
            said.add(problem.code, path, problem.message, problem.hint)
    return tuple(dict.fromkeys(names))


def _settings(whole: Whole, bike: BikeFile, said: Collector) -> tuple[str, ...]:
    """Return the settings that are made."""
    names = whole.setting or ()
    for name in names:
        if name not in bike.variants.settings:
            problem = unknown("", "setting", name, bike.variants.settings)
            said.add(problem.code, "setting", problem.message, problem.hint)
    return names


def _as_it_stands(bike: BikeFile, size: str | None) -> FrameSpec:
    """Return the bike of the file as it stands.

    Raises:
        SpecError: the file is at fault, told as such.
    """
    try:
        return bike.spec((), size)
    except SpecError as error:
        raise of_bike(error) from None


def put_in(varied: Sequence[Varied], bike: BikeFile, size: str | None) -> tuple[str, ...]:
    """Return the changes that put into the file what varies and is not in it, ``KEY=VALUE``."""
    return tuple(
        f"{one.path}={one.text(one.start)}"
        for one in varied
        if one.start is not None and not bike.nodes_at(one.path, size)
    )


def _with(
    bike: BikeFile, sets: Sequence[str], size: str | None, said: Collector
) -> FrameSpec | None:
    """Return the bike with what is put in; None where the file does not take it, which is added."""
    if not sets:
        return None
    try:
        return bike.spec(sets, size)
    except SpecError as error:
        for fault in error.faults:
            key = sets[0].partition("=")[0]
            way = f"{fault.hint}; another start, or a number that the file has"
            said.add(fault.code, f"vary.{key}", f"with its start put in: {fault.message}", way)
        return None


def _contradictions(
    bike: BikeFile,
    sets: Sequence[str],
    size: str | None,
    varied: Sequence[Varied],
    wishes: Sequence[Wish],
) -> list[Fault]:
    """Return the faults of wishes that the chart cannot meet, with the size where the file has sizes.

    Raises:
        GeometryError: the file's own figures do not determine one bike.
    """
    created = {typed.partition("=")[0] for typed in sets}
    try:
        found = contradictions(bike, sets, size, varied, wishes)
    except GeometryError as error:
        own = [fault for fault in error.faults if fault.path not in created]
        if own or not error.faults:
            raise
        found = [_put_in_too_much(fault, varied) for fault in error.faults]
    if not found or size is None:
        return found
    return list(of_size(SpecError(found), size).faults)


def _put_in_too_much(fault: Fault, varied: Sequence[Varied]) -> Fault:
    """Return the fault of a figure that is put in, told at the line of the study."""
    place = next((one.place for one in varied if one.path == fault.path), None)
    return replace(
        fault,
        path=f"vary.{fault.path}",
        message=f"with its start put in: {fault.message}",
        place=place,
    )


def _fixed_travel(
    spec: FrameSpec, varied: Sequence[Varied], wishes: Sequence[Wish]
) -> Iterator[Fault]:
    """Yield the fault of a wish for a travel other than the one that the file always meets."""
    rear = spec.suspension
    if (
        rear is None
        or rear.travel is None
        or all(one.to_meet != "travel" for one in rear.solve_for)
    ):
        return
    ranges = [one for one in varied if one.path == "suspension.travel"]
    low = high = rear.travel
    for one in ranges:
        numbers = [v for v in (one.low, one.high, *one.values) if isinstance(v, float | int)]
        low, high = min(numbers), max(numbers)
    for wish in wishes:
        if wish.quantity.name != "travel" or wish.quantity.stage != "linkage":
            continue
        if (wish.low is None or wish.low <= high) and (wish.high is None or wish.high >= low):
            continue
        place = spec.place("suspension.travel")
        line = "" if place is None or place.line is None else f", line {place.line} of its file"
        yield Fault(
            "contradictory",
            "wishes.travel",
            f"suspension.travel is {low:g} mm{f' to {high:g} mm' if high > low else ''} and met by "
            f"solve_for{line}, so that the travel is never as wished",
            "vary suspension.travel, or leave the wish out",
            wish.place,
        )
