"""Pages of the printing room, a file for each sheet."""
