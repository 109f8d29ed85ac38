"""The rigid fork that the shop builds: what it measures, its tubes, where they are."""
