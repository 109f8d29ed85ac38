"""Results as plain data for JSON, with units; the same input gives the same bytes."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from frame3d.bike.seatpost import assumptions, seatpost_of
from frame3d.bike.tension.insert import turning_of
from frame3d.bike.tension.slide import sliding_of
from frame3d.bike.weight import front_shares
from frame3d.caution import CAUTION
from frame3d.chart.givens import key
from frame3d.clearance.table import left_out
from frame3d.errors import Fault, Note, SourceLocation
from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.rider.postures import POSTURES

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike, Stance
    from frame3d.bike.exchange import AsBuilt
    from frame3d.bike.travel import TravelAnalysis
    from frame3d.chart.partial import PartialChart
    from frame3d.chart.sensitivity import Sensitivity
    from frame3d.clearance.advice.fits import Fit
    from frame3d.clearance.result import Report, Result
    from frame3d.linkage import Sag, Spring
    from frame3d.linkage.curves.curves import Gear
    from frame3d.parameters.models.frame import FrameSpec
    from frame3d.parameters.models.steering import Steering
    from frame3d.rider.posture import Posture, Rider
    from frame3d.tubes.mass import Masses

DECIMALS = 9
"""Number of decimals in documents, far below a micrometre."""


def dumps(document: Mapping[str, Any]) -> str:
    """Return a document as JSON text with a final newline; numbers are rounded and never NaN."""
    text = json.dumps(rounded(document), indent=2, ensure_ascii=False, allow_nan=False)
    # Besides what JSON escapes by itself: characters that control a terminal or hide text.
    text = _HIDDEN.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
    return text + "\n"


_HIDDEN = re.compile("[\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ud800-\udfff\ufeff]")


def rounded(value: Any, *, gaps: bool = False) -> Any:
    """Return plain data with its numbers rounded to `DECIMALS`.

    Args:
        value: plain data.
        gaps: whether None takes the place of NaN and infinities.
    """
    if isinstance(value, float):
        if gaps and not math.isfinite(value):
            return None
        return round(value, DECIMALS) + 0.0
    if isinstance(value, Mapping):
        return {str(k): rounded(v, gaps=gaps) for k, v in value.items()}
    if isinstance(value, list | tuple):
        # Tables of numbers are most of a document.
        return [
            round(v, DECIMALS) + 0.0
            if type(v) is float and -math.inf < v < math.inf
            else rounded(v, gaps=gaps)
            for v in value
        ]
    return value


def solve_document(bike: Bike) -> dict[str, Any]:
    """Return chart, nodes, stance under sag, rider and notes of a solved bike."""
    shares = front_shares(bike)
    return {
        "name": bike.spec.name,
        **variant_document(bike.spec),
        "chart": dict(bike.chart),
        "nodes": dict(bike.nodes),
        "sagged": None if bike.sagged is None else stance_document(bike.sagged, shares.sagged),
        "rider": None
        if bike.rider is None
        else _rider(bike.rider, shares.static, shares.assumptions),
        "seatpost": seatpost_document(bike),
        **_tension(bike),
        "notes": [note_document(n) for n in bike.notes],
        "units": units(),
        "caution": CAUTION,
    }


def _tension(bike: Bike) -> dict[str, Any]:
    """Return where sliding dropouts hold the axle, or an eccentric insert the bottom bracket."""
    slid, turned = sliding_of(bike), turning_of(bike)
    return {
        **({} if slid is None else {"sliding": asdict(slid)}),
        **({} if turned is None else {"insert": asdict(turned)}),
    }


def variant_document(spec: FrameSpec) -> dict[str, Any]:
    """Return size and settings of a bike; empty where its file has neither sizes nor settings."""
    variants = spec.variants
    out: dict[str, Any] = {}
    if variants.size is not None:
        out["size"] = variants.size
    if variants.settings:
        out["settings"] = list(variants.chosen)
    return out


def seatpost_document(bike: Bike) -> dict[str, Any] | None:
    """Return the seatpost's exposure, insertion and longest travel; None without a seatpost."""
    post = seatpost_of(bike)
    if post is None:
        return None
    bore, longest = post.bore, post.longest_travel
    return {
        "diameter": post.diameter,
        "travel": post.travel,
        "exposure": post.exposure,
        "head_height": post.head,
        "collar_height": post.collar,
        "drop_room": post.drop_room,
        "insertion": post.insertion,
        "least_insertion": post.least_insertion,
        "deepest_insertion": post.deepest_insertion,
        "actuator": post.actuator,
        "cable_room": post.cable,
        "room": post.room,
        "bore_ends": None if bore is None else {"below_top": bore.value, "at": bore.by},
        "longest_travel": None if longest is None else longest.value,
        "longest_travel_limit": None if longest is None else longest.by,
        "assumptions": list(assumptions(bike)),
    }


def units() -> dict[str, Any]:
    """Return the units used in documents."""
    return {
        "chart": {figure: unit(figure) for figure in FIGURES},
        "nodes": "mm",
        "seatpost": "mm",
        "sliding": "mm",
        "pitch": "degrees",
        "rider": {
            "stature": "mm",
            "saddle_height": "mm",
            "hip_height": "mm",
            "points": "mm",
            "front_share": "1",
        },
    }


def stance_document(stance: Stance, shares: Mapping[str, float] | None = None) -> dict[str, Any]:
    """Return a bike in another position.

    Args:
        stance: the position.
        shares: of the weight on the front wheel, by posture, where they are known.
    """
    return {
        "chart": dict(stance.chart),
        "nodes": dict(stance.nodes),
        "pitch": stance.pitch,
        "rider": None if stance.rider is None else _rider(stance.rider, shares or {}),
    }


def mass_document(masses: Masses) -> dict[str, Any]:
    """Return the masses of tubes and bottom bracket shell, computed without the CAD kernel."""
    return {
        "parts_g": {body.name: body.grams for body in masses.bodies},
        "total_g": masses.total,
        "centre_of_mass": masses.centre,
    }


def as_built_document(result: AsBuilt) -> dict[str, Any]:
    """Return a built frame with parts exchanged: before, after, and the change of each figure."""
    return {
        "chart": dict(result.after.chart),
        "change": dict(result.change),
        "before": dict(result.before.chart),
        "nodes": dict(result.after.nodes),
        "pitch": result.after.pitch,
    }


def sensitivity_document(design: Sensitivity, as_built: Sensitivity) -> dict[str, Any]:
    """Return the change of every result per unit of every input, by design and as built."""
    return {"design": _sensitivity(design), "as_built": _sensitivity(as_built)}


def _sensitivity(result: Sensitivity) -> dict[str, Any]:
    return {
        path: {"per": f"1 {one}", "change": dict(result.per(path))}
        for path, one in zip(result.inputs, result.units, strict=True)
    }


def travel_document(result: TravelAnalysis) -> dict[str, Any]:
    """Return the curves of the rear suspension over its travel as arrays, with the charts."""
    c, force, sprung = result.curves, result.curves.forces, result.sprung
    out: dict[str, Any] = {
        "travel": c.travel.tolist(),
        "stroke": c.stroke.tolist(),
        "axle": c.axle.tolist(),
        "leverage": c.leverage.tolist(),
        "leverage_rate": c.leverage_rate.tolist(),
        "progression": c.progression,
        "mean_leverage": c.mean_leverage,
        "instant_centre": _finite(c.instant_centre.tolist()),
        "brake_instant_centre": _finite(c.brake_instant_centre.tolist()),
        "anti_rise": _finite(c.anti_rise.tolist()),
        "brake_slope": _finite(c.brake_slope.tolist()),
        "rear_contact": c.rear_contact.tolist(),
        "front_contact": c.front_contact.tolist(),
        "wheelbase": c.wheelbase.tolist(),
        "pitch": c.pitch.tolist(),
        "gears": [
            {"chainring": ring, "cog": cog, **_gear(gear)} for (ring, cog), gear in c.gears.items()
        ],
        "fork": list(result.forks),
        "charts": [dict(chart) for chart in result.charts],
        "standing": {
            s.name: {"rear": s.rear, "fork": s.fork, **stance_document(s.stance)}
            for s in result.standing
        },
        "weight": {
            "mass_kg": sprung.weight.mass_kg,
            "centre_of_mass": sprung.weight.centre,
            "rear_share": sprung.weight.rear_share,
            "unsprung_kg": sprung.unsprung.mass_kg,
        },
        "load": sprung.load,
        "spring_load": sprung.carried,
        "sag": {"asked": _sag(sprung.asked), "found": _sag(sprung.found)},
        "spring": _spring(sprung.spring),
        "sold_coils": [
            {
                "rate_lb_in": coil.rate_lb_in,
                "rate_n_mm": coil.rate_n_mm,
                "sag_share": None if coil.sag is None else coil.sag.stroke_share,
            }
            for coil in sprung.sold
        ],
        "assumptions": list(result.assumptions),
        "notes": [note_document(note) for note in sprung.notes],
        "units": {
            "lengths": "mm",
            "angles": "degrees",
            "anti_squat": "%",
            "anti_rise": "%",
            "forces": "N",
            "rates": "N/mm",
            "energy": "N·mm",
            "pressure_bar": "bar above the air outside, at full extension and rest",
            "pressure_psi": "the same in pounds a square inch",
            "brake_slope": "rise over run",
        },
    }
    if force is not None:
        out["forces"] = {
            "shock_force": force.shock_force.tolist(),
            "shock_rate": force.shock_rate.tolist(),
            "wheel_force": force.wheel_force.tolist(),
            "wheel_rate": force.wheel_rate.tolist(),
            "energy": force.energy.tolist(),
            "bottom_out_wheel": force.bottom_out_wheel,
            "bottom_out_shock": force.bottom_out_shock,
        }
    return out


def _gear(gear: Gear) -> dict[str, Any]:
    """Return one gear's curves over the travel."""
    from_sag = gear.crank_rotation_from_sag
    return {
        "anti_squat": _finite(gear.anti_squat.tolist()),
        "chain_growth": gear.chain_growth.tolist(),
        "crank_rotation": gear.crank_rotation.tolist(),
        "crank_rotation_from_sag": None if from_sag is None else from_sag.tolist(),
        "chain_angle": gear.chain_angle.tolist(),
        "chain_line": gear.chain_line.tolist(),
    }


def _sag(sag: Sag | None) -> dict[str, float] | None:
    if sag is None:
        return None
    return {
        "stroke": sag.stroke,
        "travel": sag.travel,
        "stroke_share": sag.stroke_share,
        "travel_share": sag.travel_share,
    }


def _spring(spring: Spring | None) -> dict[str, Any] | None:
    """Return a spring with all its values; None where there is none."""
    from frame3d.linkage.curves.springs import Air, Coil

    if isinstance(spring, Coil):
        rate = {"rate_n_mm": spring.k, "rate_lb_in": spring.lb_in}
        return {"kind": "coil", **rate, "preload": spring.preload}
    if isinstance(spring, Air):
        both = {"pressure_bar": spring.pressure_bar, "pressure_psi": spring.pressure_psi}
        return {"kind": "air", **both}
    return None if spring is None else {"kind": "table"}


def _finite(value: Any) -> Any:
    """Return plain data with None for infinite values (an instant centre at infinity)."""
    if isinstance(value, list):
        return [_finite(v) for v in value]
    return value if math.isfinite(value) else None


def check_document(report: Report, warnings: Iterable[Note] = ()) -> dict[str, Any]:
    """Return all checks, smallest margin first, and what could not be checked.

    Args:
        report: of a bike.
        warnings: `Bike.warnings` of it.
    """
    return {
        "checks": [result_document(r) for r in report.results],
        "ok": report.ok,
        "steering": None if report.steering is None else steering_document(report.steering),
        **(
            {}
            if report.tensioned is None
            else {"tension": {**asdict(report.tensioned), "says": report.tensioned.says}}
        ),
        "unchecked": [{"name": u.name, "title": u.title, "why": u.why} for u in report.unchecked],
        "warnings": [note_document(note) for note in warnings],
        "not_measured": [
            {"between": sorted(pair) * (3 - len(pair)), "verdict": entry.verdict, "why": entry.how}
            for pair, entry in left_out().items()
        ],
        "units": {
            "gap": "as each check's unit",
            "points": "mm",
            "rear": "mm",
            "fork": "mm",
            "angles": "degrees",
        },
        "caution": CAUTION,
    }


def steering_document(steering: Steering) -> dict[str, Any]:
    """Return how far the bar turns to each side, what stops it, and the range that was checked."""
    return {
        "turns": steering.turns,
        "stopped_by": None if steering.by == "nothing" else steering.by,
        "checked": steering.checked,
        "says": steering.says,
    }


def result_document(result: Result) -> dict[str, Any]:
    """Return one check."""
    at = result.place
    return {
        "name": result.name,
        "title": result.title,
        "between": result.between,
        "gap": result.gap,
        "error": result.error,
        "least": result.least,
        "required": result.required,
        "margin": result.margin,
        "unit": result.unit,
        "ok": result.ok,
        "source": result.source,
        "at": {"travel": at.get("rear", at.get("fork", 0.0)), "steer": at.get("steer", 0.0)}
        | dict(at),
        **({} if result.slide is None else {"slide": result.slide}),
        **({} if result.insert is None else {"insert": result.insert}),
        "points": result.points,
        "saturated": result.saturated,
        "note": result.note,
        "mend": result.mend,
    }


def fit_document(fit: Fit) -> dict[str, Any]:
    """Return how large a part may be."""
    return {
        "what": fit.what,
        "path": fit.path,
        "now": fit.now,
        "largest": fit.largest,
        "limited_by": fit.limited_by,
    }


def _rider(
    rider: Rider, shares: Mapping[str, float], assumptions: tuple[str, ...] = ()
) -> dict[str, Any]:
    taken = rider.postures
    postures = {
        name: _posture(taken[name], shares.get(name)) if name in taken else None
        for name in POSTURES
    }
    return {
        "stature": rider.stature,
        "saddle_height": rider.saddle_height,
        "hip_height": rider.hip_height,
        "legs_reach": rider.legs_reach,
        "contacts": dict(rider.contacts),
        **postures,
        "assumptions": [*rider.assumptions, *assumptions],
    }


def _posture(posture: Posture, front_share: float | None) -> dict[str, Any]:
    return {
        "centre_of_mass": posture.centre_of_mass,
        "centres_of_mass": dict(posture.centres),
        "front_share": front_share,
        "joints": dict(posture.joints),
    }


def note_document(note: Note) -> dict[str, Any]:
    """Return a note as data."""
    return {"code": note.code, "path": note.path, "message": note.message, **_place(note.place)}


def fault_document(faults: Iterable[Fault]) -> dict[str, Any]:
    """Return faults as data, for scripts and editors."""
    return {
        "faults": [
            {
                "code": f.code,
                "path": f.path,
                "message": f.message,
                "hint": f.hint,
                **_place(f.place),
            }
            for f in faults
        ]
    }


def partial_document(partial: PartialChart) -> dict[str, Any]:
    """Return what too few figures settle, and what would settle the rest, as dotted paths."""
    left = partial.open.items()
    return {
        "missing": partial.missing,
        "settled": dict(partial.settled),
        "assumed": {
            figure: {"value": value, "unless_given": by}
            for figure, (value, by) in partial.assumed.items()
        },
        "open": {figure: _paths(way.alone) for figure, way in left},
        "together": {
            figure: {"at_least": way.needs, "for_example": _paths(way.together)}
            for figure, way in left
            if way.needs > 1
        },
        "between": {figure: way.between for figure, way in left if way.between},
        "beyond": partial.beyond,
        "units": {"chart": units()["chart"]},
    }


def _paths(variables: Iterable[str]) -> list[str]:
    return [path for name in variables if (path := key(name)) is not None]


def _place(place: SourceLocation | None) -> dict[str, Any]:
    if place is None:
        return {"source": None, "line": None, "column": None}
    return {"source": place.source, "line": place.line, "column": place.column}
