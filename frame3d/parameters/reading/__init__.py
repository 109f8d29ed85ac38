"""From YAML to models, with lines, units, overrides and clear faults."""
