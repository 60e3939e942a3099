"""Forms of the month's batch."""
