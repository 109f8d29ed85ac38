"""Where a tube's metal ends: mitres, what else cuts a tube, vents, loose pieces, shared metal."""
