"""Units of pressure and of spring rates, by their exact definitions."""

from __future__ import annotations

from typing import Final

INCH: Final = 25.4
"""One inch [mm]."""
POUND_FORCE: Final = 4.4482216152605
"""0.45359237 kg under 9.80665 m/s² [N]."""
LB_IN: Final = POUND_FORCE / INCH
"""One pound-force per inch [N/mm]."""
PSI: Final = POUND_FORCE / INCH**2
"""One pound-force per square inch [N/mm²]."""
BAR: Final = 0.1
"""100 000 Pa [N/mm²]."""
