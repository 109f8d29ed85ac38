"""The command line: commands, options, and output for terminals."""
