"""What to buy, in the units shops sell."""
