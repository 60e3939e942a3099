"""Pages of the month's batch."""
