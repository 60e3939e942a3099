"""The pages about hospitals, wards and requests."""
