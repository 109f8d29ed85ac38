"""Make all sheets and lists of a bike as bytes; a failure is recorded and the rest is made."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, FrameError, Note
from frame3d.fabrication.bench.joints import fork_joints, joints_of, own_order
from frame3d.fabrication.bench.sheets import bench_csv, bench_sheets
from frame3d.fabrication.bench.steps import steps_of
from frame3d.fabrication.bends import Bend, bend_sheets, bends_csv, bends_of
from frame3d.fabrication.cut_list import (
    butt_warnings,
    cut_list_csv,
    cut_list_sheets,
    feather_warnings,
)
from frame3d.fabrication.fixture import fixture_csv, fixture_sheet
from frame3d.fabrication.flat.axle_sheet import axle_sheets
from frame3d.fabrication.flat.axles import axles_of
from frame3d.fabrication.flat.cut_files import part_dxf
from frame3d.fabrication.flat.nest import Stock, too_large_notes
from frame3d.fabrication.flat.nest_files import nested_files
from frame3d.fabrication.flat.part_sheet import part_sheets
from frame3d.fabrication.flat.parts import SheetPart, sheet_parts
from frame3d.fabrication.flat_bar import flat_sheet, is_flat
from frame3d.fabrication.fork_sheet import fork_csv, fork_sheet, fork_tubes
from frame3d.fabrication.on_tubes.marking import marking_of, unlaid_notes
from frame3d.fabrication.on_tubes.marking_sheets import marking_sheets
from frame3d.fabrication.on_tubes.marks import marks_of
from frame3d.fabrication.on_tubes.on_dropouts import (
    dropout_marks,
    dropout_sheets,
    measured_on_dropouts,
)
from frame3d.fabrication.on_tubes.position_sheet import features_csv, measured, position_sheets
from frame3d.fabrication.panel_drawing import FLAP
from frame3d.fabrication.parts_list import items_of, parts_csv, parts_sheets
from frame3d.fabrication.template import StepError, panels_of
from frame3d.fabrication.template_sheets import TooWideError, sheets_of
from frame3d.fabrication.tube_facts import TubeFacts, facts_of
from frame3d.fabrication.tube_stock.choose import choose, stock_faults
from frame3d.fabrication.tube_stock.sheets import stock_csv, stock_sheets
from frame3d.paper.fonts import lacking
from frame3d.paper.page_elements import MARGIN, PAPERS
from frame3d.paper.render import pdf, svg
from frame3d.paper.sheet import Sheet
from frame3d.parameters.reading.tube_stock import TubeStock
from frame3d.tubes.cuts.edge import Cutting, bodies_of

Progress = Callable[[str, float], None]
"""Called with what is being made and the share done, 0 to 1."""


@dataclass
class Pack:
    """The files made, and the faults of those that could not be made."""

    files: dict[str, bytes] = field(default_factory=dict)
    """Contents by name; those in ``templates/`` and ``plates/`` have that folder in their name."""
    faults: list[Fault] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)


class Maker:
    """Makes one bike's pack, part by part."""

    def __init__(
        self,
        bike: Bike,
        paper: str,
        progress: Progress | None,
        tube_stock: TubeStock | None = None,
        plate_stock: Stock | None = None,
    ) -> None:
        self.bike, self.paper, self.stock = bike, PAPERS[paper], tube_stock
        self.plate_stock = plate_stock
        self.pack = Pack()
        self._progress = progress
        bodies = bodies_of(bike.frame)
        if bike.fork is not None:
            bodies |= bodies_of(bike.fork.frame)
        tubes = (*bike.tubes, *fork_tubes(bike))
        self.bodies = bodies
        self.cuttings = {tube.name: Cutting(tube, bodies) for tube in tubes}
        self.facts = [facts_of(tube, bodies, self.cuttings[tube.name]) for tube in tubes]
        self.grams = dict(bike.frame.masses.parts)
        if bike.fork is not None:
            self.grams |= bike.fork.frame.masses.parts
        self.marks = marks_of(bike, self.facts)
        self.on_dropouts = dropout_marks(bike, self.marks)

    def vanished(self) -> tuple[Fault, ...]:
        """Return faults for tubes of which their cuts leave nothing."""
        faults: dict[str, Fault] = {}
        for name, cutting in self.cuttings.items():
            key = cutting.tube.key
            for place in cutting.places:
                if key not in faults and not cutting.outlines(place):
                    faults[key] = self.bike.spec.fault(
                        "junction-miss",
                        f"tubes.{key}",
                        f"nothing is left of {name} beside {' and '.join(place.cutters)}",
                        "move its ends, or make it longer or thicker",
                    )
        return tuple(faults.values())

    def make(self) -> Pack:
        """Make everything; faults are recorded, and all other parts are made."""
        steps: Sequence[tuple[str, Callable[[], None]]] = (
            ("templates", self._templates),
            ("cut list", self._cut_list),
            ("fixture sheet", self._fixture),
            ("fork sheet", self._fork),
            ("bend table", self._bends),
            ("parts list", self._parts),
            ("tubes from stock", self._from_stock),
            ("axles", self._axles),
            ("plates", self._plates),
            ("bench order", self._bench),
            ("drawing", self._drawing),
        )
        for i, (what, step) in enumerate(steps):
            if self._progress is not None:
                self._progress(what, i / len(steps))
            with self._noting():
                step()
        if self._progress is not None:
            self._progress("done", 1.0)
        return self.pack

    def _templates(self) -> None:
        made: list[Sheet] = []
        for one in self.facts:
            with self._noting(one):
                flat = self._flat(one)
                if flat is not None:
                    made.append(flat)
                    continue
                panels = panels_of(one, self.cuttings[one.tube.name], self.bodies)
                made += sheets_of(one, panels, self.bike, self.paper, self.bodies)
            with self._noting(one):
                made += self._marking(one)
        if made:
            self._book("templates", "mitre templates", made)
            self._each(made, "templates/")

    def _marking(self, one: TubeFacts) -> list[Sheet]:
        """Return the sheets of a tube's marks; a flat bar is marked from the list alone."""
        own = [mark for mark in self.marks if mark.tube is one.tube]
        if not own or is_flat(one.tube):
            return []
        marking = marking_of(one, own)
        self.pack.notes += unlaid_notes(self.bike, marking)
        return marking_sheets(one, marking, own, self.bike, self.paper)

    def _flat(self, one: TubeFacts) -> Sheet | None:
        """Return the sheet of a flat solid bar that fits the paper; None for tubes to be wrapped."""
        if not is_flat(one.tube):
            return None
        cutting = self.cuttings[one.tube.name]
        return flat_sheet(one, cutting, self.bike, self.paper, self.bodies)

    def _cut_list(self) -> None:
        grams = self.grams
        self.pack.notes += butt_warnings(self.bike, self.facts)
        self.pack.notes += feather_warnings(self.bike, self.facts, self.cuttings)
        self.pack.files["cut_list.csv"] = cut_list_csv(self.facts, self.cuttings, grams)
        made = cut_list_sheets(self.bike, self.facts, self.cuttings, grams, self.paper)
        self._book("cut_list", "cut list", made)
        self._each(made)

    def _fixture(self) -> None:
        bike, on_dropouts = self.bike, self.on_dropouts
        if self.marks or on_dropouts:
            self.pack.files["features.csv"] = features_csv(self.marks, on_dropouts)
        rows = [*measured(self.marks), *measured_on_dropouts(bike, on_dropouts)]
        self.pack.files["fixture.csv"] = fixture_csv(bike, rows)
        made = [
            fixture_sheet(self.bike, self.paper),
            *position_sheets(self.bike, self.marks, self.paper),
            *dropout_sheets(bike, on_dropouts, self.paper),
        ]
        self._book("fixture", "fixture sheet", made)
        self._each(made)

    def _fork(self) -> None:
        if self.bike.fork is None:
            return
        self.pack.files["fork.csv"] = fork_csv(self.bike)
        made = [fork_sheet(self.bike, self.paper)]
        self._book("fork", "fork sheet", made)
        self._each(made)

    def _bends(self) -> None:
        bends: list[Bend] = [bend for one in self.facts for bend in bends_of(one)]
        if bends:
            self.pack.files["bend_table.csv"] = bends_csv(bends)
            made = bend_sheets(self.bike, bends, self.paper)
            self._book("bend_table", "bend table", made)
            self._each(made)

    def _parts(self) -> None:
        items = items_of(self.bike, self.facts)
        self.pack.files["parts_list.csv"] = parts_csv(items)
        made = parts_sheets(self.bike, items, self.paper)
        self._book("parts_list", "parts list", made)
        self._each(made)

    def _from_stock(self) -> None:
        if self.stock is None:
            return
        choices = choose(self.facts, self.stock)
        self.pack.faults += stock_faults(self.bike, choices, self.stock)
        self.pack.files["tube_stock.csv"] = stock_csv(choices)
        made = stock_sheets(self.bike, choices, self.stock, self.paper)
        self._book("tube_stock", "tubes from stock", made)
        self._each(made)

    def _axles(self) -> None:
        made = axle_sheets(axles_of(self.bike), "axles", "Axles", self.bike.spec.title, self.paper)
        if made:
            self._book("axles", "axles", made)
            self._each(made)

    def _plates(self) -> None:
        parts = sheet_parts(self.bike)
        made: list[Sheet] = []
        for part in parts:
            with self._noting():
                made += self._plate(part)
        if made:
            self._book("plates", "plates", made)
        for sheet in made:
            self.pack.files[f"plates/{sheet.name}.svg"] = svg(sheet)
        if self.plate_stock is not None:
            title = self.bike.spec.title
            files, nests = nested_files(parts, self.plate_stock, title, self.paper)
            self.pack.files |= {f"plates/{name}": data for name, data in files.items()}
            self.pack.notes += too_large_notes(nests, self.plate_stock)

    def _plate(self, part: SheetPart) -> list[Sheet]:
        """Add a flat part's DXF; return its sheets, with the axles of the link that it is of."""
        title = self.bike.spec.title
        self.pack.files[f"plates/{part.name}.dxf"] = part_dxf(part, title)
        sheets = part_sheets(part, title, self.paper)
        if part.link is None:
            return sheets
        own = [axle for axle in axles_of(self.bike) if part.link in axle.links]
        head = f"{part.title}: axles"
        return sheets + axle_sheets(own, f"{part.name}_axles", head, title, self.paper)

    def _bench(self) -> None:
        joints = joints_of(self.bike)
        bench = self.bike.frame.spec.bench
        if bench is not None and bench.order:
            joints = own_order(self.bike, joints)
        if self.bike.fork is not None:
            joints = (*joints, *fork_joints(self.bike.fork))
        steps = steps_of(self.bike, self.facts, joints)
        self.pack.files["bench_order.csv"] = bench_csv(steps)
        made = bench_sheets(self.bike, steps, self.paper)
        self._book("bench_order", "bench order", made)
        self._each(made)

    def _drawing(self) -> None:
        from frame3d.fabrication.drawing import drawing_sheet

        own = {tube.name for tube in self.bike.tubes}
        facts = [one for one in self.facts if one.tube.name in own]
        made = [drawing_sheet(self.bike, facts, self.bike.frame.masses.parts)]
        self._book("drawing", "drawing", made)
        self._each(made)

    def _book(self, name: str, title: str, sheets: Sequence[Sheet]) -> None:
        """Add sheets as one PDF; a note tells of letters that no font has."""
        said = lacking("".join(line for sheet in sheets for line in sheet.texts()))
        known = {note.message for note in self.pack.notes}
        self.pack.notes += [Note("warning", line) for line in said if line not in known]
        self.pack.files[f"{name}.pdf"] = pdf(sheets, f"{self.bike.spec.title}: {title}")

    def _each(self, sheets: Sequence[Sheet], folder: str = "") -> None:
        """Add each sheet as a DXF and an SVG."""
        for sheet in sheets:
            name = sheet.name.removeprefix("template_") if folder else sheet.name
            self.pack.files[f"{folder}{name}.dxf"] = sheet.dxf()
            self.pack.files[f"{folder}{name}.svg"] = svg(sheet)

    @contextmanager
    def _noting(self, one: TubeFacts | None = None) -> Iterator[None]:
        """Return a context in which faults are recorded instead of raised."""
        try:
            yield
        except FrameError as error:
            self.pack.faults += error.faults
        except StepError as error:
            assert one is not None
            self.pack.faults.append(
                self.bike.spec.fault(
                    "output",
                    f"tubes.{one.tube.key}.od",
                    f"{one.tube.name}: {error}",
                    "let the outside change further from the cut; the tube can be made without its "
                    "template",
                )
            )
        except TooWideError as error:
            assert one is not None
            tube = one.tube
            across = (max(self.paper.width, self.paper.height) - 2 * MARGIN - FLAP) / math.pi
            self.pack.faults.append(
                self.bike.spec.fault(
                    "output",
                    f"tubes.{tube.key}.od",
                    f"{tube.name}: {error}",
                    f"this paper takes tubes up to {across:z.1f} mm; A4 is longer than Letter",
                )
            )
