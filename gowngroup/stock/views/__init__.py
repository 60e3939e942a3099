"""The pages of the stock room."""
