"""The bench order: every step from the saw to the reamer, to be signed one by one."""
