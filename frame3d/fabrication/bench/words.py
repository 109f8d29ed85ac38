"""What the bench order says of processes, materials and dangers: common practice, no source."""

from __future__ import annotations

from typing import Final

PRACTICE: Final = "common practice, no source"
JOIN: Final = {
    None: "join",
    "tig": "weld",
    "fillet_brazed": "fillet-braze",
    "lug_brazed": "braze in its lug",
    "bonded": "bond",
}
"""Verb of each process."""
TACK: Final = {
    None: "tack",
    "tig": "tack-weld",
    "fillet_brazed": "tack with brass",
    "lug_brazed": "pin or tack",
    "bonded": "fit dry and mark",
}
"""Verb for holding a joint in place before it is joined."""
BEFORE: Final = {
    "steel": "steel: bright metal a thumb's width from every joint, inside and out, and free of oil",
    "stainless steel": "stainless steel: tools that have touched no other steel; gas on the inside too",
    "titanium": "titanium: clean gloves, and inert gas inside and outside every joint before any heat",
    "aluminium": "aluminium: brush the oxide off with a brush for aluminium alone, and join soon after",
}
"""What comes before heat, by family of material."""
AFTER: Final = {
    "steel": "steel: cool in still air; never quench; air-hardening tube turns brittle where it is "
    "cooled fast: ask the tube's maker",
    "stainless steel": "stainless steel: keep gas on until no colour can come; clean off what has come",
    "titanium": "titanium: keep the gas on until it is cold; blue or grey is a joint to be judged anew",
    "aluminium": "aluminium: heat-treated tube is soft beside the joint; whether it has to be solution-"
    "treated and aged, and how straight it stays, is to be asked of the tube's maker",
}
"""What comes after heat, by family of material."""
OTHER: Final = "own material {name}: ask its maker what heat does to it, before and after"
SENSITIVE: Final = (
    "no bearing, bushing, seal, bonded insert, shock or plastic part in the frame while it is hot"
)
RUNS: Final = "short runs on opposite sides in turn, never round in one go; let it cool in between"
BONDED: Final = (
    "every joint roughened, free of oil and dry; glue line and temperature as the glue's sheet says",
    "left in the fixture, still and warm, as long as the glue's sheet says",
)
"""What comes before and after bonding."""
CAUTIONS: Final = (
    "Local rules and your own training go before this sheet; it replaces neither.",
    "Fumes: of flux, filler, plating and solvents. Extraction at the joint and the breathing protection "
    "that the data sheets ask for; no plated or painted parts, no filler with cadmium.",
    "Gas in closed tubes bursts: every vent is open before any heat, and no fluid is left in a tube.",
    "Inert gas takes the air's place: do not purge in a pit or a closed room.",
    "Ultraviolet light: helmet, skin covered, screens for everyone else in the room.",
    "Hot metal looks like cold metal: mark it, and leave it where nobody reaches for it. Fire watch.",
    "Cutting, drilling and reaming: eyes, ears, hair and gloves away from what turns. Dust and chips of "
    "titanium and aluminium burn.",
)
"""Where the work can hurt."""
