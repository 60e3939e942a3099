"""The pages of the gowns room."""
