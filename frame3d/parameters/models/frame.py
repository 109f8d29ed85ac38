"""FrameSpec: the contents of a parameter file, checked, frozen, and traceable to its lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PrivateAttr, Tag

from frame3d.errors import Fault, Note, SourceLocation
from frame3d.parameters.models.base import (
    NODE_NAMES,
    Colour,
    MaterialName,
    Model,
    Problem,
    named,
    number,
    refusal,
    unknown,
)
from frame3d.parameters.models.clearance import ClearanceSpec
from frame3d.parameters.models.figures import GeometrySpec
from frame3d.parameters.models.flat_parts.plates import PlateField, plate_problems
from frame3d.parameters.models.forks.built import RESERVED, said_at
from frame3d.parameters.models.linked import link_problems, spare_problems
from frame3d.parameters.models.names import BikeName, FreeText, OneLine, TubeName
from frame3d.parameters.models.parts import BuildSpec
from frame3d.parameters.models.shop.bench import BenchSpec, bench_problems
from frame3d.parameters.models.suspension import FRAME, SuspensionSpec, suspension_problems
from frame3d.parameters.models.tubes import TubeSpec, tube_problems
from frame3d.parameters.models.variants import Variants


class MaterialSpec(Model):
    """A material that the tables do not hold."""

    name: BikeName = Field(
        ..., title="Name", description="Of the material, as results show it", examples=["AlSi10Mg"]
    )
    density_g_cm3: float = number(
        "Density", "Mass over volume", above=0, high=25, example=7.85, unit="g/cm³", default=...
    )
    young_gpa: float | None = number(
        "Young's modulus", "For stiffness alone", above=0, high=1200, example=70, unit="GPa"
    )
    poisson: float = Field(
        0.3,
        title="Poisson's ratio",
        description="For stiffness alone",
        ge=0,
        lt=0.5,
        examples=[0.33],
    )


_Material = Annotated[
    Annotated[MaterialName, Tag("<text>")] | Annotated[MaterialSpec, Tag("<mapping>")],
    named("a name such as 4130, or {name: ..., density_g_cm3: ...}"),
]


def _nothing(section: object) -> object:
    """Treat an empty section as absent."""
    return None if section == {} else section


_Suspension = Annotated[
    SuspensionSpec | None,
    BeforeValidator(
        _nothing,
        json_schema_input_type=SuspensionSpec
        | Annotated[dict[str, Any], Field(max_length=0)]
        | None,
    ),
]


def _no_boolean(value: object) -> object:
    """Refuse ``true``, which Python counts as 1."""
    if isinstance(value, bool):
        hint = "write format: 1"
        raise refusal([Problem("not-allowed", "", "true and false are no format", hint)])
    return value


def _still(tubes: Mapping[str, TubeSpec]) -> tuple[str, ...]:
    """Return the names of the tubes that belong to no link."""
    return tuple(key for key, tube in tubes.items() if tube.link is None)


class FrameSpec(Model):
    """One bike: its chart figures, its parts, its tubes."""

    format: Annotated[Literal[1], BeforeValidator(_no_boolean)] = Field(
        ..., title="Format", description="Version of this file format: 1"
    )
    name: BikeName = Field(
        ...,
        title="Name",
        description="Of the bike, as results show it; no control characters, no dot at either end",
        examples=["Trail hardtail 29"],
    )
    shop: OneLine | None = Field(
        None,
        title="Shop",
        description="Name of the shop, as the report shows it",
        examples=["Hillside Frames"],
    )
    notes: FreeText | None = Field(None, title="Notes", description="Free text for people")
    material: _Material = Field(
        "4130",
        title="Material",
        description="Of the whole frame, where a tube does not say otherwise",
        examples=["4130"],
    )
    colour: Colour = Field(
        "#4a6b57",
        title="Colour",
        description="Of the frame in STEP, 3MF and GLB, #rrggbb",
        examples=["#4a6b57"],
    )
    geometry: GeometrySpec = Field(
        ..., title="Geometry", description="Chart figures that are fixed; the others are solved"
    )
    build: BuildSpec = Field(
        default_factory=BuildSpec, title="Build", description="The parts that the frame carries"
    )
    tubes: dict[TubeName, TubeSpec] = Field(
        default_factory=dict,
        title="Tubes",
        description="The tubes of the frame, by name",
        max_length=60,
    )
    plates: dict[TubeName, PlateField] = Field(
        default_factory=dict,
        title="Plates",
        description="Flat parts of the frame that are cut from plate, by name",
        max_length=60,
    )
    suspension: _Suspension = Field(
        None,
        title="Suspension",
        description="Rear suspension: points, links, shock and spring; left out, there is none",
    )
    clearance: ClearanceSpec = Field(
        default_factory=ClearanceSpec,
        title="Clearance",
        description="Own limits of the checks, checks left out and added",
    )

    bench: BenchSpec | None = Field(
        None,
        title="Bench",
        description="How the builder joins the frame, for the bench order",
    )

    _places: Mapping[str, SourceLocation] = PrivateAttr(
        default_factory=lambda: MappingProxyType({})
    )
    _variants: Variants = PrivateAttr(default=Variants())

    @property
    def variants(self) -> Variants:
        """The file's sizes and settings, and which of them this bike is."""
        return self._variants

    @property
    def title(self) -> str:
        """The bike's name with its size and settings, where it has any."""
        return self._variants.titled(self.name)

    def problems(self) -> Iterator[Problem]:
        """Yield inconsistencies between tubes, suspension and parts."""
        pivots = () if self.suspension is None else tuple(self.suspension.points)
        for problem in tube_problems(self.tubes, pivots):
            yield Problem(problem.code, f"tubes.{problem.key}", problem.message, problem.hint)
        for problem in link_problems(self.suspension, self.tubes):
            yield Problem(problem.code, f"tubes.{problem.key}", problem.message, problem.hint)
        for problem in spare_problems(self.suspension, self.build.bodies):
            yield Problem(
                problem.code, f"build.bodies.{problem.key}", problem.message, problem.hint
            )
        given = () if self.suspension is None else self.suspension.links
        links = tuple(link for link in given if link != FRAME)
        for problem in plate_problems(self.plates, self.tubes, links, (*NODE_NAMES, *pivots)):
            yield Problem(problem.code, f"plates.{problem.key}", problem.message, problem.hint)
        yield from self._fork_names()
        yield from self._insert()
        bumper = self.build.bumper
        if bumper is not None and bumper.on not in (still := _still(self.tubes)):
            yield unknown("build.bumper.on", "tube of the front frame", bumper.on, still)
        if self.bench is not None:
            points = () if self.suspension is None else tuple(self.suspension.points)
            bodies = (*self.tubes, "bottom_bracket", "rear_dropout", *points)
            for problem in bench_problems(self.bench, bodies):
                yield Problem(problem.code, f"bench.{problem.key}", problem.message, problem.hint)
        if self.suspension is not None:
            for problem in suspension_problems(self.suspension, self.tubes):
                key = f"suspension.{problem.key}"
                yield Problem(problem.code, key, problem.message, problem.hint)

    def _insert(self) -> Iterator[Problem]:
        """Yield what an eccentric insert in the shell does not go together with."""
        if self.build.insert is None:
            return
        key = "build.bottom_bracket.eccentric"
        if self.suspension is not None:
            yield Problem(
                "inconsistent",
                key,
                "stands beside a rear suspension: the insert would move the linkage's points against "
                "the cranks, and with them every curve, which is not worked out here",
                "another shell, or leave the insert out and draw the bottom bracket where it is set",
            )
        if self.build.slide is not None:
            yield Problem(
                "inconsistent",
                key,
                "stands beside sliding dropouts: each of both tensions the chain",
                "one of the two; build.dropout.kind: hooded keeps flat dropouts",
            )

    def _fork_names(self) -> Iterator[Problem]:
        """Yield names of the file's own that a built fork's tubes and plates have."""
        if not self.builds_fork:
            return
        for group in ("tubes", "plates"):
            for key in getattr(self, group):
                if key.startswith(RESERVED):
                    yield Problem(
                        "bad-name",
                        f"{group}.{key}",
                        f"names that begin with {RESERVED} are those of the built fork",
                        "another name",
                    )

    @property
    def builds_fork(self) -> bool:
        """Whether the shop builds the fork too."""
        return self.build.fork is not None and self.build.fork.built is not None

    def traced(self, places: Mapping[str, SourceLocation]) -> FrameSpec:
        """Return the same spec with the source of each dotted path."""
        copy = self.model_copy()
        copy._places = MappingProxyType(dict(places))
        return copy

    def as_variant(self, variants: Variants) -> FrameSpec:
        """Return the same spec as one of a file's sizes and settings."""
        copy = self.model_copy()
        copy._variants = variants
        return copy

    def place(self, path: str) -> SourceLocation | None:
        """Return the source of `path`, or of its nearest parent that is given."""
        while path:
            if path in self._places:
                return self._places[path]
            path = path.rpartition(".")[0]
        return self._places.get("")

    def fault(self, code: str, path: str, message: str, hint: str = "") -> Fault:
        """Return a fault at `path`, with its line; of a built fork's tubes, where the file says them."""
        path = said_at(path) if self.builds_fork else path
        return Fault(code, path, message, hint, self.place(path))

    def note(self, code: str, message: str, path: str = "") -> Note:
        """Return a note, with the line of `path` if given; as `fault` of a built fork."""
        path = said_at(path) if self.builds_fork else path
        return Note(code, message, path, self.place(path) if path else None)
