"""The search for the best cycle by a constraint program."""
