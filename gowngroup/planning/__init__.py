"""Pure arithmetic and search: what a month's batch needs, and how it is cut."""
