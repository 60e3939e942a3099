"""Forms about people, the group and signing in, by noun; they check what was typed and never save."""
