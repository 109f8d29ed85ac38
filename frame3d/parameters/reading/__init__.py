"""Read YAML into models, with lines, units, overrides and clear faults."""
