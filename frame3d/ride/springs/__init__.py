"""Springs of fork and shock: sag, set-up for riders of other mass."""
