"""The section of the bare frame's masses, and of the parts that it is made for."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import BaseModel

from frame3d.report.data import ReportData
from frame3d.report.equipment import equipment
from frame3d.report.facts import section_text
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts
from frame3d.solids.body import SolidBody


def masses(data: ReportData, texts: Texts) -> Markup | None:
    """Return the bare frame's parts with section, length and mass; pairs and pivots in one row each."""
    meshes = data.meshes
    if not meshes.frame:
        return None
    keys = ("part", "section", "length", "mass")
    hardware = [part for part in meshes.frame if part.path.startswith("suspension")]
    others = tuple(part for part in meshes.frame if part not in hardware)
    rows = [_row(data, parts, texts) for parts in _by_key(others)]
    if hardware:
        grams = sum(meshes.grams[part.name] for part in hardware)
        rows.append(
            el(
                "tr",
                el("th", texts("masses.hardware"), scope="row"),
                el("td", texts("masses.pieces", count=len(hardware)), class_="section"),
                el("td"),
                el("td", texts.quantity(grams, "g", 0), class_="mass"),
            )
        )
    total = texts.quantity(sum(meshes.grams.values()), "g", 0)
    return together(
        el(
            "table",
            el("caption", texts("masses.caption")),
            el(
                "thead",
                el("tr", *(el("th", texts(f"masses.{k}"), scope="col", class_=k) for k in keys)),
            ),
            el("tbody", *rows),
            el(
                "tfoot",
                el(
                    "tr",
                    el("th", texts("masses.total"), scope="row"),
                    el("td", colspan=2),
                    el("td", total, class_="mass"),
                ),
            ),
            class_="masses",
        ),
        el("p", _centre(data, texts), texts("masses.from_model"), class_="remark"),
        _fork(data, texts),
    )


def _fork(data: ReportData, texts: Texts) -> Markup | None:
    """Return what a fork that the shop builds weighs, pairs together; None where it is bought."""
    if data.bike.fork is None:
        return None
    found: dict[str, float] = {}
    for name, grams in data.bike.fork.frame.masses.parts.items():
        key = name.removesuffix("_left").removesuffix("_right")
        found[key] = found.get(key, 0.0) + grams
    parts = ", ".join(
        f"{texts.part(key).lower()} {texts.quantity(grams, 'g', 0)}" for key, grams in found.items()
    )
    mass = texts.quantity(sum(found.values()), "g", 0)
    return el("p", texts("masses.fork", mass=mass, parts=parts), class_="remark")


def _by_key(frame: tuple[SolidBody, ...]) -> Iterator[list[SolidBody]]:
    keys: dict[str, list[SolidBody]] = {}
    for part in frame:
        keys.setdefault(part.key, []).append(part)
    yield from keys.values()


def _row(data: ReportData, parts: list[SolidBody], texts: Texts) -> Markup:
    bike, grams = data.bike, data.meshes.grams
    first = parts[0]
    length = data.meshes.lengths.get(first.name)
    title = texts.part(first.key if len(parts) > 1 else first.name)
    if len(parts) > 1:
        title = texts("masses.pair", part=title)
    return el(
        "tr",
        el("th", title, scope="row"),
        el("td", section_text(bike, first.name, texts) or "", class_="section"),
        el("td", "" if length is None else texts.number(length, 0), class_="length"),
        el("td", texts.quantity(sum(grams[p.name] for p in parts), "g", 0), class_="mass"),
    )


def _centre(data: ReportData, texts: Texts) -> str:
    centre = data.meshes.centre
    if centre is None:
        return ""
    x, _, z = centre
    key = "masses.centre_ahead" if x >= 0 else "masses.centre"
    return texts(key, x=texts.number(abs(x), 0), z=texts.number(z, 0)) + " "


def equipped(data: ReportData, texts: Texts) -> Markup | None:
    """Return the parts that the frame carries in plain words with units, and the frame's mass."""
    rows = [
        together(el("dt", title), el("dd", said)) for _, title, said in equipment(data.bike, texts)
    ]
    grams = sum(data.meshes.grams.values())
    mass = None
    if grams:
        said = texts("equipment.mass", mass=texts.quantity(grams, "g", 0))
        mass = el("p", said, " ", texts("masses.from_model"), class_="remark")
    if not rows and mass is None:
        return None
    return together(el("dl", *rows, class_="pairs equipment") if rows else None, mass)


def carried(data: ReportData, texts: Texts) -> Markup | None:
    """Return the parts that the file gives, with their values."""
    build = data.bike.spec.build
    rows = []
    for name in type(build).model_fields:
        if name not in build.model_fields_set:
            continue
        said = _said(getattr(build, name))
        if said is not None:
            title = texts.get(f"build.{name}") or name.replace("_", " ").capitalize()
            rows.append(together(el("dt", title), el("dd", said or texts("masses.usual"))))
    if not rows:
        return None
    return el(
        "div",
        el("h3", texts("masses.carried")),
        el("dl", *rows, class_="pairs carried"),
    )


def _said(value: object) -> str | None:
    """Return a value of the file as text; None for an empty value."""
    if value is None or value in ((), {}):
        return None
    if isinstance(value, BaseModel):
        pieces = []
        for key in type(value).model_fields:
            if key in value.model_fields_set:
                pieces.append(_piece(key, getattr(value, key)))
        return ", ".join(piece for piece in pieces if piece is not None)
    if isinstance(value, dict):
        return "; ".join(f"{key}: {_said(v)}" for key, v in value.items())
    if isinstance(value, tuple):
        if any(isinstance(v, BaseModel) for v in value):
            return "; ".join(said for v in value if (said := _said(v)) is not None)
        return " ".join(_plain(v) for v in value)
    return _plain(value)


def _piece(key: str, value: object) -> str | None:
    plain = key.replace("_", " ")
    if key == "sag" and isinstance(value, float):
        return f"{plain} {100 * value:g} %"
    said = _said(value)
    if said is None:
        return None
    if not said:
        return plain
    if key.endswith("_kg"):
        return f"{plain.removesuffix(' kg')} {said} kg"
    return f"{plain} ({said})" if isinstance(value, BaseModel) else f"{plain} {said}"


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value).replace("_", " ")
