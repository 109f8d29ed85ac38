"""From wishes to bikes: studies that say what may vary and what must hold, sweeps and search."""
